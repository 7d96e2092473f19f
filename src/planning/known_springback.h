// What is known about the springback and stretch of one tube in one die.
#pragma once

#include <optional>
#include <vector>

#include "base/result.h"
#include "learning/springback_model.h"
#include "part/finding.h"
#include "planning/plan.h"
#include "stock/material.h"
#include "stock/section.h"
#include "workshop/shop.h"

namespace bight::planning {

// Measured use of blank per bend, from the trials with legs.
struct KnownStretch {
  double arc_ratio = 1.0;  // blank used / (radius after release * angle), mean of the trials
  double low_ratio = 1.0;  // lowest and highest seen, widened by the tape's error of 1 mm
  double high_ratio = 1.0;
  std::size_t num_trials = 0;
};

class KnownSpringback {
 public:
  // From the shop's trial bends, by one model for all cases (learning/springback_model.h): the
  // engine's first value for this tube in this die, trials of the same metal in other sizes and
  // dies, trials of other heats, trials of this heat. A part that names no heat is taken to be of
  // the trials' heat, and what they differ by counts as scatter. Trials that cannot be or that
  // contradict all others are left out, with a finding.
  // Failure codes: those of mechanics::first_springback.
  static base::Result<KnownSpringback> make(const workshop::Shop& shop, const workshop::DieSet& die,
                                            const stock::Section& section,
                                            const stock::Material& material);

  const SpringbackLaw& law() const { return law_; }
  // The set angle for a finished angle with its 90 % band.
  AngleBand set_band(base::Angle finished) const;
  double radius_after_release_mm(double die_radius_mm) const;
  const std::optional<KnownStretch>& stretch() const { return stretch_; }
  const std::optional<double>& mark_offset_mm() const { return mark_offset_mm_; }
  const std::vector<part::Finding>& findings() const { return findings_; }

  const learning::SpringbackModel& model() const { return model_; }
  // What the model started from: the engine's first value and where it comes from.
  const learning::FirstLine& first() const { return first_; }
  // The trial bends that count, of this tube and die, any heat.
  const std::vector<workshop::TrialBend>& trials() const { return trials_; }

 private:
  void add_law_findings(const stock::Material& material, const std::string& source);
  void learn_stretch(const std::vector<workshop::TrialBend>& trials, double die_radius_mm);

  SpringbackLaw law_;
  learning::SpringbackModel model_;
  learning::FirstLine first_;
  std::vector<workshop::TrialBend> trials_;
  std::optional<double> measured_growth_ratio_;  // measured radius / die radius
  std::optional<KnownStretch> stretch_;
  std::optional<double> mark_offset_mm_;
  std::vector<part::Finding> findings_;
};

// Trials of this die with a tube of this size and metal, of any heat. Sizes match within 0.25 mm
// of OD and a tenth of the wall, metals by name without regard to capitals.
std::vector<workshop::TrialBend> matching_trials(const workshop::Shop& shop,
                                                 const workshop::DieSet& die,
                                                 const stock::Section& section,
                                                 const stock::Material& material);

// The shop's trial bends as the model reads them, for this tube in this die: trials that match,
// then those of the same metal in other round tubes and dies, with the engine's first value of
// each.
struct SpringbackReadings {
  learning::SpringbackTarget target;
  std::vector<learning::BendReading> readings;
  std::vector<std::size_t> trial;  // index into shop.trials of each reading
  std::size_t num_matching = 0;    // of this tube and die; they come first
  std::string basis;               // of the first value, in words
  std::string source;
};
// Failure codes: those of mechanics::first_springback.
base::Result<SpringbackReadings> springback_readings(const workshop::Shop& shop,
                                                     const workshop::DieSet& die,
                                                     const stock::Section& section,
                                                     const stock::Material& material);

}  // namespace bight::planning
