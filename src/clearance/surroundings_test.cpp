#include "clearance/surroundings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Vec3;
using sample::Angle;
using testing::Contains;
using testing::HasSubstr;

// Bodies are sorted by what carries them; clamp and pressure die sit at each die's own tangent
// point, on the side of the head's hand and at the die's level.
TEST(Surroundings, BodiesByCarrier) {
  workshop::Bender bender =
      sample::bender(workshop::BenderKind::kHandPlaced, workshop::TurnDirection::kClockwise);
  bender.around.levels_mm = {0, 90};
  const workshop::DieSet low = sample::die(114.3, 1);
  const workshop::DieSet high = sample::die(76.2, 2);
  const auto p = prepare({&bender, {&low, &high}}, sample::tube({{200, 0, 90}}, 300)).value();
  EXPECT_EQ(p->still.size(), 3u);  // floor, column, bed
  EXPECT_EQ(p->arm.size(), 1u);
  EXPECT_EQ(p->discs.size(), 2u);
  ASSERT_EQ(p->around.size(), 2u);
  const Vec3 clamp_mm = p->around[1].clamp.front().bounds_mm.center();
  EXPECT_LT((clamp_mm - Vec3(48, 76.2 + 35, 90)).norm(), 1e-9);
  const Vec3 disc_mm = p->discs[1].bounds_mm.sizes();
  EXPECT_LT((disc_mm - Vec3(152.4, 152.4, 38.1 + 20)).norm(), 1e-9);
  EXPECT_NEAR(p->discs[1].bounds_mm.center().z(), 90, 1e-12);
}

// What is not known is said.
TEST(Surroundings, SaysWhatIsNotChecked) {
  const workshop::DieSet die = sample::die();
  const workshop::DieSet upper = sample::die(76.2, 2);
  const Tube tube = sample::tube({{200, 0, 90}}, 300);
  workshop::Bender bender = sample::bender();
  auto said = prepare({&bender, {&die}}, tube).value()->not_checked;
  EXPECT_THAT(said, Contains(HasSubstr("sag")));
  EXPECT_EQ(said.size(), 1u);
  bender.around.bodies.clear();
  bender.around.room.floor_mm.reset();
  said =
      prepare({&bender, {&die, &upper}}, sample::tube({{200, 0, 200}}, 300)).value()->not_checked;
  EXPECT_THAT(said, Contains(HasSubstr("bodies of this bender are not described")));
  EXPECT_THAT(said, Contains(HasSubstr("height above the floor is not known")));
  EXPECT_THAT(said, Contains(HasSubstr("heights of the stack are not known")));
  EXPECT_THAT(said, Contains(HasSubstr("sprung off")));
  bender.kind = workshop::BenderKind::kThreeRoll;
  said = prepare({&bender, {&die}}, tube).value()->not_checked;
  EXPECT_THAT(said, testing::ElementsAre(HasSubstr("without steps")));
}

// A mesh that is named but has not been read is said to be missing, and the rest is checked.
TEST(Surroundings, MeshNotRead) {
  workshop::Bender bender = sample::bender();
  workshop::Body body;
  body.name = "head";
  body.shape = workshop::MeshShape{"head.stl", 1.0, {}, {}};
  bender.around.bodies.push_back(body);
  const workshop::DieSet die = sample::die();
  const auto p = prepare({&bender, {&die}}, sample::tube({{200, 0, 90}}, 300)).value();
  EXPECT_THAT(p->not_checked, Contains(HasSubstr("head")));
  EXPECT_EQ(p->still.size(), 3u);
}

// Nothing mounted, a level beyond the stack, a body that cannot be.
TEST(Surroundings, Failures) {
  workshop::Bender bender = sample::bender();
  const workshop::DieSet die = sample::die();
  const workshop::DieSet upper = sample::die(76.2, 2);
  const Tube tube = sample::tube({{200, 0, 90}}, 300);
  const auto code = [&](const std::vector<const workshop::DieSet*>& mounted) {
    const auto result = prepare({&bender, mounted}, tube);
    return result.ok() ? std::string() : result.failure().code;
  };
  EXPECT_EQ(code({}), "clearance.die");
  EXPECT_EQ(code({&upper}), "");
  bender.around.levels_mm = {0};
  EXPECT_EQ(code({&die}), "");
  EXPECT_EQ(code({&upper}), "clearance.die");
  bender.around.bodies.push_back(
      sample::box("flat", workshop::CarriedBy::kClamp, {1, 0, 1}, {0, 0, 0}));
  EXPECT_EQ(code({&die}), "clearance.body");
}

}  // namespace
}  // namespace bight::clearance
