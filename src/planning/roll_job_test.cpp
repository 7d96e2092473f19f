#include "planning/roll_job.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "stock/metals.h"

namespace bight::planning {
namespace {

using mechanics::RingMeasure;

stock::Material mild_steel() {
  return stock::find_metal(*stock::Metals::built_in(), "S235JRH")->metal.material;
}

RollJob job(stock::Section section, double radius_mm) { return {section, mild_steel(), radius_mm}; }

bool has(const RollPlan& plan, std::string_view code) {
  return std::any_of(plan.findings.begin(), plan.findings.end(),
                     [&](const part::Finding& finding) { return finding.code == code; });
}

TEST(RollJob, LogGivesTheNextPass) {
  // Proves the ring roller's example without any machine: 20.0 -> 3200, 24.0 -> 2100, target 1500
  // -> 28.65, stop 28.1 (curvature linear in the reading: common practice; worked by hand).
  RollJob roll = job(*stock::Section::round_tube(42.4, 2.6), 1500);
  roll.log = {{20.0, 3200}, {24.0, 2100}};
  const auto plan = plan_roll(roll);
  ASSERT_TRUE(plan.ok()) << plan.failure().text();
  EXPECT_NEAR(plan->next->position_mm, 28.65, 0.006);
  EXPECT_NEAR(plan->next->stop_mm, 28.1, 1e-9);
  EXPECT_TRUE(plan->passes.empty());
  EXPECT_TRUE(has(*plan, "roll.far-ahead"));
}

TEST(RollJob, MachineGivesPassesAndReadings) {
  // Proves the passes of a machine, unproven without a log, on the scale with one.
  RollJob roll = job(*stock::Section::round_tube(42.4, 2.6), 1500);
  roll.machine = mechanics::RollMachine{300, 160, 160};
  const auto blind = plan_roll(roll);
  ASSERT_TRUE(blind.ok()) << blind.failure().text();
  ASSERT_EQ(blind->passes.size(), 4u);
  EXPECT_NEAR(blind->passes.back().pass.released_clr_mm, 1500, 1e-3);
  EXPECT_FALSE(blind->passes.back().reading_mm.has_value());
  EXPECT_TRUE(has(*blind, "roll.unproven"));
  EXPECT_TRUE(has(*blind, "roll.flats"));
  // The same passes, read on a scale that starts at 12 and counts 1.1 mm for each millimetre.
  for (std::size_t i = 0; i + 1 < blind->passes.size(); ++i) {
    const auto& pass = blind->passes[i].pass;
    roll.log.push_back({12 + 1.1 * pass.position_mm, pass.released_clr_mm});
  }
  roll.num_passes = 1;
  const auto known = plan_roll(roll);
  ASSERT_TRUE(known.ok()) << known.failure().text();
  ASSERT_EQ(known->passes.size(), 1u);
  EXPECT_NEAR(known->scale->factor_ratio, 1.1, 1e-6);
  EXPECT_NEAR(*known->passes.back().reading_mm, 12 + 1.1 * blind->passes.back().pass.position_mm,
              1e-5);
  EXPECT_FALSE(has(*known, "roll.unproven"));
}

TEST(RollJob, RingOfFlatBar) {
  // Proves 15 in inside of 1/4 in flat: 47.91 in, five of the outside ones per 20 ft stick with
  // 0.1 in kerf, and both ways of bending the bar (forum thread on hoops, numbers by hand).
  RollJob roll = job(*stock::Section::rect_bar(6.35, 25.4), 7.5 * 25.4);
  roll.ring = true;
  roll.measure = RingMeasure::kInside;
  EXPECT_NEAR(plan_roll(roll)->ring->cut_mm / 25.4, 47.91, 0.005);
  roll.measure = RingMeasure::kOutside;
  roll.stick_mm = 240 * 25.4;
  roll.kerf_mm = 2.54;
  const auto plan = plan_roll(roll);
  EXPECT_EQ(*plan->pieces, 5);
  ASSERT_TRUE(plan->ways.has_value());
  EXPECT_FALSE(plan->ways->as_given_is_hard);
  roll.measure = RingMeasure::kNotSaid;
  EXPECT_EQ(plan_roll(roll).failure().code, "ring.measure");
}

TEST(RollJob, TightTubeCollapsesOnPlainRolls) {
  // Proves the stop: a thin tube at 5 D cannot be rolled on plain rolls (see flattening_test).
  EXPECT_TRUE(has(*plan_roll(job(*stock::Section::round_tube(42.4, 1.5), 212)), "roll.collapse"));
  EXPECT_TRUE(has(*plan_roll(job(*stock::Section::round_tube(42.4, 2.6), 1500)), "roll.ovality"));
  EXPECT_TRUE(has(*plan_roll(job(*stock::Section::round_bar(40), 50)), "roll.strain"));
}

TEST(RollJob, RefusesWhatCannotBe) {
  // Proves the failure of a radius without a hole, and that the mechanics' failures come through.
  EXPECT_EQ(plan_roll(job(*stock::Section::round_bar(40), 15)).failure().code, "roll.radius");
  RollJob roll = job(*stock::Section::round_bar(40), 500);
  roll.machine = mechanics::RollMachine{100, 160, 160};
  EXPECT_EQ(plan_roll(roll).failure().code, "roll.machine");
}

TEST(RollJob, AngleTwistsAndSaysSo) {
  // Proves the radii of an angle ring, measured to its centroid (by hand: 50 x 50 x 5 sharp,
  // centroid 14.342 from the heel), and the warning of its product of inertia, toes in and out.
  RollJob roll = job(*stock::Section::angle(50, 50, 5), 500);
  roll.measure = RingMeasure::kOutside;
  roll.machine = mechanics::RollMachine{300, 160, 160};
  const auto in = plan_roll(roll);
  ASSERT_TRUE(in.ok()) << in.failure().text();
  EXPECT_NEAR(in->centreline_mm, 500 - 14.342, 1e-3);
  EXPECT_TRUE(has(*in, "roll.twist"));
  EXPECT_TRUE(has(*in, "roll.toes"));
  EXPECT_NEAR(in->passes.back().pass.released_clr_mm, in->centreline_mm, 1e-3);
  roll.section = roll.section.facing(stock::Toes::kOut);
  const auto out = plan_roll(roll);
  ASSERT_TRUE(out.ok()) << out.failure().text();
  EXPECT_NEAR(out->centreline_mm, 500 - (50 - 14.342), 1e-3);
  EXPECT_TRUE(has(*out, "roll.twist"));
  roll.section = *stock::Section::round_bar(20);
  EXPECT_FALSE(has(*plan_roll(roll), "roll.twist"));
}

TEST(RollJob, ChannelTwistsOnEdgeOnly) {
  // Proves that flanges in or out stay in their plane by symmetry, and that on edge the shear
  // centre is named: U 100 x 50 x 6 x 8.5, 19.1 mm (worked by hand in side_bow_test.cpp).
  RollJob roll = job(*stock::Section::channel(100, 50, 6, 8.5), 2000);
  const auto edge = plan_roll(roll);
  ASSERT_TRUE(edge.ok()) << edge.failure().text();
  ASSERT_TRUE(has(*edge, "roll.twist"));
  for (const part::Finding& finding : edge->findings) {
    if (finding.code != "roll.twist") continue;
    EXPECT_NE(finding.message.find("19.1 mm"), std::string::npos) << finding.message;
  }
  roll.section = roll.section.turned();
  EXPECT_FALSE(has(*plan_roll(roll), "roll.twist"));
  EXPECT_TRUE(has(*plan_roll(roll), "roll.toes"));
}

}  // namespace
}  // namespace bight::planning
