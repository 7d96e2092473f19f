#include "mechanics/ring_cut.h"

#include <gtest/gtest.h>

namespace bight::mechanics {
namespace {

constexpr double kInch = 25.4;

TEST(RingCut, InsideAndOutsideDiffer) {
  // Proves the two hoops of 1/4 in flat: 15 in inside -> mean 15.25 -> 47.91 in, 15 in outside ->
  // mean 14.75 -> 46.34 in (worked by hand; the size of hoop from a metalworkers' forum thread).
  const auto inside = ring_cut({15 * kInch, RingMeasure::kInside, 0.25 * kInch, 0});
  const auto outside = ring_cut({15 * kInch, RingMeasure::kOutside, 0.25 * kInch, 0});
  EXPECT_NEAR(inside->mean_diameter_mm / kInch, 15.25, 1e-12);
  EXPECT_NEAR(inside->cut_mm / kInch, 47.91, 0.005);
  EXPECT_NEAR(outside->cut_mm / kInch, 46.34, 0.005);
}

TEST(RingCut, StickYield) {
  // Proves 5 per 20 ft stick with 0.1 in kerf and no trim, 4 with 12 in of flats (same thread).
  const auto bare = ring_cut({15 * kInch, RingMeasure::kOutside, 0.25 * kInch, 0});
  const auto flats = ring_cut({15 * kInch, RingMeasure::kOutside, 0.25 * kInch, 12 * kInch});
  EXPECT_EQ(*pieces_per_stick(bare->cut_mm, 240 * kInch, 0.1 * kInch), 5);
  EXPECT_EQ(*pieces_per_stick(flats->cut_mm, 240 * kInch, 0.1 * kInch), 4);
}

TEST(RingCut, ExactFitNeedsNoLastKerf) {
  // Proves the limit case: 3 x 100 + 2 x 3 = 306.
  EXPECT_EQ(*pieces_per_stick(100, 306, 3), 3);
  EXPECT_EQ(*pieces_per_stick(100, 305.9, 3), 2);
  EXPECT_EQ(*pieces_per_stick(400, 306, 3), 0);
}

TEST(RingCut, AsksBeforeItAnswers) {
  // Proves that an unsaid side is a question, and the other failure code.
  EXPECT_EQ(ring_cut({381, RingMeasure::kNotSaid, 6.35, 0}).failure().code, "ring.measure");
  EXPECT_EQ(ring_cut({10, RingMeasure::kOutside, 6, 0}).failure().code, "ring.size");
  EXPECT_EQ(ring_cut({-1, RingMeasure::kInside, 6, 0}).failure().code, "ring.size");
  EXPECT_EQ(pieces_per_stick(0, 6000, 3).failure().code, "ring.size");
  EXPECT_EQ(pieces_per_stick(1e-300, 6000, 3).failure().code, "ring.size");
}

}  // namespace
}  // namespace bight::mechanics
