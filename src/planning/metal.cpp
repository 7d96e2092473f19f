#include "planning/metal.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mechanics/bend.h"
#include "mechanics/difficulty.h"
#include "mechanics/fracture.h"
#include "mechanics/ovality.h"
#include "mechanics/tooling_size.h"
#include "mechanics/wrinkle.h"
#include "planning/metal_memory.h"

namespace bight::planning {

using mechanics::BendCase;
using part::Finding;
using part::Severity;

namespace {

mechanics::LengthSpread wall_spread(const mechanics::Band& band) {
  return {band.low, band.likely, band.high,
          fmt::format("{} makes most of this band", mechanics::words(band.cause))};
}

MetalSlowAnswers slow_answers(const BendCase& bend, const workshop::DieSet& die) {
  MetalSlowAnswers out{mechanics::bend_band(bend, mechanics::Scatter{}), std::nullopt};
  if (bend.section.kind() != stock::SectionKind::kRoundTube) return out;
  mechanics::BendSupport support;
  support.groove_play_mm = std::max(0.0, die.groove.height_mm - bend.section.height_mm());
  if (die.mandrel) {
    const base::Result<double> nose =
        mechanics::mandrel_nose_mm(bend.section.height_mm(), bend.section.wall_mm());
    if (nose.ok()) support.nose_mm = *nose;
  }
  out.ovality = mechanics::supported_ovality(
      {bend.section, bend.curve, bend.poisson_ratio, bend.die_radius_mm}, support);
  return out;
}

// Of all plans of this program.
MetalMemory& memory() {
  static MetalMemory memory(64);
  return memory;
}

void add_walls(const base::Result<mechanics::BendBand>& band, MetalForecast& out) {
  if (!band.ok()) return;
  out.wall_outer = wall_spread(band->wall_outer_mm);
  out.wall_inner = wall_spread(band->wall_inner_mm);
}

void add_cracks(const part::Part& part, const BendCase& bend, MetalForecast& out) {
  std::optional<double> elongation_ratio;
  std::string known = "not known";
  if (part.material.elongation_ratio) {
    elongation_ratio = part.material.elongation_ratio->value;
    known = stock::words(part.material.elongation_ratio->provenance);
  }
  out.elongation_ratio = elongation_ratio;
  const base::Result<mechanics::CrackForecast> crack =
      mechanics::crack_forecast(bend.section, bend.curve, elongation_ratio, bend.die_radius_mm);
  if (!crack.ok()) return;
  out.uniform_ratio = crack->uniform_ratio;
  if (crack->verdict == mechanics::CrackVerdict::kWithin) return;
  // A total elongation that nobody read or measured must not stop a job.
  const bool firm = part.material.elongation_ratio &&
                    part.material.elongation_ratio->provenance != stock::Provenance::kUnconfirmed;
  const bool stop = crack->verdict == mechanics::CrackVerdict::kStop && firm;
  out.findings.push_back(
      {stop ? Severity::kStop : Severity::kCaution,
       "metal.elongation",
       std::nullopt,
       fmt::format("die {}: {} (by the trade's D/2R; {:.1f} % with the neutral fibre where it lies "
                   "in this bend)",
                   out.die, crack->message, 100.0 * out.outer_strain_ratio),
       "a larger radius, a softer condition, or one trial bend examined for cracks",
       fmt::format("outer strain D/2R against the tensile test (trade sheets); elongation {}",
                   known),
       {{"stretch_ratio", crack->strain.plain_ratio}, {"uniform_ratio", crack->uniform_ratio}}});
}

void add_roundness(const part::Part& part, const BendCase& bend, const workshop::DieSet& die,
                   const std::optional<base::Result<mechanics::OvalityForecast>>& found,
                   MetalForecast& out) {
  if (!found) return;
  const base::Result<mechanics::OvalityForecast>& ovality = *found;
  if (ovality.ok()) {
    out.ovality = ovality->of_nominal;
    out.ovality_message = ovality->message;
    if (ovality->fate == mechanics::SectionFate::kCollapses) {
      out.findings.push_back({Severity::kCaution,
                              "metal.collapse",
                              std::nullopt,
                              fmt::format("die {}: {}", out.die, ovality->message),
                              "a mandrel, a thicker wall or a larger radius",
                              "plastic flattening of a tube, docs/theory/ovality.md",
                              {}});
    }
  }
  const base::Result<mechanics::WrinkleForecast> wrinkle =
      mechanics::wrinkle_forecast(bend.section, bend.curve, part.material.poisson_ratio,
                                  bend.die_radius_mm, mechanics::WallSupport::kOneSided);
  if (!wrinkle.ok()) return;
  out.wrinkle_quotient_ratio = wrinkle->quotient_ratio;
  out.wrinkle_message = wrinkle->message;
  if (wrinkle->verdict == mechanics::WrinkleVerdict::kBeyondPlain && !die.mandrel) {
    out.findings.push_back({Severity::kCaution,
                            "metal.wrinkle",
                            std::nullopt,
                            fmt::format("die {}: {}", out.die, wrinkle->message),
                            "a die set with a mandrel, a thicker wall or a larger radius",
                            "mill handbook 2018, p. 90, Table 38: wall factor / D of bend about 10",
                            {{"quotient_ratio", wrinkle->quotient_ratio}}});
  }
}

void add_tooling(const part::Part& part, const BendCase& bend, const workshop::DieSet& die,
                 base::Angle angle_most, MetalForecast& out) {
  if (!bend.section.hollow()) return;
  const base::Result<mechanics::ToolingTable> table = mechanics::ToolingTable::built_in();
  if (table.ok()) {
    const auto advice =
        table->advise({out.wall_factor_ratio, out.d_of_bend_ratio, part.material.family});
    for (std::size_t i = 0; advice.ok() && i < advice->size(); ++i) {
      if ((*advice)[i].exceeded) out.tooling.push_back((*advice)[i]);
    }
  }
  if (!out.tooling.empty() && !die.mandrel) {
    const mechanics::ToolAdvice& first = out.tooling.front();
    out.findings.push_back(
        {Severity::kCaution,
         "metal.tooling",
         std::nullopt,
         fmt::format("die {} has no mandrel: {}", die.name, first.message),
         "a die set with a mandrel, or a trial bend that shows it does without",
         first.source,
         {{"wall_factor_ratio", out.wall_factor_ratio}, {"d_of_bend_ratio", out.d_of_bend_ratio}}});
  }
  if (!bend.section.round()) return;
  const mechanics::BendSize size{bend.section.height_mm(), bend.section.wall_mm(),
                                 bend.die_radius_mm};
  if (die.mandrel) {
    const base::Result<mechanics::NoseAdvance> nose = mechanics::nose_advance(size);
    if (nose.ok()) {
      out.nose_mm = nose->nose_mm;
      out.nose_advance_mm = nose->recommended_mm;
    }
  }
  const base::Result<mechanics::Difficulty> difficulty =
      mechanics::bend_difficulty({size.od_mm, size.wall_mm, size.clr_mm, angle_most});
  if (difficulty.ok()) out.difficulty_ratio = difficulty->number_ratio;
}

void add_drive(const BendCase& bend, const workshop::Bender& bender, double moment_nmm,
               MetalForecast& out) {
  out.torque = mechanics::die_torque(moment_nmm);
  if (!bender.torque_max_nmm) return;
  const double limit_nmm = *bender.torque_max_nmm;
  if (out.torque.high_nmm > limit_nmm) {
    const bool surely = out.torque.low_nmm > limit_nmm;
    out.findings.push_back(
        {surely ? Severity::kStop : Severity::kCaution,
         "plan.torque",
         std::nullopt,
         fmt::format("die {}: bending takes {:.0f} to {:.0f} N·m at the die, bender {} gives "
                     "{:.0f} N·m",
                     out.die, out.torque.low_nmm * 1e-3, out.torque.high_nmm * 1e-3, bender.name,
                     limit_nmm * 1e-3),
         surely ? "another bender or a lighter section"
                : "bend slowly, lubricate, and stop if the bender labours",
         out.torque.basis,
         {{"torque_nm", out.torque.likely_nmm * 1e-3}, {"limit_nm", limit_nmm * 1e-3}}});
  }
  if (!bender.power_w || !bender.speed_max_rpm) return;
  mechanics::Drive drive;
  drive.rated_torque_nmm = limit_nmm;
  drive.power_w = *bender.power_w;
  drive.max_speed_rpm = *bender.speed_max_rpm;
  const base::Result<mechanics::SpeedLimit> speed =
      mechanics::speed_limit(bend.section, out.torque, drive);
  if (speed.ok()) out.speed = *speed;
}

}  // namespace

base::Result<MetalForecast> forecast_metal(const part::Part& part, const stock::Section& section,
                                           const workshop::DieSet& die,
                                           const workshop::Bender& bender, base::Angle angle_most) {
  BIGHT_TRY(const stock::DerivedFlow flow, stock::flow_curve(part.material));
  const BendCase bend{
      .section = section,
      .curve = flow.curve,
      .die_radius_mm = die.radius_mm,
      .support = die.mandrel ? mechanics::Support::kMandrel : mechanics::Support::kDie,
      .poisson_ratio = part.material.poisson_ratio};
  BIGHT_TRY(const mechanics::BendPrediction prediction, mechanics::predict_bend(bend));
  MetalForecast out;
  out.die = die.name;
  out.wall_factor_ratio = section.wall_factor_ratio();
  out.d_of_bend_ratio = die.radius_mm / section.height_mm();
  out.outer_strain_ratio = prediction.outer_strain_ratio;
  out.stretch_ratio = prediction.stretch_ratio;
  out.neutral_shift_mm = prediction.neutral_shift_mm;
  out.springback_ratio = prediction.springback_ratio;
  const MetalSlowAnswers slow =
      memory().answer({section, part.material, die.radius_mm, die.mandrel, die.groove.height_mm},
                      [&] { return slow_answers(bend, die); });
  add_walls(slow.band, out);
  add_cracks(part, bend, out);
  add_roundness(part, bend, die, slow.ovality, out);
  add_tooling(part, bend, die, angle_most, out);
  add_drive(bend, bender, prediction.moment_nmm, out);
  return out;
}

}  // namespace bight::planning
