#include "app/learn_text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "app/columns.h"
#include "app/plan_text.h"
#include "exchange/lessons_json.h"
#include "planning/words.h"

namespace bight::app {

using base::Angle;
using base::LengthStyle;
using planning::say;

namespace {

std::string hundredths(Angle angle) { return fmt::format("{:.2f}°", angle.deg()); }

std::string percent(double share) { return fmt::format("{:.1f} %", 100.0 * share); }

}  // namespace

std::string trials_text(const std::vector<workshop::TrialBend>& trials,
                        const LengthStyle& unitful) {
  if (trials.empty()) return "  no trial bends yet\n";
  LengthStyle style = unitful;
  style.with_unit = false;
  LengthStyle finer = style;
  finer.form = LengthStyle::Form::kDecimal;
  finer.decimals = style.unit == base::LengthUnit::kInch ? 3 : 2;
  Columns table;
  table.to_the_left({1, 4, 5, 9});
  table.add({"", "die", "od", "wall", "material", "heat", "set", "finished", "lost", "date, who",
             "blank", "legs"});
  for (std::size_t i = 0; i < trials.size(); ++i) {
    const workshop::TrialBend& t = trials[i];
    std::string legs;
    if (t.leg_a_outside_mm && t.leg_b_outside_mm) {
      legs = say(*t.leg_a_outside_mm, style) + " + " + say(*t.leg_b_outside_mm, style);
    }
    table.add({fmt::format("{}", i + 1), t.die, say(t.od_mm, finer), say(t.wall_mm, finer),
               t.material, t.heat, say(t.set_angle), say(t.finished_angle),
               hundredths(t.set_angle - t.finished_angle),
               t.date + (t.date.empty() || t.who.empty() ? "" : ", ") + t.who,
               t.blank_mm ? say(*t.blank_mm, style) : "", legs});
  }
  return table.text();
}

std::string known_text(const workshop::DieSet& die, const planning::KnownSpringback& known,
                       const std::vector<Angle>& wanted, const LengthStyle& style, bool colour) {
  std::string out = fmt::format("die {}: springback {:.2f}° + {:.4f} x set angle; {}{}\n", die.name,
                                known.law().constant.deg(), known.law().proportional_ratio,
                                known.law().basis, known.law().proven ? "" : "; NOT PROVEN");
  out += fmt::format("  one reading scatters by {} (one sigma)\n",
                     hundredths(known.model().noise_sigma()));
  Columns table;
  table.add({"finished", "set to", "(from .. to)"});
  for (const Angle angle : exchange::band_angles(wanted)) {
    const planning::AngleBand band = known.set_band(angle);
    table.add({say(angle), hundredths(band.likely),
               fmt::format("{} .. {}", hundredths(band.low), hundredths(band.high))});
  }
  out += table.text();
  out += "  the true set angle lies in the band in 9 of 10 cases\n";
  if (known.stretch()) {
    const planning::KnownStretch& s = *known.stretch();
    out += fmt::format(
        "  a bend uses {:.4f} ({:.4f} .. {:.4f}) of radius x angle; proven by {} measured bend{}\n",
        s.arc_ratio, s.low_ratio, s.high_ratio, s.num_trials, s.num_trials == 1 ? "" : "s");
  } else {
    out += "  cut lengths are not proven: no trial has its blank and legs measured\n";
  }
  if (known.mark_offset_mm()) {
    out += fmt::format("  the bend starts {} beyond the die's mark\n",
                       say(*known.mark_offset_mm(), style));
  }
  if (!known.findings().empty()) out += "\n" + findings_text(known.findings(), colour);
  return out;
}

std::string next_text(const planning::DieLessons& lessons) {
  if (!lessons.next) return fmt::format("die {}: no bend to learn for\n", lessons.die.name);
  const learning::BestTrial& next = *lessons.next;
  return fmt::format(
      "die {} (bend{} {}): set a trial bend to {}\n"
      "  known worst now: {}, good to ±{}; after this trial ±{} or better\n",
      lessons.die.name, lessons.bends.size() == 1 ? "" : "s", fmt::join(lessons.bends, ", "),
      say(next.set), say(next.worst_at), hundredths(next.half_now), hundredths(next.half_after));
}

std::string hit_text(Angle wanted, const std::vector<learning::AngleTrial>& hits,
                     const learning::Hit& hit, const learning::HitForecast& forecast,
                     const learning::HitOptions& options) {
  std::string out = fmt::format("wanted {} ±{}\n", say(wanted), say(options.tolerance));
  for (std::size_t i = 0; i < hits.size(); ++i) {
    out += fmt::format("  hit {}: set {}, read {}\n", i + 1, hundredths(hits[i].set),
                       hundredths(hits[i].finished));
  }
  if (hit.enough) {
    const bool over = !hits.empty() && hits.back().finished > wanted + options.tolerance;
    return out + (over ? "  BEYOND the tolerance: do not hit again; a bend is not opened\n"
                       : "  there: do not hit again\n");
  }
  out += fmt::format("  SET {}   most likely finishes at {}, chance of overbending {}\n",
                     hundredths(hit.set), hundredths(hit.finished), percent(hit.overbend_chance));
  if (!hits.empty()) return out;
  out += fmt::format(
      "  worked like this a bend takes {:.1f} hits, {} are scrapped; keying in the most likely "
      "angle at once {:.1f} hits, {} scrapped\n",
      forecast.expected_hits, percent(forecast.scrap_chance), forecast.plain_hits,
      percent(forecast.plain_scrap_chance));
  return out;
}

}  // namespace bight::app
