// What all trial bends together say of the springback of one tube in one die: the engine's first
// value, other tubes and dies, other heats, this heat, this run; with a band that admits its width.
//
// S = set - finished = a + b * set, a function of the set angle (springback_fit.h). The theory,
// with the same words, is in docs/theory/learning.md.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "learning/springback_fit.h"

namespace bight::learning {

// The engine's first value for a tube in a die.
struct FirstLine {
  base::Angle constant;
  double proportional_ratio = 0.0;
};

// One angle read after one hit.
struct BendReading {
  AngleTrial angles;
  std::string name;  // "trial 3", for messages
  std::string kind;  // tube and die; readings of one kind share a line
  std::string heat;
  std::string bend;  // hits on one and the same bend share this; empty: a bend of its own
  std::string run;   // bends made one after the other share this, in their order; empty: none
  FirstLine first;   // of this kind
};

// What is to be predicted.
struct SpringbackTarget {
  std::string kind;
  std::string heat;
  std::string run;
  FirstLine first;
};

// How far apart things are believed to lie before anything was measured. Shares are of the
// springback itself. See docs/theory/learning.md for where each comes from.
struct SpringbackBelief {
  // The engine's error in b that all tubes and dies of one metal share, and in a.
  double shared_proportional_ratio = 0.20;
  double shared_constant_ratio = 0.60;
  double kind_ratio = 0.15;                            // further error of one tube in one die
  base::Angle kind_play = base::Angle::degrees(0.4);   // play of one die and bender, in a
  std::vector<double> beyond_ratio = {1.0, 2.0, 4.0};  // the four above may be this much larger,
  std::vector<double> beyond_weight = {0.75, 0.20, 0.05};  // with these odds
  // Standard deviation between heats, and its odds.
  std::vector<double> heat_ratio = {0.03, 0.05, 0.08, 0.13, 0.20, 0.32};
  std::vector<double> heat_weight = {0.20, 0.20, 0.20, 0.20, 0.13, 0.07};
  // One reading's scatter, bend to bend and gauge together: logarithmic about the middle. Between
  // a digital level's 0.1° and a vernier protractor's 0.25° (half of ±0.5°).
  base::Angle noise_middle = base::Angle::degrees(0.12);
  double noise_log_sigma = 0.5;
  // The gauge's share of that variance, unless gauge_sigma is known.
  double gauge_share_ratio = 0.5;
  std::optional<base::Angle> gauge_sigma;
  // Drift per bend within a run, and its odds.
  std::vector<base::Angle> drift = {base::Angle(), base::Angle::degrees(0.02),
                                    base::Angle::degrees(0.06)};
  std::vector<double> drift_weight = {0.6, 0.25, 0.15};
};

// A set angle or finished angle with the interval that holds the true one with the confidence.
struct AngleInterval {
  base::Angle low, likely, high;
};

// A reading that was set aside, and why.
struct LeftOut {
  std::size_t index = 0;  // into the readings given
  base::Failure why;      // trials.number (cannot be), trials.outlier (contradicts all others)
};

inline constexpr double kBandConfidence_ratio = 0.90;

class SpringbackModel {
 public:
  // Never fails: without a reading it is the first value with its band. Readings that cannot be
  // (not finite, finished more than 0.5° above set, nothing left) and readings that contradict all
  // others are left out and named. At most kMostReadings count, the least related and oldest give
  // way first.
  static SpringbackModel make(const SpringbackTarget& target,
                              const std::vector<BendReading>& readings,
                              const SpringbackBelief& belief = {});

  base::Angle constant() const { return constant_; }                 // a, most likely
  double proportional_ratio() const { return proportional_ratio_; }  // b < 1
  base::Angle noise_sigma() const { return noise_sigma_; }           // of one reading
  double heat_ratio() const { return heat_ratio_; }                  // heats differ by this much
  base::Angle drift() const { return drift_; }  // of the target's run by now; loss since its start
  base::Angle drift_sigma() const { return drift_sigma_; }
  const std::vector<LeftOut>& left_out() const { return left_out_; }

  std::size_t num_own() const { return num_own_; }    // readings of this kind and heat that count
  std::size_t num_kind() const { return num_kind_; }  // of this kind, any heat
  std::size_t num_heats() const { return num_heats_; }
  std::size_t num_others() const { return num_others_; }
  // "prior only", "2 trials on this heat", "2 trials, no heat named", "34 bends on 3 heats, 2 on
  // this one".
  std::string basis() const;

  base::Angle set_for(base::Angle finished) const;
  base::Angle finished_at(base::Angle set) const;
  // The next bend's finished angle as it will be read.
  AngleInterval finished_band(base::Angle set, double confidence = kBandConfidence_ratio) const;
  // The set angle that will prove right for the next bend, read as above.
  AngleInterval set_band(base::Angle finished, double confidence = kBandConfidence_ratio) const;
  // Chance that the next bend, gauge error left out, finishes above `limit`.
  double chance_above(base::Angle set, base::Angle limit) const;

  // One state of what is not known, with its weight: given it, a and b are normal. For best_trial.h
  // and first_hit.h.
  struct State {
    double weight = 0.0;
    double a_rad = 0.0;
    double b = 0.0;
    double var_a_rad2 = 0.0;
    double cov_ab_rad = 0.0;
    double var_b = 0.0;
    double bend_rad2 = 0.0;   // variance bend to bend
    double gauge_rad2 = 0.0;  // variance of a reading of one and the same bend

    double mean_rad(double set_rad) const { return a_rad + b * set_rad; }
    double var_rad2(double set_rad) const {
      return var_a_rad2 + set_rad * (2.0 * cov_ab_rad + set_rad * var_b);
    }
    // Of one more bend's reading.
    double reading_rad2(double set_rad) const { return var_rad2(set_rad) + bend_rad2 + gauge_rad2; }
  };
  const std::vector<State>& states() const { return states_; }

 private:
  friend struct ModelBuilder;
  // Springback below which this share of the readings at the set angle lies.
  double loss_quantile_rad(double set_rad, double share_ratio) const;

  std::vector<State> states_;
  base::Angle constant_;
  double proportional_ratio_ = 0.0;
  base::Angle noise_sigma_;
  double heat_ratio_ = 0.0;
  base::Angle drift_;
  base::Angle drift_sigma_;
  std::vector<LeftOut> left_out_;
  std::size_t num_own_ = 0;
  std::size_t num_kind_ = 0;
  std::size_t num_heats_ = 0;
  std::size_t num_others_ = 0;
  bool heat_named_ = false;  // of the target
};

inline constexpr std::size_t kMostReadings = 150;

}  // namespace bight::learning
