#include "base/exact_ratio.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace bight::base {
namespace {

TEST(ExactRatio, SumsAndProductsStayExact) {
  const ExactRatio third{1, 3};
  EXPECT_EQ(third.plus(ExactRatio{2, 3}).nearest(), 1.0);
  EXPECT_EQ(third.times(254, 10).nearest(), 254.0 / 30.0);
  EXPECT_EQ((ExactRatio{0, 7}.nearest()), 0.0);
}

// IEEE 754 division of two whole numbers below 2^53 is rounded once: the nearest double.
RC_GTEST_PROP(ExactRatioProperty, RoundsToTheNearestDouble, ()) {
  const auto num = *rc::gen::inRange<std::uint64_t>(0, std::uint64_t{1} << 53);
  const auto den = *rc::gen::inRange<std::uint64_t>(1, std::uint64_t{1} << 53);
  const double expected = static_cast<double>(num) / static_cast<double>(den);
  RC_ASSERT((ExactRatio{num, den}.nearest()) == expected);
  const ExactRatio scaled{Wide{num} * 1'000'000'007, Wide{den} * 1'000'000'007};
  RC_ASSERT(scaled.nearest() == expected);
}

}  // namespace
}  // namespace bight::base
