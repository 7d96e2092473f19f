#include "clearance/step_clearance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using sample::Angle;
using sample::Vec3;

// The bender with nothing of its own, 1050 above the floor: the die's disc and the floor remain.
struct FloorCase {
  workshop::Bender bender = sample::bender();
  workshop::DieSet die = sample::die();
  Tube tube;
  // 60° leg, 1400 from its corner to the end; a bend of 30° in the other plane before it.
  explicit FloorCase(double od_mm) {
    bender.around.bodies.clear();
    const double radius_mm = 114.3 / 0.96;
    const double setback_mm = radius_mm * std::tan(Angle::degrees(30).rad());
    tube = sample::tube({{250, 0, 30}, {300, -90, 60}}, 1400 - setback_mm, od_mm);
  }
  StepClearance at(const Step& step) const {
    StepChecker checker = StepChecker::make({&bender, {&die}}, tube).value();
    return checker.check(step);
  }
};

// Floor swing of the trade: a 1400 mm leg 60° down, die 1050 above the floor, drops
// 1400 sin 60° = 1212 and hits by 162 (common practice, no source; computed by hand). On a thin
// line the answer is that number; a tube reaches r cos 60° lower with the rim of its end.
TEST(StepClearance, FloorSwingHitsBy162) {
  const Step step{.bend = 0, .made = 0b10, .front = Front::kEndB};
  const double drop_mm = 1400 * std::sin(Angle::degrees(60).rad()) - 1050;
  EXPECT_NEAR(drop_mm, 162, 0.5);
  for (const double od_mm : {0.001, 38.1}) {
    const StepClearance answer = FloorCase(od_mm).at(step);
    ASSERT_TRUE(answer.nearest.has_value());
    EXPECT_TRUE(answer.hit());
    EXPECT_EQ(answer.nearest->body, "floor");
    EXPECT_NEAR(answer.nearest->high_mm, -(drop_mm + 0.25 * od_mm), 1e-6) << od_mm;
    EXPECT_GE(answer.nearest->low_mm, answer.nearest->high_mm - 0.1);
    EXPECT_NEAR(answer.overlap_mm(), drop_mm + 0.25 * od_mm, 0.1);
  }
}

// The same part bent from its other end: the long leg lies straight on the feed axis.
TEST(StepClearance, FloorSwingClearsFromTheOtherEnd) {
  const FloorCase c(38.1);
  for (const Step& step : {Step{.bend = 0, .made = 0, .front = Front::kEndA},
                           Step{.bend = 1, .made = 0b01, .front = Front::kEndA}}) {
    const StepClearance answer = c.at(step);
    EXPECT_FALSE(answer.hit());
    EXPECT_GT(answer.low_mm(1000), 150) << step.bend;
  }
}

// Asked again, in another order, or of a fresh checker: the same answer to the last bit.
TEST(StepClearance, RemembersWithoutChangingItsAnswer) {
  std::mt19937_64 rng(18);
  const workshop::Bender bender = sample::bender();
  const workshop::DieSet die = sample::die();
  const Tube tube = sample::random_tube(rng, 6);
  const auto fresh = [&] { return StepChecker::make({&bender, {&die}}, tube).value(); };
  StepChecker one = fresh();
  for (int i = 0; i < 60; ++i) {
    Step step{.bend = rng() % 6};
    step.made = rng() & 0b111111 & ~(MadeBends{1} << step.bend);
    step.front = rng() % 2 == 0 ? Front::kEndA : Front::kEndB;
    const StepClearance a = one.check(step);
    const StepClearance b = fresh().check(step);
    EXPECT_EQ(a.low_mm(1e9), b.low_mm(1e9));
    ASSERT_EQ(a.nearest.has_value(), b.nearest.has_value());
    if (!a.nearest.has_value()) continue;
    EXPECT_EQ(a.nearest->body, b.nearest->body);
    EXPECT_EQ(a.nearest->high_mm, b.nearest->high_mm);
    EXPECT_EQ(a.nearest->on_tube_mm, b.nearest->on_tube_mm);
  }
}

// A clockwise head with everything mirrored meets the same things at the same distances: rotations
// change their sign and nothing else.
TEST(StepClearance, MirroredBenderMirroredTube) {
  std::mt19937_64 rng(19);
  const workshop::Bender left = sample::bender();
  const workshop::Bender right =
      sample::bender(workshop::BenderKind::kHandPlaced, workshop::TurnDirection::kClockwise);
  const workshop::DieSet die = sample::die();
  for (int i = 0; i < 40; ++i) {
    const Tube tube = sample::random_tube(rng, 4);
    Tube mirrored = tube;
    for (TubeBend& bend : mirrored.bends) bend.rotation = -bend.rotation;
    Step step{.bend = rng() % 4};
    step.made = rng() & 0b1111 & ~(MadeBends{1} << step.bend);
    step.turn = Angle::degrees(40);
    Step other = step;
    other.turn = -step.turn;
    const StepClearance a = StepChecker::make({&left, {&die}}, tube).value().check(step);
    const StepClearance b = StepChecker::make({&right, {&die}}, mirrored).value().check(other);
    ASSERT_EQ(a.nearest.has_value(), b.nearest.has_value());
    if (!a.nearest.has_value()) continue;
    EXPECT_NEAR(a.nearest->high_mm, b.nearest->high_mm, 0.1) << i;
  }
}

// Asked only whether it hits, the answer is the same as that of the smallest distance.
TEST(StepClearance, OnlyWhetherAgrees) {
  std::mt19937_64 rng(20);
  const workshop::Bender bender = sample::bender();
  const workshop::DieSet die = sample::die();
  int hits = 0;
  for (int i = 0; i < 200; ++i) {
    const Tube tube = sample::random_tube(rng, 5);
    Step step{.bend = rng() % 5};
    step.made = rng() & 0b11111 & ~(MadeBends{1} << step.bend);
    StepChecker full = StepChecker::make({&bender, {&die}}, tube).value();
    StepChecker quick =
        StepChecker::make({&bender, {&die}}, tube, {.only_whether = true, .margin_mm = 0}).value();
    const StepClearance answer = full.check(step);
    EXPECT_EQ(quick.check(step).hit(), answer.hit()) << i;
    hits += answer.hit() ? 1 : 0;
  }
  EXPECT_GT(hits, 20);
  EXPECT_LT(hits, 180);
}

// Where the tube is nearest, tube and body are that far apart, and the place on the blank is there.
TEST(StepClearance, SaysWhere) {
  workshop::Bender bender = sample::bender();
  bender.around.bodies = {
      sample::box("post", workshop::CarriedBy::kFrame, {40, 40, 400}, {500, 700, 0})};
  const workshop::DieSet die = sample::die();
  const Tube tube = sample::tube({{400, 0, 90}}, 900);
  StepChecker checker = StepChecker::make({&bender, {&die}}, tube).value();
  const Nearest found = checker.check({.bend = 0, .front = Front::kEndB}).nearest.value();
  EXPECT_EQ(found.body, "post");
  EXPECT_EQ(found.stage, Stage::kBend);
  EXPECT_TRUE(found.hit());
  EXPECT_EQ(found.angle.rad(), tube.bends[0].set_angle.rad() * found.share_ratio);
  EXPECT_NEAR((found.on_tube_mm - found.on_body_mm).norm(),
              std::abs(found.high_mm + 0.5 * tube.od_mm), 1e-6);
  // The leg turns about the die: a place on it keeps its distance from the axis.
  const double ahead_mm = found.along_mm - tube.bends[0].start_mm - tube.bends[0].blank_mm;
  EXPECT_NEAR(found.on_tube_mm.head<2>().norm(), std::hypot(ahead_mm, 114.3), 1e-6);
}

// The operator's place is marked as such; a three-roll bender is not judged, and says so.
TEST(StepClearance, KeepOutAndThreeRoll) {
  workshop::Bender bender = sample::bender();
  workshop::Body place =
      sample::box("operator", workshop::CarriedBy::kFrame, {800, 800, 1800}, {700, -800, -200});
  place.keep_out = true;
  bender.around.bodies = {place};
  const workshop::DieSet die = sample::die();
  const Tube tube = sample::tube({{400, 0, 90}, {250, 180, 90}}, 800);
  const Step step{.bend = 0, .made = 0b10, .front = Front::kEndB};
  StepChecker checker = StepChecker::make({&bender, {&die}}, tube).value();
  const Nearest found = checker.check(step).nearest.value();
  EXPECT_EQ(found.body, "operator");
  EXPECT_TRUE(found.keep_out);
  bender.kind = workshop::BenderKind::kThreeRoll;
  StepChecker rolls = StepChecker::make({&bender, {&die}}, tube).value();
  const StepClearance answer = rolls.check(step);
  EXPECT_FALSE(answer.nearest.has_value());
  ASSERT_EQ(answer.not_checked.size(), 1u);
}

// Tubes that cannot be are refused.
TEST(StepClearance, TubesThatCannotBe) {
  const Tube good = sample::tube({{400, 0, 90}, {250, 180, 90}}, 800);
  EXPECT_TRUE(good.valid().ok());
  const auto refused = [&](const auto& change) {
    Tube tube = good;
    change(tube);
    const base::Status status = tube.valid();
    return !status.ok() && status.failure().code == "clearance.tube";
  };
  EXPECT_TRUE(refused([](Tube& t) { t.od_mm = 0; }));
  EXPECT_TRUE(refused([](Tube& t) { t.length_mm = 700; }));
  EXPECT_TRUE(refused([](Tube& t) { t.bends[1].start_mm = 450; }));
  EXPECT_TRUE(refused([](Tube& t) { t.bends[1].radius_mm = std::nan(""); }));
  EXPECT_TRUE(refused([](Tube& t) { t.bends[0].set_angle = Angle::degrees(360); }));
  EXPECT_TRUE(refused([](Tube& t) { t.bends.assign(65, t.bends[0]); }));
}

}  // namespace
}  // namespace bight::clearance
