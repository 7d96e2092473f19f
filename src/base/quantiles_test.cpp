#include "base/quantiles.h"

#include <gtest/gtest.h>

namespace bight::base {
namespace {

// Tables of the NIST/SEMATECH handbook, 1.3.6.7 (from memory).
TEST(QuantilesReference, AgreeWithPrintedTables) {
  EXPECT_NEAR(normal_quantile(0.975), 1.960, 5e-4);
  EXPECT_NEAR(normal_share_below(1.0), 0.84134, 5e-6);
  EXPECT_NEAR(student_quantile(0.975, 9), 2.262, 5e-4);
  EXPECT_NEAR(student_quantile(0.95, 1), 6.314, 5e-4);
  EXPECT_NEAR(chi_squared_quantile(0.95, 10), 18.307, 5e-4);
  EXPECT_NEAR(chi_squared_quantile(0.025, 9), 2.700, 5e-4);
  EXPECT_NEAR(fisher_share_above(3.326, 5, 10), 0.05, 5e-5);
}

}  // namespace
}  // namespace bight::base
