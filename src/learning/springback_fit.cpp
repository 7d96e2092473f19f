#include "learning/springback_fit.h"

#include <fmt/format.h>

#include <cmath>

#include "base/quantiles.h"

namespace bight::learning {

using base::Angle;
using base::Failure;

namespace {

// Set angles closer than this are one angle: the slope between them would be reading error.
constexpr Angle kApart = Angle::degrees(5.0);

base::Status check_trials(const std::vector<AngleTrial>& trials) {
  if (trials.size() < 2) {
    return Failure{"trials.few", "trials", "one trial bend cannot show a line",
                   "bend a second trial at another angle"};
  }
  double low_rad = trials.front().set.rad();
  double high_rad = low_rad;
  for (std::size_t i = 0; i < trials.size(); ++i) {
    const AngleTrial& trial = trials[i];
    const bool finite = std::isfinite(trial.set.rad()) && std::isfinite(trial.finished.rad());
    if (!finite || trial.set.rad() <= 0.0 || trial.finished > trial.set) {
      return Failure{"trials.number", fmt::format("trial {}", i + 1),
                     fmt::format("set {:.4g}°, finished {:.4g}°: a bend opens when released",
                                 trial.set.deg(), trial.finished.deg()),
                     "give the set angle and the smaller angle read after release"};
    }
    low_rad = std::min(low_rad, trial.set.rad());
    high_rad = std::max(high_rad, trial.set.rad());
  }
  if (high_rad - low_rad < kApart.rad()) {
    return Failure{"trials.same-angle", "trials",
                   fmt::format("all trials were set to about {:.4g}°, so the fixed and the "
                               "proportional part cannot be told apart",
                               trials.front().set.deg()),
                   "bend one more trial at a clearly different angle, such as 20° and 120°"};
  }
  return base::Done{};
}

}  // namespace

base::Result<SpringbackFit> SpringbackFit::make(const std::vector<AngleTrial>& trials,
                                                const FitOptions& options) {
  BIGHT_TRY(const base::Done checked, check_trials(trials));
  static_cast<void>(checked);
  const double n = static_cast<double>(trials.size());
  double mean_set_rad = 0.0;
  double mean_loss_rad = 0.0;
  for (const AngleTrial& trial : trials) {
    mean_set_rad += trial.set.rad() / n;
    mean_loss_rad += (trial.set - trial.finished).rad() / n;
  }
  double spread_rad2 = 0.0;
  double together_rad2 = 0.0;
  for (const AngleTrial& trial : trials) {
    const double off_rad = trial.set.rad() - mean_set_rad;
    spread_rad2 += off_rad * off_rad;
    together_rad2 += off_rad * ((trial.set - trial.finished).rad() - mean_loss_rad);
  }
  SpringbackFit fit;
  fit.proportional_ratio_ = together_rad2 / spread_rad2;
  fit.constant_ = Angle::radians(mean_loss_rad - fit.proportional_ratio_ * mean_set_rad);
  if (fit.proportional_ratio_ >= 1.0) {
    return Failure{"trials.law", "trials",
                   "these trials say that the tube springs back all the way",
                   "check the readings: set angle first, finished angle second"};
  }
  double residual_rad2 = 0.0;
  for (const AngleTrial& trial : trials) {
    const double miss_rad = (fit.finished_at(trial.set) - trial.finished).rad();
    residual_rad2 += miss_rad * miss_rad;
  }
  // Scatter pooled with the reading error, so that two trials, which any line fits, claim no more
  // than the protractor does.
  const double freedom = n - 2.0 + options.reading_weight_ratio;
  const double reading_rad = options.reading_sigma.rad();
  fit.sigma_ = Angle::radians(std::sqrt(
      (residual_rad2 + options.reading_weight_ratio * reading_rad * reading_rad) / freedom));
  fit.t_quantile_ratio_ = base::student_quantile(0.5 + options.confidence_ratio / 2.0, freedom);
  fit.num_trials_ = trials.size();
  fit.mean_set_rad_ = mean_set_rad;
  fit.spread_rad2_ = spread_rad2;
  return fit;
}

Angle SpringbackFit::set_for(Angle finished) const {
  return set_angle(finished, constant_, proportional_ratio_);
}

Angle SpringbackFit::finished_at(Angle set) const {
  return set - constant_ - set * proportional_ratio_;
}

Angle SpringbackFit::half_band_at(Angle set) const {
  const double off_rad = set.rad() - mean_set_rad_;
  const double widening =
      1.0 + 1.0 / static_cast<double>(num_trials_) + off_rad * off_rad / spread_rad2_;
  return Angle::radians(t_quantile_ratio_ * sigma_.rad() * std::sqrt(widening));
}

SpringbackFit SpringbackFit::scaled(double factor_ratio) const {
  SpringbackFit other = *this;
  other.constant_ = constant_ * factor_ratio;
  other.proportional_ratio_ = proportional_ratio_ * factor_ratio;
  return other;
}

Angle set_angle(Angle finished, Angle constant, double proportional_ratio) {
  BIGHT_CHECK(proportional_ratio < 1.0);
  return (finished + constant) / (1.0 - proportional_ratio);
}

base::Result<double> springback_factor(const AngleTrial& trial, Angle constant,
                                       double proportional_ratio) {
  const Angle expected = constant + trial.set * proportional_ratio;
  const Angle seen = trial.set - trial.finished;
  if (expected.rad() <= 0.0 || seen.rad() < 0.0) {
    return Failure{"trials.number", "trial",
                   fmt::format("set {:.4g}°, finished {:.4g}° cannot be compared with a law that "
                               "loses {:.4g}°",
                               trial.set.deg(), trial.finished.deg(), expected.deg()),
                   "check the readings of the trial"};
  }
  return seen / expected;
}

Angle corrected_set(Angle last_set, Angle measured, Angle target, double proportional_ratio) {
  BIGHT_CHECK(proportional_ratio < 1.0);
  return last_set + (target - measured) / (1.0 - proportional_ratio);
}

}  // namespace bight::learning
