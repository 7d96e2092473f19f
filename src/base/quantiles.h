// Quantiles and tails of the distributions that charts and intervals need (Boost.Math).
#pragma once

namespace bight::base {

// @pre 0 < share < 1, freedom > 0.
double normal_quantile(double share_ratio);
double normal_share_below(double z);
double student_quantile(double share_ratio, double freedom);
double chi_squared_quantile(double share_ratio, double freedom);
// Share of Fisher's F above the value. @pre value >= 0.
double fisher_share_above(double value, double freedom_over, double freedom_under);

}  // namespace bight::base
