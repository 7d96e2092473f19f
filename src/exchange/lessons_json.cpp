#include "exchange/lessons_json.h"

#include <algorithm>
#include <cmath>

#include "exchange/json_numbers.h"
#include "exchange/plan_json.h"
#include "exchange/shop_write.h"

namespace bight::exchange {

using base::Angle;
using nlohmann::ordered_json;

namespace {

ordered_json band_json(const planning::KnownSpringback& known, const std::vector<Angle>& wanted) {
  ordered_json out = ordered_json::array();
  for (const Angle angle : band_angles(wanted)) {
    const planning::AngleBand band = known.set_band(angle);
    out.push_back({{"finished_deg", tidy(angle.deg())},
                   {"set_deg", tidy(band.likely.deg())},
                   {"low_deg", tidy(band.low.deg())},
                   {"high_deg", tidy(band.high.deg())}});
  }
  return out;
}

ordered_json stretch_json(const planning::KnownSpringback& known) {
  if (!known.stretch()) return nullptr;
  const planning::KnownStretch& stretch = *known.stretch();
  return {{"arc_ratio", tidy(stretch.arc_ratio)},
          {"low_ratio", tidy(stretch.low_ratio)},
          {"high_ratio", tidy(stretch.high_ratio)},
          {"trials", stretch.num_trials}};
}

ordered_json next_json(const std::optional<learning::BestTrial>& next) {
  if (!next) return nullptr;
  return {{"set_deg", tidy(next->set.deg())},
          {"worst_at_deg", tidy(next->worst_at.deg())},
          {"half_band_now_deg", tidy(next->half_now.deg())},
          {"half_band_after_deg", tidy(next->half_after.deg())}};
}

ordered_json die_json(const planning::DieLessons& lessons) {
  const planning::KnownSpringback& known = lessons.known;
  const learning::SpringbackModel& model = known.model();
  ordered_json trials = ordered_json::array();
  for (const workshop::TrialBend& trial : known.trials()) trials.push_back(trial_document(trial));
  ordered_json findings = ordered_json::array();
  for (const part::Finding& finding : known.findings()) findings.push_back(finding_json(finding));
  return {{"die", lessons.die.name},
          {"bends", lessons.bends},
          {"springback",
           {{"a_deg", tidy(known.law().constant.deg())},
            {"b", tidy(known.law().proportional_ratio)},
            {"convention", learning::kConvention},
            {"basis", known.law().basis},
            {"proven", known.law().proven}}},
          {"noise_deg", tidy(model.noise_sigma().deg())},
          {"confidence", learning::kBandConfidence_ratio},
          {"band", band_json(known, lessons.wanted)},
          {"stretch", stretch_json(known)},
          {"mark_offset_mm", known.mark_offset_mm() ? ordered_json(tidy(*known.mark_offset_mm()))
                                                    : ordered_json(nullptr)},
          {"next_trial", next_json(lessons.next)},
          {"trials", trials},
          {"findings", findings}};
}

}  // namespace

std::vector<Angle> band_angles(const std::vector<Angle>& wanted) {
  std::vector<Angle> out = wanted;
  for (const double deg : {15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 150.0}) {
    out.push_back(Angle::degrees(deg));
  }
  std::sort(out.begin(), out.end());
  // Angles a thousandth of a degree apart are one line of the table.
  out.erase(std::unique(out.begin(), out.end(),
                        [](Angle a, Angle b) { return std::abs((a - b).deg()) < 1e-3; }),
            out.end());
  return out;
}

ordered_json lessons_json(const planning::Plan& plan,
                          const std::vector<planning::DieLessons>& lessons) {
  ordered_json dies = ordered_json::array();
  for (const planning::DieLessons& one : lessons) dies.push_back(die_json(one));
  return {{"schema", 1},
          {"part", plan.part.name},
          {"tube", plan.part.tube_text},
          {"material", plan.part.material.name},
          {"heat", plan.part.material.heat},
          {"dies", dies}};
}

ordered_json hit_json(const planning::Plan& plan, std::size_t bend, const learning::Hit& hit,
                      const learning::HitForecast& forecast, const learning::HitOptions& options) {
  return {{"schema", 1},
          {"part", plan.part.name},
          {"bend", bend},
          {"wanted_deg", tidy(plan.bent_table.rows()[bend - 1].angle.deg())},
          {"tolerance_deg", tidy(options.tolerance.deg())},
          {"chance", tidy(options.overbend_chance_ratio)},
          {"enough", hit.enough},
          {"set_deg", tidy(hit.set.deg())},
          {"finished_deg", tidy(hit.finished.deg())},
          {"overbend_chance", tidy(hit.overbend_chance)},
          {"forecast",
           {{"hits", tidy(forecast.expected_hits)},
            {"scrap_chance", tidy(forecast.scrap_chance)},
            {"good_chance", tidy(forecast.good_chance)},
            {"plain_hits", tidy(forecast.plain_hits)},
            {"plain_scrap_chance", tidy(forecast.plain_scrap_chance)}}}};
}

}  // namespace bight::exchange
