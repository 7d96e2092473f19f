// Springback and stretch learned from trial bends.
//
// Convention, stored with every law: springback S = set angle - finished angle is a function of
// the SET (loaded) angle, S = a + b * set. Hence set = (finished + a) / (1 - b). A published
// constant pair that takes the finished angle instead differs: a 1.5°, b 0.05 gives 96.0° for 90°
// there and 96.3° here.
#pragma once

#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"

namespace bight::learning {

// The convention in the words that files and sheets carry.
inline constexpr const char* kConvention = "of the set angle";

// Springback as read at the bench.
struct AngleTrial {
  base::Angle set;
  base::Angle finished;
};

struct FitOptions {
  // One-sigma error of reading a finished angle; a vernier protractor on round tube reads to about
  // ±0.5° (trade press on measuring bends), taken as two sigma.
  base::Angle reading_sigma = base::Angle::degrees(0.25);
  // The reading error counts as this many readings beside the scatter of the trials themselves.
  double reading_weight_ratio = 2.0;
  double confidence_ratio = 0.95;
};

// A straight-line law with what is needed to give its band at any angle.
class SpringbackFit {
 public:
  // Least-squares line through the trials.
  // Failure codes: trials.few (fewer than two), trials.same-angle (all at one set angle: a and b
  // cannot be told apart), trials.number (finished above set, or not finite), trials.law (the line
  // loses everything: b >= 1).
  static base::Result<SpringbackFit> make(const std::vector<AngleTrial>& trials,
                                          const FitOptions& options = {});

  base::Angle constant() const { return constant_; }                 // a
  double proportional_ratio() const { return proportional_ratio_; }  // b
  std::size_t num_trials() const { return num_trials_; }
  base::Angle scatter_sigma() const { return sigma_; }

  base::Angle set_for(base::Angle finished) const;
  base::Angle finished_at(base::Angle set) const;
  // Half width of the band that holds one further bend's finished angle at this set angle, with
  // the options' confidence (Student t on pooled scatter).
  base::Angle half_band_at(base::Angle set) const;

  // Both constants multiplied: a new heat measured by one bend (shop approximation).
  SpringbackFit scaled(double factor_ratio) const;

 private:
  base::Angle constant_;
  double proportional_ratio_ = 0.0;
  std::size_t num_trials_ = 0;
  base::Angle sigma_;
  double t_quantile_ratio_ = 0.0;
  double mean_set_rad_ = 0.0;
  double spread_rad2_ = 0.0;  // sum of squared distances from the mean set angle
};

// Set angle under a law: (finished + a) / (1 - b). @pre b < 1.
base::Angle set_angle(base::Angle finished, base::Angle constant, double proportional_ratio);

// How much more (or less) a trial springs back than a law says at its set angle.
// Failure code: trials.number (the law's springback there is not positive).
base::Result<double> springback_factor(const AngleTrial& trial, base::Angle constant,
                                       double proportional_ratio);

// Next set angle from the last one and what it gave: last + (target - measured) / (1 - b).
base::Angle corrected_set(base::Angle last_set, base::Angle measured, base::Angle target,
                          double proportional_ratio);

}  // namespace bight::learning
