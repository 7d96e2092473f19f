#include "base/quantiles.h"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

namespace bight::base {

namespace bm = boost::math;

double normal_quantile(double share_ratio) { return bm::quantile(bm::normal(), share_ratio); }

double normal_share_below(double z) { return bm::cdf(bm::normal(), z); }

double student_quantile(double share_ratio, double freedom) {
  return bm::quantile(bm::students_t(freedom), share_ratio);
}

double chi_squared_quantile(double share_ratio, double freedom) {
  return bm::quantile(bm::chi_squared(freedom), share_ratio);
}

double fisher_share_above(double value, double freedom_over, double freedom_under) {
  return bm::cdf(bm::complement(bm::fisher_f(freedom_over, freedom_under), value));
}

}  // namespace bight::base
