#include "planning/known_springback.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>

#include "learning/stretch.h"
#include "mechanics/springback.h"

namespace bight::planning {

using base::Angle;
using learning::BendReading;
using learning::SpringbackModel;
using part::Finding;
using part::Severity;
using workshop::DieSet;
using workshop::TrialBend;

namespace {

// A tape reads a leg to about 1 mm (common practice, no source).
constexpr double kTapeError_mm = 1.0;
// Set angles closer than this are one angle: the slope between them would be reading error.
constexpr Angle kApart = Angle::degrees(5.0);
// From so many trials of its own on, other tubes and dies have nothing left to add.
constexpr std::size_t kEnoughOwn = 8;

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

bool same_text(const std::string& a, const std::string& b) { return lower(a) == lower(b); }

bool matches(const TrialBend& trial, const DieSet& die, const stock::Section& section,
             const stock::Material& material) {
  return trial.die == die.name && same_text(trial.material, material.name) &&
         std::abs(trial.od_mm - section.height_mm()) <= 0.25 &&
         std::abs(trial.wall_mm - section.wall_mm()) <= 0.1 * section.wall_mm();
}

// A heat belongs to one size of tube. A part without a heat is taken to be of the trials' heat.
std::string heat_name(const TrialBend& trial, const stock::Section& section,
                      const stock::Material& material) {
  const bool same_size = std::abs(trial.od_mm - section.height_mm()) <= 0.25;
  if (same_size) return material.heat.empty() ? "" : lower(trial.heat);
  return fmt::format("{:.2f} {}", trial.od_mm, lower(trial.heat));
}

std::string trial_name(const TrialBend& trial, std::size_t index) {
  return fmt::format("trial {}{}{}", index + 1, trial.date.empty() ? "" : " of ", trial.date);
}

// How far apart the set angles lie; below zero without any.
Angle span(const std::vector<Angle>& sets) {
  if (sets.empty()) return Angle::degrees(-1);
  const auto [low, high] = std::minmax_element(sets.begin(), sets.end());
  return *high - *low;
}

// The engine's first value for another trial's tube and die, where the shop still has the die.
std::optional<learning::FirstLine> first_line(const workshop::Shop& shop, const TrialBend& trial,
                                              const stock::Material& material) {
  const auto die = std::find_if(shop.die_sets.begin(), shop.die_sets.end(),
                                [&](const DieSet& d) { return d.name == trial.die; });
  if (die == shop.die_sets.end() || !die->groove.round) return std::nullopt;
  const base::Result<stock::Section> tube = stock::Section::round_tube(trial.od_mm, trial.wall_mm);
  if (!tube.ok()) return std::nullopt;
  const auto first = mechanics::first_springback(*tube, material, die->radius_mm);
  if (!first.ok()) return std::nullopt;
  return learning::FirstLine{first->constant, first->proportional_ratio};
}

// Whether blank and legs can be right with this radius: a bend uses at least as much blank as one
// stretched to the full, at most one not stretched at all (docs/theory/blank.md), each to three
// readings of a tape.
bool possible(learning::LengthTrial trial, double wall_mm, double radius_mm) {
  trial.radius_mm = radius_mm;
  const base::Result<learning::StretchReading> reading = learning::read_stretch(trial);
  if (!reading.ok()) return false;
  const double tape_ratio = 3.0 * kTapeError_mm / (radius_mm * trial.finished.rad());
  const double fibre_ratio = (trial.od_mm - wall_mm) / 2.0 / radius_mm;
  const double least_ratio = std::sqrt(std::max(0.0, 1.0 - fibre_ratio * fibre_ratio));
  return reading->arc_ratio >= least_ratio - tape_ratio && reading->arc_ratio <= 1.0 + tape_ratio;
}

// Beyond 2 % the trade measures again (common practice, no source).
std::optional<Finding> implied_radius(const learning::StretchReading& reading, double die_radius_mm,
                                      bool believed) {
  const double off_ratio = std::abs(reading.implied_radius_mm / die_radius_mm - 1.0);
  if (believed && off_ratio <= 0.02) return std::nullopt;
  return Finding{
      believed ? Severity::kNote : Severity::kCaution,
      "stretch.implied-radius",
      std::nullopt,
      fmt::format("the measured trial implies a radius of {:.1f} mm where the die says {:.1f} mm "
                  "({:.0f} % apart){}",
                  reading.implied_radius_mm, die_radius_mm, 100.0 * off_ratio,
                  believed ? "" : "; no bend uses so much or so little blank: it was left out"),
      believed
          ? "measure blank and both legs again if this is more than the tube's stretch explains"
          : "measure blank and both legs again, to the outside of the other leg",
      "common practice, no source",
      {{"implied_radius_mm", reading.implied_radius_mm}}};
}

}  // namespace

std::vector<TrialBend> matching_trials(const workshop::Shop& shop, const DieSet& die,
                                       const stock::Section& section,
                                       const stock::Material& material) {
  std::vector<TrialBend> found;
  for (const TrialBend& trial : shop.trials) {
    if (matches(trial, die, section, material)) found.push_back(trial);
  }
  return found;
}

base::Result<SpringbackReadings> springback_readings(const workshop::Shop& shop, const DieSet& die,
                                                     const stock::Section& section,
                                                     const stock::Material& material) {
  BIGHT_TRY(const mechanics::SpringbackPrior first,
            mechanics::first_springback(section, material, die.radius_mm));
  SpringbackReadings out;
  const std::string kind = "this tube and die";
  out.target = {kind, lower(material.heat), "", {first.constant, first.proportional_ratio}};
  out.basis = first.basis;
  out.source = first.source;
  const auto add = [&](std::size_t i, const std::string& of_kind, const learning::FirstLine& line) {
    const TrialBend& trial = shop.trials[i];
    out.readings.push_back({{trial.set_angle, trial.finished_angle},
                            trial_name(trial, i),
                            of_kind,
                            heat_name(trial, section, material),
                            "",
                            "",
                            line});
    out.trial.push_back(i);
  };
  for (std::size_t i = 0; i < shop.trials.size(); ++i) {
    if (matches(shop.trials[i], die, section, material)) add(i, kind, out.target.first);
  }
  out.num_matching = out.readings.size();
  if (out.num_matching >= kEnoughOwn || !section.round()) return out;
  std::map<std::string, std::optional<learning::FirstLine>> lines;
  for (std::size_t i = 0; i < shop.trials.size(); ++i) {
    const TrialBend& trial = shop.trials[i];
    if (!same_text(trial.material, material.name) || matches(trial, die, section, material)) {
      continue;
    }
    const std::string other =
        fmt::format("{:.2f} x {:.2f} in {}", trial.od_mm, trial.wall_mm, trial.die);
    if (!lines.contains(other)) lines[other] = first_line(shop, trial, material);
    if (lines[other]) add(i, other, *lines[other]);
  }
  return out;
}

base::Result<KnownSpringback> KnownSpringback::make(const workshop::Shop& shop, const DieSet& die,
                                                    const stock::Section& section,
                                                    const stock::Material& material) {
  BIGHT_TRY(const SpringbackReadings given, springback_readings(shop, die, section, material));
  KnownSpringback known;
  known.first_ = given.target.first;
  known.model_ = SpringbackModel::make(given.target, given.readings);
  std::vector<bool> counts(given.readings.size(), true);
  for (const learning::LeftOut& left : known.model_.left_out()) {
    counts[left.index] = false;
    known.findings_.push_back({Severity::kCaution,
                               left.why.code,
                               std::nullopt,
                               fmt::format("{} was left out: {}", left.why.where, left.why.message),
                               left.why.remedy,
                               "the shop's trial bends",
                               {}});
  }
  std::vector<TrialBend> own;
  std::vector<TrialBend> others;
  for (std::size_t i = 0; i < given.num_matching; ++i) {
    const TrialBend& trial = shop.trials[given.trial[i]];
    if (counts[i]) known.trials_.push_back(trial);
    (given.readings[i].heat == given.target.heat ? own : others).push_back(trial);
  }
  known.law_ = {known.model_.constant(), known.model_.proportional_ratio(), given.basis, false};
  known.add_law_findings(material, given.source);
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

void KnownSpringback::add_law_findings(const stock::Material& material, const std::string& source) {
  std::vector<Angle> own;
  std::vector<Angle> all;
  for (const TrialBend& trial : trials_) {
    all.push_back(trial.set_angle);
    if (material.heat.empty() || same_text(trial.heat, material.heat)) {
      own.push_back(trial.set_angle);
    }
  }
  law_.proven = (!own.empty() && span(all) >= kApart) || span(own) >= kApart;
  if (model_.num_kind() + model_.num_others() > 0) {
    law_.basis = model_.basis();
    if (!material.heat.empty() && !own.empty()) law_.basis += " (" + material.heat + ")";
  }
  const auto caution = [&](const char* code, std::string message, const char* remedy,
                           std::string from, std::map<std::string, double> numbers = {}) {
    findings_.push_back({Severity::kCaution, code, std::nullopt, std::move(message), remedy,
                         std::move(from), std::move(numbers)});
  };
  const std::string custom = "common practice, no source";
  if (all.empty()) {
    const AngleBand square = set_band(Angle::degrees(90));
    caution("springback.unproven",
            fmt::format("springback is not proven: bend a trial. The set angles rest on a "
                        "calculation{}{}; for 90° the right one lies between {:.1f}° and {:.1f}°",
                        model_.num_others() == 0 ? "" : " and ",
                        model_.num_others() == 0 ? "" : model_.basis(), square.low.deg(),
                        square.high.deg()),
            "bend two trials at clearly different angles and enter them", source,
            {{"set_low_deg", square.low.deg()}, {"set_high_deg", square.high.deg()}});
    return;
  }
  if (own.empty()) {
    caution("springback.other-heat",
            fmt::format("the trial bends were made in another heat; a new heat can spring back "
                        "differently, heats here by about {:.0f} %",
                        100.0 * model_.heat_ratio()),
            "bend one 90° in this heat and enter it", custom,
            {{"heat_ratio", model_.heat_ratio()}});
  }
  if (own.size() >= 2 && span(own) < kApart) {
    caution("trials.same-angle",
            fmt::format("all trials were set to about {:.4g}°, so the fixed and the proportional "
                        "part cannot be told apart",
                        own.front().deg()),
            "bend one more trial at a clearly different angle, such as 20° and 120°",
            "the shop's trial bends");
  }
  if (span(all) < kApart) {
    caution("springback.one-angle",
            "springback rests on trial bends at one angle; other angles are uncertain",
            "bend a second trial at a clearly different angle", custom);
  }
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
    const double tape_ratio = kTapeError_mm / (measured.radius_mm * t.finished_angle.rad());
    // A radius nobody measured lies between the die's and the calculated one.
    const bool believed = possible(measured, t.wall_mm, measured.radius_mm) ||
                          (!t.radius_after_mm && possible(measured, t.wall_mm, die_radius_mm));
    if (const auto finding = implied_radius(*reading, die_radius_mm, believed)) {
      findings_.push_back(*finding);
    }
    if (!believed) continue;
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
  const learning::AngleInterval band = model_.set_band(finished);
  return {std::min(band.low, band.likely), band.likely, std::max(band.high, band.likely)};
}

double KnownSpringback::radius_after_release_mm(double die_radius_mm) const {
  if (measured_growth_ratio_.has_value()) return die_radius_mm * *measured_growth_ratio_;
  // The neutral fibre keeps its length: R theta is conserved by the proportional part.
  return die_radius_mm / (1.0 - std::max(0.0, law_.proportional_ratio));
}

}  // namespace bight::planning
