#include "learning/moments.h"

#include <gtest/gtest.h>

#include <limits>
#include <map>

#include "learning/reference_test_util.h"

namespace bight::learning {
namespace {

// Lew, Mavro and Michelso of NIST's StRD univariate sets: certified mean, standard deviation and
// lag-1 autocorrelation to at least 12 digits.
TEST(MomentsReference, StrdUnivariateSets) {
  const base::CsvTable results = reference::table("nist_handbook/reference_results.csv");
  for (const char* name : {"lew", "mavro", "michelso"}) {
    const base::CsvTable csv = reference::table(std::string("nist_strd/univ_") + name + ".csv");
    std::vector<double> y;
    for (std::size_t i = 0; i < csv.num_rows(); ++i) y.push_back(*csv.number(i, "y"));
    const Moments got = *moments(y);
    const std::map<std::string, double> values = {
        {"mean", got.mean}, {"sd", got.sigma}, {"lag-1 autocorrelation", got.lag_one_correlation}};
    int found = 0;
    for (std::size_t i = 0; i < results.num_rows(); ++i) {
      if (*results.text(i, "dataset") != std::string("strd_univ_") + name) continue;
      const double certified = *results.number(i, "value");
      EXPECT_GE(reference::digits(values.at(*results.text(i, "quantity")), certified), 12.0)
          << name;
      ++found;
    }
    EXPECT_EQ(found, 3) << name;
  }
}

TEST(Moments, DegenerateReadings) {
  EXPECT_EQ(moments({}).failure().code, "fit.few");
  const std::vector<double> broken = {1.0, std::numeric_limits<double>::quiet_NaN()};
  EXPECT_EQ(moments(broken).failure().code, "fit.number");
  const std::vector<double> one = {4.0};
  EXPECT_EQ(moments(one)->sigma, 0.0);
}

}  // namespace
}  // namespace bight::learning
