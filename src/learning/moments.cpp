#include "learning/moments.h"

#include <cmath>

namespace bight::learning {

base::Result<Moments> moments(std::span<const double> readings) {
  if (readings.empty()) {
    return base::Failure{"fit.few", "", "there are no readings", "take some"};
  }
  // Neumaier's compensated sum.
  double sum = 0.0;
  double lost = 0.0;
  for (const double value : readings) {
    if (!std::isfinite(value)) {
      return base::Failure{"fit.number", "", "a reading is no finite number", ""};
    }
    const double next = sum + value;
    lost += std::abs(sum) >= std::abs(value) ? (sum - next) + value : (value - next) + sum;
    sum = next;
  }
  Moments out;
  out.count = readings.size();
  const double n = static_cast<double>(out.count);
  out.mean = (sum + lost) / n;
  double rest = 0.0;
  double squares = 0.0;
  double together = 0.0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double off = readings[i] - out.mean;
    rest += off;
    squares += off * off;
    if (i > 0) together += off * (readings[i - 1] - out.mean);
  }
  // What the rounded mean leaves over (the corrected two-pass formula).
  squares -= rest * rest / n;
  if (out.count > 1 && squares > 0.0) {
    out.sigma = std::sqrt(squares / (n - 1.0));
    out.lag_one_correlation = together / squares;
  }
  return out;
}

}  // namespace bight::learning
