#include <gtest/gtest.h>

#include "clearance/sample_bender_test_util.h"
#include "clearance/step_clearance.h"

namespace bight::clearance {
namespace {

// One carriage-fed bender, each limit kept and broken; the other kinds have none.
TEST(StepLimits, EachLimit) {
  workshop::Bender bender = sample::bender(workshop::BenderKind::kCarriageFed);
  bender.grip_mm = 60;
  bender.travel_mm = 2000;
  bender.feed_min_mm = 5;
  bender.around.mandrel_rod_mm = 1800;
  workshop::DieSet die = sample::die();
  const auto codes = [&](double behind_mm, double feed_mm, MadeBends made = 0) {
    const Tube tube = sample::tube({{behind_mm / 2, 0, 30}, {behind_mm / 2 - 62.354, 0, 90}}, 300);
    std::string out;
    for (const Limit& limit :
         broken_limits({&bender, {&die}}, tube,
                       {.bend = 1, .made = made, .front = Front::kEndB, .advance_mm = feed_mm})) {
      out += limit.code + " ";
      EXPECT_FALSE(limit.message.empty());
      EXPECT_NE(limit.needed_mm, limit.allowed_mm);
    }
    return out;
  };
  EXPECT_EQ(codes(1000, 100), "");
  EXPECT_EQ(codes(1000, 4), "clearance.feed ");
  EXPECT_EQ(codes(2000, 100), "clearance.travel ");
  EXPECT_EQ(codes(1860, 100), "");
  EXPECT_EQ(codes(50, 100), "clearance.grip ");
  EXPECT_EQ(codes(1000, 100, 1), "clearance.grip ");
  die.mandrel = true;
  EXPECT_EQ(codes(1700, 100), "clearance.rod ");
  EXPECT_EQ(codes(1600, 100), "");
  bender.kind = workshop::BenderKind::kHandPlaced;
  EXPECT_EQ(codes(5000, 4), "");
}

}  // namespace
}  // namespace bight::clearance
