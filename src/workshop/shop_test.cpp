#include "workshop/shop.h"

#include <gtest/gtest.h>

namespace bight::workshop {
namespace {

Groove round_groove(double od_mm) { return {true, od_mm, od_mm}; }

// 38.0 tube in a 38.1 die passes, 40 does not; 38.1 tube in a 48.3 pipe die is the classic mix-up
// of tube and pipe (common practice, no source).
TEST(Fit, TubeAgainstGroove) {
  const auto tube = [](double od_mm) { return *stock::Section::round_tube(od_mm, 1.5); };
  EXPECT_EQ(fit(tube(38.0), round_groove(38.1), 0.25), Fit::kFits);
  EXPECT_EQ(fit(tube(40.0), round_groove(38.1), 0.25), Fit::kTubeTooLarge);
  EXPECT_EQ(fit(tube(38.1), round_groove(48.3), 0.25), Fit::kTubeTooSmall);
  EXPECT_EQ(fit(tube(40), {false, 40, 40}, 0.25), Fit::kWrongShape);
}

// A rectangular groove holds the tube one way round only.
TEST(Fit, RectangularWays) {
  const stock::Section easy = *stock::Section::rect_tube(20, 40, 2, 3);
  EXPECT_EQ(fit(easy, {false, 20, 40}, 0.25), Fit::kFits);
  EXPECT_NE(fit(easy.turned(), {false, 20, 40}, 0.25), Fit::kFits);
}

TEST(Bender, DieMustBelongAndBeSmallEnough) {
  Bender bender;
  bender.name = "A";
  bender.die_radius_max_mm = 150;
  DieSet die;
  die.radius_mm = 114.3;
  EXPECT_TRUE(fits_bender(die, bender));
  die.benders = {"B"};
  EXPECT_FALSE(fits_bender(die, bender));
  die.benders = {"B", "A"};
  EXPECT_TRUE(fits_bender(die, bender));
  die.radius_mm = 151;
  EXPECT_FALSE(fits_bender(die, bender));
  EXPECT_EQ(word(BenderKind::kCarriageFed), "carriage-fed");
}

}  // namespace
}  // namespace bight::workshop
