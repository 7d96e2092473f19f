// What is known about the springback and stretch of one tube in one die.
#pragma once

#include <optional>
#include <vector>

#include "base/result.h"
#include "learning/springback_fit.h"
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
  // From the shop's trial bends of this die, size and metal; the heat decides between them:
  //  1. two or more trials of this heat at different angles: their line;
  //  2. a line from other heats and one trial of this heat: that line, both constants scaled;
  //  3. a line from other heats alone: that line, band widened by 15 % of the springback;
  //  4. one trial (or several at one angle): the computed first value scaled through it;
  //  5. none: the computed first value, ±40 %.
  // Failure codes: those of mechanics::first_springback.
  static base::Result<KnownSpringback> make(const workshop::Shop& shop, const workshop::DieSet& die,
                                            const stock::Section& section,
                                            const stock::Material& material);

  const SpringbackLaw& law() const { return law_; }
  AngleBand set_band(base::Angle finished) const;
  double radius_after_release_mm(double die_radius_mm) const;
  const std::optional<KnownStretch>& stretch() const { return stretch_; }
  const std::optional<double>& mark_offset_mm() const { return mark_offset_mm_; }
  const std::vector<part::Finding>& findings() const { return findings_; }

 private:
  struct LineBounds {
    base::Angle constant;
    double proportional_ratio = 0.0;
  };

  base::Status learn_line(const std::vector<workshop::TrialBend>& own,
                          const std::vector<workshop::TrialBend>& others,
                          const stock::Section& section, const stock::Material& material,
                          double die_radius_mm);
  void learn_stretch(const std::vector<workshop::TrialBend>& trials, double die_radius_mm);

  SpringbackLaw law_;
  std::optional<learning::SpringbackFit> fit_;  // band by statistics
  double extra_ratio_ = 0.0;                    // widening as a share of the springback
  std::vector<LineBounds> bounds_;              // band by the envelope of these, when no fit
  base::Angle reading_error_;
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

}  // namespace bight::planning
