#include "planning/known_springback.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "learning/stretch.h"
#include "mechanics/springback.h"

namespace bight::planning {

using base::Angle;
using learning::AngleTrial;
using learning::SpringbackFit;
using part::Finding;
using part::Severity;
using workshop::TrialBend;

namespace {

// A springback line carried to another heat keeps at least this error; published models missed
// measured springback by 14 to 39 % (Science Progress 2020, doi 10.1177/0036850420984303).
constexpr double kOtherHeat_ratio = 0.15;
// A protractor on round tube reads to about half a degree (trade press on measuring bends).
constexpr Angle kReadingError = Angle::degrees(0.5);
// A tape reads a leg to about 1 mm (common practice, no source).
constexpr double kTapeError_mm = 1.0;

bool same_text(const std::string& a, const std::string& b) {
  return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), [](char x, char y) {
           return std::tolower(static_cast<unsigned char>(x)) ==
                  std::tolower(static_cast<unsigned char>(y));
         });
}

std::vector<AngleTrial> angles(const std::vector<TrialBend>& trials) {
  std::vector<AngleTrial> out;
  for (const TrialBend& t : trials) out.push_back({t.set_angle, t.finished_angle});
  return out;
}

std::string of_heat(const std::string& heat) { return heat.empty() ? "" : " of heat " + heat; }

double mean_factor(const std::vector<TrialBend>& trials, Angle constant, double proportional_ratio,
                   std::vector<Finding>& findings) {
  double sum_ratio = 0.0;
  int count = 0;
  for (const TrialBend& t : trials) {
    const base::Result<double> factor =
        learning::springback_factor({t.set_angle, t.finished_angle}, constant, proportional_ratio);
    if (factor.ok()) {
      sum_ratio += *factor;
      ++count;
    } else {
      findings.push_back({Severity::kCaution,
                          factor.failure().code,
                          std::nullopt,
                          "a trial bend was left out: " + factor.failure().message,
                          factor.failure().remedy,
                          "the shop's trial bends",
                          {}});
    }
  }
  return count == 0 ? 1.0 : sum_ratio / count;
}

}  // namespace

std::vector<TrialBend> matching_trials(const workshop::Shop& shop, const workshop::DieSet& die,
                                       const stock::Section& section,
                                       const stock::Material& material) {
  std::vector<TrialBend> found;
  for (const TrialBend& trial : shop.trials) {
    if (trial.die == die.name && same_text(trial.material, material.name) &&
        std::abs(trial.od_mm - section.height_mm()) <= 0.25 &&
        std::abs(trial.wall_mm - section.wall_mm()) <= 0.1 * section.wall_mm()) {
      found.push_back(trial);
    }
  }
  return found;
}

base::Result<KnownSpringback> KnownSpringback::make(const workshop::Shop& shop,
                                                    const workshop::DieSet& die,
                                                    const stock::Section& section,
                                                    const stock::Material& material) {
  const std::vector<TrialBend> all = matching_trials(shop, die, section, material);
  std::vector<TrialBend> own;
  std::vector<TrialBend> others;
  for (const TrialBend& trial : all) {
    const bool ours = material.heat.empty() || same_text(trial.heat, material.heat);
    (ours ? own : others).push_back(trial);
  }
  KnownSpringback known;
  BIGHT_TRY(const base::Done done, known.learn_line(own, others, section, material, die.radius_mm));
  static_cast<void>(done);
  double growth_sum_ratio = 0.0;
  int num_growths = 0;
  for (const TrialBend& trial : own) {
    if (!trial.radius_after_mm.has_value()) continue;
    growth_sum_ratio += *trial.radius_after_mm / die.radius_mm;
    ++num_growths;
  }
  if (num_growths > 0) known.measured_growth_ratio_ = growth_sum_ratio / num_growths;
  known.learn_stretch(own.empty() ? others : own, die.radius_mm);
  if (die.mark_offset_mm.has_value()) known.mark_offset_mm_ = die.mark_offset_mm;
  return known;
}

base::Status KnownSpringback::learn_line(const std::vector<TrialBend>& own,
                                         const std::vector<TrialBend>& others,
                                         const stock::Section& section,
                                         const stock::Material& material, double die_radius_mm) {
  const base::Result<SpringbackFit> own_fit = SpringbackFit::make(angles(own));
  if (own_fit.ok()) {
    fit_ = *own_fit;
    law_ = {own_fit->constant(), own_fit->proportional_ratio(),
            fmt::format("line through {} trial bends{}", own.size(), of_heat(material.heat)), true};
    return base::Done{};
  }
  if (own.size() >= 2) {
    const base::Failure& why = own_fit.failure();
    findings_.push_back({Severity::kCaution,
                         why.code,
                         std::nullopt,
                         why.message,
                         why.remedy,
                         "the shop's trial bends",
                         {}});
  }
  const base::Result<SpringbackFit> other_fit = SpringbackFit::make(angles(others));
  if (other_fit.ok() && !own.empty()) {
    const double factor_ratio =
        mean_factor(own, other_fit->constant(), other_fit->proportional_ratio(), findings_);
    fit_ = other_fit->scaled(factor_ratio);
    law_ = {fit_->constant(), fit_->proportional_ratio(),
            fmt::format("line of another heat times {:.2f} from {} bend(s){}", factor_ratio,
                        own.size(), of_heat(material.heat)),
            true};
    return base::Done{};
  }
  if (other_fit.ok()) {
    fit_ = *other_fit;
    extra_ratio_ = kOtherHeat_ratio;
    law_ = {fit_->constant(), fit_->proportional_ratio(),
            fmt::format("line through {} trial bends of other heats", others.size()), false};
    findings_.push_back(
        {Severity::kCaution,
         "springback.other-heat",
         std::nullopt,
         "the trial bends were made in another heat; a new heat can spring back differently",
         "bend one 90° in this heat and enter it",
         "common practice, no source",
         {}});
    return base::Done{};
  }
  BIGHT_TRY(const mechanics::SpringbackPrior first,
            mechanics::first_springback(section, material, die_radius_mm));
  const std::vector<TrialBend>& few = own.empty() ? others : own;
  if (few.empty()) {
    law_ = {first.constant, first.proportional_ratio, first.basis, false};
    bounds_ = {{first.constant_low, first.proportional_low_ratio},
               {first.constant_high, first.proportional_high_ratio}};
    findings_.push_back({Severity::kCaution,
                         "springback.unproven",
                         std::nullopt,
                         "springback is not proven: bend a trial. The set angles rest on a "
                         "calculation that can be 40 % off",
                         "bend two trials, at about 20° and 120°, and enter them",
                         first.source,
                         {{"band_ratio", mechanics::kUncalibratedSpringback_ratio}}});
    return base::Done{};
  }
  const double factor_ratio = mean_factor(few, first.constant, first.proportional_ratio, findings_);
  law_ = {first.constant * factor_ratio, first.proportional_ratio * factor_ratio,
          fmt::format("first value times {:.2f} from trial bends at one angle{}", factor_ratio,
                      of_heat(few.front().heat)),
          false};
  // One angle fixes the sum, not its two parts: all constant and all proportional bound it.
  for (const TrialBend& trial : few) {
    const Angle lost = trial.set_angle - trial.finished_angle;
    bounds_.push_back({lost, 0.0});
    bounds_.push_back({Angle(), lost / trial.set_angle});
  }
  reading_error_ = kReadingError;
  findings_.push_back({Severity::kCaution,
                       "springback.one-angle",
                       std::nullopt,
                       "springback rests on trial bends at one angle; other angles are uncertain",
                       "bend a second trial at a clearly different angle",
                       "common practice, no source",
                       {}});
  return base::Done{};
}

void KnownSpringback::learn_stretch(const std::vector<TrialBend>& trials, double die_radius_mm) {
  KnownStretch stretch;
  double sum_ratio = 0.0;
  double offset_sum_mm = 0.0;
  std::size_t num_offsets = 0;
  const double radius_mm = radius_after_release_mm(die_radius_mm);
  for (const TrialBend& t : trials) {
    if (!t.blank_mm || !t.leg_a_outside_mm || !t.leg_b_outside_mm) continue;
    const learning::LengthTrial measured{*t.blank_mm,
                                         *t.leg_a_outside_mm,
                                         *t.leg_b_outside_mm,
                                         t.finished_angle,
                                         t.od_mm,
                                         t.radius_after_mm.value_or(radius_mm)};
    const base::Result<learning::StretchReading> reading = learning::read_stretch(measured);
    if (!reading.ok()) {
      findings_.push_back({Severity::kCaution,
                           reading.failure().code,
                           std::nullopt,
                           "a measured trial was left out: " + reading.failure().message,
                           reading.failure().remedy,
                           "the shop's trial bends",
                           {}});
      continue;
    }
    const double off_ratio = std::abs(reading->implied_radius_mm / die_radius_mm - 1.0);
    if (off_ratio > 0.02) {
      findings_.push_back(
          {off_ratio > 0.08 ? Severity::kCaution : Severity::kNote,
           "stretch.implied-radius",
           std::nullopt,
           fmt::format("the measured trial implies a radius of {:.1f} mm where the die says "
                       "{:.1f} mm ({:.0f} % apart)",
                       reading->implied_radius_mm, die_radius_mm, 100.0 * off_ratio),
           "measure blank and both legs again if this is more than the tube's stretch explains",
           "common practice, no source",
           {{"implied_radius_mm", reading->implied_radius_mm}}});
    }
    const double tape_ratio = kTapeError_mm / (measured.radius_mm * t.finished_angle.rad());
    if (stretch.num_trials == 0) {
      stretch.low_ratio = reading->arc_ratio - tape_ratio;
      stretch.high_ratio = reading->arc_ratio + tape_ratio;
    }
    stretch.low_ratio = std::min(stretch.low_ratio, reading->arc_ratio - tape_ratio);
    stretch.high_ratio = std::max(stretch.high_ratio, reading->arc_ratio + tape_ratio);
    sum_ratio += reading->arc_ratio;
    ++stretch.num_trials;
    if (t.mark_mm) {
      offset_sum_mm += learning::mark_offset_mm(measured, *t.mark_mm);
      ++num_offsets;
    }
  }
  if (stretch.num_trials > 0) {
    stretch.arc_ratio = sum_ratio / static_cast<double>(stretch.num_trials);
    stretch_ = stretch;
  }
  if (num_offsets > 0) mark_offset_mm_ = offset_sum_mm / static_cast<double>(num_offsets);
}

AngleBand KnownSpringback::set_band(Angle finished) const {
  const Angle likely = learning::set_angle(finished, law_.constant, law_.proportional_ratio);
  if (fit_.has_value()) {
    const Angle half = fit_->half_band_at(likely) / (1.0 - law_.proportional_ratio) +
                       (likely - finished) * extra_ratio_;
    return {likely - half, likely, likely + half};
  }
  AngleBand band{likely, likely, likely};
  for (const LineBounds& line : bounds_) {
    const Angle set = learning::set_angle(finished, line.constant, line.proportional_ratio);
    band.low = std::min(band.low, set);
    band.high = std::max(band.high, set);
  }
  band.low = band.low - reading_error_;
  band.high = band.high + reading_error_;
  return band;
}

double KnownSpringback::radius_after_release_mm(double die_radius_mm) const {
  if (measured_growth_ratio_.has_value()) return die_radius_mm * *measured_growth_ratio_;
  // The neutral fibre keeps its length: R theta is conserved by the proportional part.
  return die_radius_mm / (1.0 - std::max(0.0, law_.proportional_ratio));
}

}  // namespace bight::planning
