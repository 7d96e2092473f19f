#include "clearance/stages.h"

#include <gtest/gtest.h>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Vec3;
using sample::Angle;
using workshop::BenderKind;

struct Made {
  workshop::Bender bender;
  workshop::DieSet die = sample::die();
  Tube tube = sample::tube({{400, 0, 90}}, 500);
  Step step{.bend = 0, .made = 0, .front = Front::kEndB};
  clearance::Setup setup() const { return {&bender, {&die}}; }
  std::vector<StageMotion> all() const {
    return stages(setup(), tube, step, station(setup(), 0, die.radius_mm));
  }
  const StageMotion stage(Stage wanted) const {
    const std::vector<StageMotion> list = all();
    return *std::find_if(list.begin(), list.end(),
                         [&](const StageMotion& s) { return s.stage == wanted; });
  }
};

// Clamp and pressure die stand open until they close, and the other way round at the end; an
// assisted pressure die has travelled with the tube by then.
TEST(Stages, ClampAndPressureDie) {
  Made m{sample::bender()};
  m.bender.around.pressure_die_follows = true;
  EXPECT_EQ(m.stage(Stage::kLoad).clamp.at(0.5).translation(), Vec3(0, -50, 0));
  EXPECT_EQ(m.stage(Stage::kClamp).clamp.at(1.0).translation(), Vec3(0, 0, 0));
  EXPECT_EQ(m.stage(Stage::kClamp).pressure_die.at(0.0).translation(), Vec3(0, -40, 0));
  const double blank_mm = m.tube.bends[0].blank_mm;
  EXPECT_NEAR(m.stage(Stage::kBend).pressure_die.at(0.5).translation().x(), blank_mm / 2, 1e-9);
  const Vec3 open_mm = m.stage(Stage::kLift).pressure_die.at(0.0).translation();
  EXPECT_LT((open_mm - Vec3(blank_mm, -40, 0)).norm(), 1e-9);
  // Opened while the die stands at the set angle: away from the die as it is turned.
  const double set_rad = m.tube.bends[0].set_angle.rad();
  const Vec3 clamp_mm = m.stage(Stage::kLift).clamp.at(0.0).translation();
  EXPECT_LT((clamp_mm - 50 * Vec3(std::sin(set_rad), -std::cos(set_rad), 0)).norm(), 1e-9);
}

// The collet carriage holds the very end of the tube and follows it.
TEST(Stages, Carriage) {
  Made m{sample::bender(BenderKind::kCarriageFed)};
  m.step.advance_mm = 100;
  m.step.turn = Angle::degrees(30);
  const double blank_mm = m.tube.bends[0].blank_mm;
  const auto x_mm = [&](Stage stage, double t) {
    return m.stage(stage).carriage.at(t).translation().x();
  };
  EXPECT_NEAR(x_mm(Stage::kAdvance, 0), -400 - blank_mm - 100, 1e-9);
  EXPECT_NEAR(x_mm(Stage::kAdvance, 1), -400 - blank_mm, 1e-9);
  EXPECT_NEAR(x_mm(Stage::kBend, 1), -400, 1e-9);
  EXPECT_NEAR(x_mm(Stage::kReturn, 1), -400, 1e-9);
  EXPECT_EQ(m.stage(Stage::kReturn).arm.at(1.0).linear(), Eigen::Matrix3d::Identity());
}

// The way off the die: no place of a bend up to 180° is pushed into it.
TEST(Stages, DrawnOffWithoutPushingIn) {
  for (const double deg : {10.0, 90.0, 180.0}) {
    Made m{sample::bender()};
    m.tube = sample::tube({{400, 0, deg}}, 500);
    const Vec3 off_mm = m.stage(Stage::kDrawOff).ahead.push_mm;
    for (double a = 0; a <= deg; a += 1) {
      const double a_rad = Angle::degrees(a).rad();
      EXPECT_GE(off_mm.dot(Vec3(std::sin(a_rad), -std::cos(a_rad), 0)), -1e-9);
    }
    EXPECT_NEAR(off_mm.norm(), 0.5 * m.tube.od_mm, 1e-9);
  }
}

}  // namespace
}  // namespace bight::clearance
