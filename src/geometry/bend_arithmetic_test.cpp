#include "geometry/bend_arithmetic.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/bend_table.h"
#include "geometry/path_oracle.h"

namespace bight::geometry {
namespace {

using base::Angle;

constexpr double kInch_mm = 25.4;

// A blank bent at marks in the middles of its arcs, laid out by the path oracle.
struct Shot {
  double mark_mm;
  double rotation_deg;
  Angle angle;
};

oracle::Path bent(const std::vector<Shot>& marks, double radius_mm, double blank_mm) {
  std::vector<BendRow> rows;
  double used_mm = 0.0;
  for (const Shot& shot : marks) {
    const double arc_mm = radius_mm * shot.angle.rad();
    rows.push_back({shot.mark_mm - arc_mm / 2.0 - used_mm, Angle::degrees(shot.rotation_deg),
                    shot.angle, radius_mm});
    used_mm = shot.mark_mm + arc_mm / 2.0;
  }
  return oracle::follow(*BendTable::make(std::move(rows), blank_mm - used_mm));
}

// 90°, R 6 in, 12 in straight either side: 33.42 in of tube (order form of a bending shop, which
// prints 33.423 with pi/180 as 0.01745; pipe spools are dimensioned this way).
TEST(BendArithmetic, ArcAndStraightsOfOneBend) {
  const double r_in = 6.0;
  const double to_corner_in = 12.0 + r_in;
  const double length_in = 2.0 * to_corner_in - gain_mm(Angle::degrees(90), r_in);
  EXPECT_NEAR(length_in, 33.42, 0.005);
  EXPECT_NEAR(length_in, 24.0 + 6.0 * 0.01745 * 90.0, 0.002);
}

// 90° gain 0.4292 R (plane geometry); the trade says 0.42 x (inside radius + half the outside
// size), which is the same R (common practice, no source for the rounding).
TEST(BendArithmetic, GainOfARightAngle) {
  EXPECT_NEAR(gain_mm(Angle::degrees(90), 1.0), 0.4292, 5e-5);
  EXPECT_NEAR(back_to_back_gain_mm(100.0, 25.0), 42.92 + 25.0, 5e-3);
  EXPECT_EQ(gain_mm(Angle(), 60.0), 0.0);
}

// Outside dimension 25, die radius 6, tube 2: start mark at 18 (diagram of a trade magazine, in).
TEST(BendArithmetic, StartMarkFromAnOutsideDimension) {
  EXPECT_NEAR(start_of_bend_mm(25.0, Angle::degrees(90), 6.0, 2.0), 18.0, 1e-12);
  // Elsewhere: the outsides of both legs meet R + OD/2 times tan(a/2) past the tangent point.
  EXPECT_NEAR(start_of_bend_mm(100.0, Angle::degrees(60), 50.0, 20.0),
              100.0 - 60.0 / std::sqrt(3.0), 1e-12);
}

// 3/4 in conduit, 8.5 in of free end, take-up 6 in: mark at 2.5 in (trade leaflet). Stub of 10 in,
// take-up 5 in: 5 in (Goodheart-Willcox, Modern Residential Wiring, 2021, p. 144).
TEST(BendArithmetic, TakeUpMarks) {
  EXPECT_NEAR(*take_up_mark_mm(8.5 * kInch_mm, 6 * kInch_mm), 2.5 * kInch_mm, 1e-12);
  EXPECT_NEAR(*take_up_mark_mm(10 * kInch_mm, 5 * kInch_mm), 5 * kInch_mm, 1e-12);
  const auto low = take_up_mark_mm(100.0, 127.0);
  ASSERT_FALSE(low.ok());
  EXPECT_EQ(low.failure().code, "marks.take-up");
  EXPECT_EQ(low.failure().remedy, "make the stub at least 127.0 mm high");
  EXPECT_FALSE(take_up_mark_mm(std::nan(""), 127.0).ok());
}

// Dibble, Elements of Plumbing, fitting-angle constants: 60° 1.15, 45° 1.41, 30° 2.00, 22.5° 2.61,
// 11.25° 5.12 (5.1258 to more digits). The last row, 5.625° 10.22, is a misprint for 10.20.
TEST(BendArithmetic, TravelConstants) {
  const auto constant = [](double angle_deg) {
    return offset_lengths(1.0, Angle::degrees(angle_deg), 0.0).spacing_mm;
  };
  EXPECT_NEAR(constant(60), 1.1547, 5e-5);
  EXPECT_NEAR(constant(45), 1.4142, 5e-5);
  EXPECT_NEAR(constant(30), 2.0, 1e-12);
  EXPECT_NEAR(constant(22.5), 2.6131, 5e-5);
  EXPECT_NEAR(constant(11.25), 5.1258, 5e-5);
  EXPECT_NEAR(constant(5.625), 10.2023, 5e-5);
  // Fig. 76: a 12 in offset at 45° travels 16.92 in by the constant, 16.97 exactly.
  EXPECT_NEAR(12.0 * trade_constants(Angle::degrees(45))->multiplier_ratio, 16.92, 1e-9);
  EXPECT_NEAR(12.0 * constant(45), 16.97, 5e-3);
}

// Rise 150 at 30°: 300 between the corners, shrink 40.2; at 45°: 212.1 and 62.1 (plane geometry).
TEST(BendArithmetic, StraightLineOffsets) {
  const OffsetLengths at_30 = offset_lengths(150.0, Angle::degrees(30), 0.0);
  EXPECT_NEAR(at_30.spacing_mm, 300.0, 1e-9);
  EXPECT_NEAR(at_30.shrink_mm, 40.2, 0.05);
  const OffsetLengths at_45 = offset_lengths(150.0, Angle::degrees(45), 0.0);
  EXPECT_NEAR(at_45.spacing_mm, 212.1, 0.05);
  EXPECT_NEAR(at_45.shrink_mm, 62.1, 0.05);
}

// Shrink of an 8 in offset: 2 in at 30°, 3 in at 45° (Goodheart-Willcox, Modern Residential Wiring,
// 2018, p. 141).
TEST(BendArithmetic, TradeShrink) {
  EXPECT_EQ(8.0 * trade_constants(Angle::degrees(30))->shrink_ratio, 2.0);
  EXPECT_EQ(8.0 * trade_constants(Angle::degrees(45))->shrink_ratio, 3.0);
  EXPECT_FALSE(trade_constants(Angle::degrees(31)).has_value());
  // Each constant is a rounding of the exact one.
  for (const double angle_deg : {10.0, 15.0, 22.5, 30.0, 45.0, 60.0}) {
    const auto constants = trade_constants(Angle::degrees(angle_deg));
    ASSERT_TRUE(constants.has_value());
    const OffsetLengths exact = offset_lengths(1.0, Angle::degrees(angle_deg), 0.0);
    EXPECT_NEAR(constants->multiplier_ratio, exact.spacing_mm, 0.045);
    EXPECT_LE(constants->shrink_ratio, exact.shrink_mm);
    EXPECT_NEAR(constants->shrink_ratio, exact.shrink_mm, 0.08);
  }
}

// Offset of 4 in at 30°, obstacle at 30 in: a conduit guide's page marks 31 in. The other mark is 8
// in back towards the end, 23 in (Goodheart-Willcox, 2021, p. 148, step 5); the page prints 39,
// which would let the tube rise only beyond the obstacle: the oracle below decides it.
TEST(BendArithmetic, MarksBeforeAnObstacle) {
  const TradeConstants trade = *trade_constants(Angle::degrees(30));
  const OffsetLengths card{4.0 * trade.multiplier_ratio, 4.0 * trade.shrink_ratio, 0.0, 0.0};
  const OffsetMarks marks = marks_before_obstacle(30.0, card);
  EXPECT_EQ(marks.far_mm, 31.0);
  EXPECT_EQ(marks.near_mm, 23.0);
  // Bent at 23 and 31 in the tube is up where the obstacle starts; at 31 and 39
  // it has hardly begun: the first arc starts at 31 - R a / 2 = 29.82 and is 0.0035 in up.
  const Angle a = Angle::degrees(30);
  const auto height_at_obstacle = [&](double near_in, double far_in) {
    const oracle::Path path = bent({{near_in, 0.0, a}, {far_in, 180.0, a}}, 4.5, 60.0);
    double height_in = 0.0;
    for (const Vec3& p : path.points_mm) {
      if (p.x() <= 30.0) height_in = p.y();
    }
    return height_in;
  };
  EXPECT_GT(height_at_obstacle(23.0, 31.0), 3.6);  // half inside its last arc, which ends at 30.9
  EXPECT_LT(height_at_obstacle(31.0, 39.0), 0.01);
}

// H 6, 45°, R 4: spacing 8.3132, shrink 2.1410; the straight-line spacing 8.4853 would give a
// height of 6.1217 (derived, integrated numerically; 4 in at 30° with R 4: 4.02).
TEST(BendArithmetic, ExactOffset) {
  const Angle a = Angle::degrees(45);
  const OffsetLengths exact = offset_lengths(6.0, a, 4.0);
  EXPECT_NEAR(exact.spacing_mm, 8.3132, 5e-5);
  EXPECT_NEAR(exact.shrink_mm, 2.1410, 5e-5);
  const double blank = 30.0;
  const oracle::Path path = bent({{8.0, 0.0, a}, {8.0 + exact.spacing_mm, 180.0, a}}, 4.0, blank);
  EXPECT_NEAR(path.end_mm.y(), 6.0, 1e-9);
  EXPECT_NEAR(path.end_mm.x(), blank - exact.shrink_mm, 1e-9);
  const double shortcut = offset_lengths(6.0, a, 0.0).spacing_mm;
  const oracle::Path high = bent({{8.0, 0.0, a}, {8.0 + shortcut, 180.0, a}}, 4.0, blank);
  EXPECT_NEAR(shortcut, 8.4853, 5e-5);
  EXPECT_NEAR(high.end_mm.y(), 6.1217, 5e-5);
}

// Exact marks put the far corner on the obstacle, and the near corner where it ends.
TEST(BendArithmetic, ExactMarksPutTheCornersThere) {
  const Angle a = Angle::degrees(40);
  const double r_mm = 114.3;
  const double setback_mm = r_mm * std::tan(a.rad() / 2.0);
  const OffsetLengths exact = offset_lengths(180.0, a, r_mm);
  const OffsetMarks before = marks_before_obstacle(900.0, exact);
  const oracle::Path up = bent({{before.near_mm, 0.0, a}, {before.far_mm, 180.0, a}}, r_mm, 2000.0);
  EXPECT_NEAR(up.joints_mm[4].x() - setback_mm, 900.0, 1e-9);
  EXPECT_NEAR(up.joints_mm[4].y(), 180.0, 1e-9);
  const OffsetMarks after = marks_after_obstacle(700.0, exact);
  const oracle::Path down = bent({{after.near_mm, 0.0, a}, {after.far_mm, 180.0, a}}, r_mm, 2000.0);
  EXPECT_NEAR(down.joints_mm[1].x() + setback_mm, 700.0, 1e-9);
}

// Rise 30 5/8, roll 17 5/8 in at 45°: true offset 35.335, travel 49.971 (apprentice notes, 2011,
// which round to 35 3/8 x 1.414 and misprint the take-off 50 - 6 as 46). 8 and 12: 14.422.
TEST(BendArithmetic, RollingOffsets) {
  const RollingOffset notes = rolling_offset(30.625, 17.625, Angle::degrees(45));
  EXPECT_NEAR(notes.true_offset_mm, 35.335, 5e-4);
  EXPECT_NEAR(notes.travel_mm, 49.971, 5e-4);
  EXPECT_NEAR(notes.advance_mm, 35.335, 5e-4);
  EXPECT_NEAR(notes.roll.deg(), std::atan(17.625 / 30.625) * 57.29577951308232, 1e-9);
  EXPECT_NEAR(rolling_offset(8.0, 12.0, Angle::degrees(60)).true_offset_mm, 14.422, 5e-4);
}

// NAVEDTRA 14026, p. 5-26 and Table 5-4 (in): depth 4 over a centre at 15: marks 15 3/4, 5 3/4,
// 25 3/4; the table runs 1 to 6. Its row 1 prints the shift as 3/6, a misprint for 3/16.
TEST(BendArithmetic, ThreePointSaddleByTheCard) {
  const SaddleMarks marks = trade_saddle_marks(4.0, 15.0);
  EXPECT_EQ(marks.centre_mm, 15.75);
  EXPECT_EQ(marks.near_mm, 5.75);
  EXPECT_EQ(marks.far_mm, 25.75);
  struct Row {
    double depth, shift, outer;
  };
  for (const Row& row : {Row{1, 3.0 / 16, 2.5}, Row{2, 3.0 / 8, 5}, Row{3, 9.0 / 16, 7.5},
                         Row{4, 3.0 / 4, 10}, Row{5, 15.0 / 16, 12.5}, Row{6, 1.125, 15}}) {
    const SaddleMarks from_zero = trade_saddle_marks(row.depth, 0.0);
    EXPECT_EQ(from_zero.centre_mm, row.shift);
    EXPECT_EQ(from_zero.far_mm - from_zero.centre_mm, row.outer);
    EXPECT_EQ(from_zero.centre_mm - from_zero.near_mm, row.outer);
  }
}

// Bent at the exact marks, the crown is as high as asked and over the centre.
TEST(BendArithmetic, ThreePointSaddleExactly) {
  for (const double outer_deg : {22.5, 30.0, 45.0}) {
    const Angle a = Angle::degrees(outer_deg);
    const SaddleMarks marks = saddle_marks(180.0, 1200.0, a, 101.6);
    const oracle::Path path =
        bent({{marks.near_mm, 0.0, a}, {marks.centre_mm, 180.0, a * 2.0}, {marks.far_mm, 180.0, a}},
             101.6, 3000.0);
    double crown_mm = 0.0;
    double at_mm = 0.0;
    for (const Vec3& p : path.points_mm) {
      if (p.y() > crown_mm) {
        crown_mm = p.y();
        at_mm = p.x();
      }
    }
    EXPECT_NEAR(crown_mm, 180.0, 1e-6);
    EXPECT_NEAR(at_mm, 1200.0, 0.03);  // half a step of the oracle
    EXPECT_NEAR(path.end_mm.y(), 0.0, 1e-9);
    EXPECT_NEAR((path.joints_mm[1].x() + path.joints_mm[6].x()) / 2.0, 1200.0, 1e-9);
  }
}

TEST(BendArithmetic, FourPointSaddleExactly) {
  const Angle a = Angle::degrees(30);
  const FourPointMarks marks = four_point_marks(120.0, 300.0, 1000.0, a, 101.6);
  const oracle::Path path = bent({{marks.up.near_mm, 0.0, a},
                                  {marks.up.far_mm, 180.0, a},
                                  {marks.down.near_mm, 0.0, a},
                                  {marks.down.far_mm, 180.0, a}},
                                 101.6, 2500.0);
  const double setback_mm = 101.6 * std::tan(a.rad() / 2.0);
  EXPECT_NEAR(path.joints_mm[4].x() - setback_mm, 850.0, 1e-9);
  EXPECT_NEAR(path.joints_mm[4].y(), 120.0, 1e-9);
  EXPECT_NEAR(path.joints_mm[5].x() + setback_mm, 1150.0, 1e-9);
  EXPECT_NEAR(path.end_mm.y(), 0.0, 1e-9);
}

// A bend of 90° in n shots: each 90/n, pi R / 2n apart (arc length).
TEST(BendArithmetic, Shots) {
  const ShotPlan plan = shots(Angle::degrees(90), 600.0, 15);
  EXPECT_NEAR(plan.per_shot.deg(), 6.0, 1e-12);
  EXPECT_NEAR(plan.spacing_mm * 15, 600.0 * 3.14159265358979 / 2.0, 1e-9);
}

// A stair of 35° that turns 90° in plan and climbs on: 70.8°; onto a level landing: 90°; from the
// pitch to the level without turning: 35° (spherical cosine rule, worked by hand).
TEST(BendArithmetic, TrueAngleOfAStairRail) {
  const Angle pitch = Angle::degrees(35);
  EXPECT_NEAR(true_bend_angle(pitch, pitch, Angle::degrees(90)).deg(), 70.8, 0.05);
  EXPECT_NEAR(true_bend_angle(pitch, Angle(), Angle::degrees(90)).deg(), 90.0, 1e-12);
  EXPECT_NEAR(true_bend_angle(pitch, Angle(), Angle()).deg(), 35.0, 1e-12);
  for (const double turn_deg : {-120.0, 1e-6, 60.0, 179.0}) {
    const Angle p = Angle::degrees(32);
    const Angle q = Angle::degrees(-18);
    const Angle t = Angle::degrees(turn_deg);
    const double cosine = std::sin(p.rad()) * std::sin(q.rad()) +
                          std::cos(p.rad()) * std::cos(q.rad()) * std::cos(t.rad());
    EXPECT_NEAR(true_bend_angle(p, q, t).rad(), std::acos(cosine), 1e-12);
  }
}

}  // namespace
}  // namespace bight::geometry
