#include "geometry/taped.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "geometry/centreline.h"

namespace bight::geometry {
namespace {

using base::Angle;

TapedPart part_of(std::vector<TapedLeg> legs, std::vector<TapedBend> bends,
                  std::vector<TapedRadius> radii, double size_mm = 25.0) {
  return {std::move(legs), std::move(bends), std::move(radii), size_mm, {}};
}

TapedBend protractor(double deg, double rotation_deg = 0.0) {
  return {ByProtractor{Angle::degrees(deg)}, ByTurn{Angle::degrees(rotation_deg)}, 0};
}

// A sample's straights 340/180/190, R 60, two 90s turned by 90: developed 898.5 and corners
// (0,0,0)(400,0,0)(400,300,0)(400,300,250). (Trade reference of this project, story 14; geometry:
// 340 + 180 + 190 + 2 * 60 * pi/2 = 898.496.)
TEST(TapedReference, SampleOfTwoNineties) {
  const auto taped = bend_table_of(
      part_of({{340}, {180}, {190}}, {protractor(90), protractor(90, 90)}, {KnownRadius{60}}));
  ASSERT_TRUE(taped.ok()) << taped.failure().text();
  EXPECT_NEAR(taped->table.developed_length_mm(), 898.5, 0.05);
  const std::vector<Vec3> corners = corner_points_mm(taped->table);
  const std::vector<Vec3> wanted{{0, 0, 0}, {400, 0, 0}, {400, 300, 0}, {400, 300, 250}};
  ASSERT_EQ(corners.size(), 4u);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR((corners[i] - wanted[i]).norm(), 0.0, 1e-9);
}

// The same sample taped to corners, outside, inside and backs: 90° legs grow by R, R + D/2, R - D/2
// at each bend (common practice: straight = outside leg less R + D/2).
TEST(TapedReference, LegsToCornersAndFaces) {
  const struct {
    LegEnd to;
    double more_mm;
  } cases[] = {{LegEnd::kStraight, 0},
               {LegEnd::kCorner, 60},
               {LegEnd::kOutside, 72.5},
               {LegEnd::kInside, 47.5},
               {LegEnd::kBack, 72.5}};
  for (const auto& c : cases) {
    const auto taped =
        bend_table_of(part_of({{340 + c.more_mm, c.to, c.to},
                               {180 + 2 * c.more_mm, c.to, c.to},
                               {190 + c.more_mm, c.to, c.to}},
                              {protractor(90), protractor(90, 90)}, {KnownRadius{60}}));
    ASSERT_TRUE(taped.ok()) << taped.failure().text();
    EXPECT_NEAR(taped->table.straight_mm(0), 340, 1e-9);
    EXPECT_NEAR(taped->table.straight_mm(1), 180, 1e-9);
    EXPECT_NEAR(taped->table.straight_mm(2), 190, 1e-9);
  }
}

// Three tapes: a = b = 300, c = 430 is 88.44°; 431 is 88.17°, so that 1 mm is 0.27° (trade
// reference, section 4.1, law of cosines).
TEST(TapedReference, TriangleOfTapes) {
  const auto angle = [](double c_mm) {
    const TapedBend bend{ByTriangle{300, 300, c_mm}, ByTurn{}, 0};
    return bend_table_of(part_of({{340}, {180}}, {bend}, {KnownRadius{60}}))
        ->table.rows()[0]
        .angle.deg();
  };
  EXPECT_NEAR(angle(430), 88.44, 0.005);
  EXPECT_NEAR(angle(431), 88.17, 0.005);
}

// Chord and rise: c 500, h 20.98 and c 1000, h 85.79 are both R 1500; half a millimetre in h reads
// as 1465.6 to 1536.1 and 1491.8 to 1508.3 (trade reference, section 4.1).
TEST(TapedReference, ChordAndRise) {
  const auto radius = [](double c_mm, double h_mm, Face face = Face::kCentre) {
    return bend_table_of(part_of({{340}, {180}}, {protractor(20)}, {ByChord{c_mm, h_mm, face}}))
        ->table.rows()[0]
        .radius_mm;
  };
  EXPECT_NEAR(radius(500, 20.98), 1500, 1.0);
  EXPECT_NEAR(radius(500, 21.48), 1465.6, 1.0);
  EXPECT_NEAR(radius(500, 20.48), 1536.1, 1.0);
  EXPECT_NEAR(radius(1000, 85.79), 1500, 0.2);
  EXPECT_NEAR(radius(1000, 86.29), 1491.8, 0.2);
  EXPECT_NEAR(radius(1000, 85.29), 1508.3, 0.2);
  EXPECT_NEAR(radius(1000, 85.79, Face::kOutside), 1487.5, 0.2);
  EXPECT_NEAR(radius(1000, 85.79, Face::kInside), 1512.5, 0.2);
}

// Levels: the angle is the difference of the climbs, whichever way up; the rotation is the
// difference of the planes, or follows from the climb of the leg by the sine rule, which a part
// laid out in space confirms.
TEST(Taped, Levels) {
  for (const bool up : {true, false}) {
    const ByLevels levels{Angle::degrees(up ? -12 : 50), Angle::degrees(up ? 50 : -12)};
    const auto taped =
        bend_table_of(part_of({{340}, {180}}, {{levels, ByTurn{}, 0}}, {KnownRadius{60}}));
    EXPECT_NEAR(taped->table.rows()[0].angle.deg(), 62, 1e-9);
  }
  for (const double rotation_deg : {25.0, -70.0, 130.0}) {
    for (const double bend_deg : {50.0, 90.0, 120.0}) {
      // Straight before along X, plane of the bend before level: the leg's climb is its z.
      const BendTable made =
          *BendTable::make({{100, Angle(), Angle::degrees(40), 60},
                            {100, Angle::degrees(rotation_deg), Angle::degrees(bend_deg), 60}},
                           100);
      const double climb = std::asin(lay_out(made).end.ahead.z());
      TapedBend second = protractor(bend_deg);
      second.rotation = ByLegLevel{Angle::radians(climb), std::abs(rotation_deg) > 90};
      const auto taped = bend_table_of(
          part_of({{100}, {100}, {100}}, {protractor(40), second}, {KnownRadius{60}}));
      ASSERT_TRUE(taped.ok()) << taped.failure().text();
      EXPECT_NEAR(taped->table.rows()[1].rotation.deg(), rotation_deg, 1e-6);
      second.rotation = ByPlaneLevels{Angle::degrees(-3), Angle::degrees(rotation_deg - 3)};
      EXPECT_NEAR(
          bend_table_of(part_of({{100}, {100}, {100}}, {protractor(40), second}, {KnownRadius{60}}))
              ->table.rows()[1]
              .rotation.deg(),
          rotation_deg, 1e-9);
    }
  }
}

// The far end's derivatives against central differences of the layout.
TEST(Taped, FarEndJacobianAgreesWithDifferences) {
  std::mt19937_64 random(4);
  std::uniform_real_distribution<double> unit;
  for (int trial = 0; trial < 20; ++trial) {
    std::vector<BendRow> rows;
    for (int i = 0; i < 4; ++i) {
      rows.push_back({20 + 200 * unit(random),
                      Angle::degrees(i == 0 ? 0 : 360 * unit(random) - 180),
                      Angle::degrees(5 + 200 * unit(random)), 40 + 60 * unit(random)});
    }
    const double last = 100;
    const Eigen::Matrix3Xd by = far_end_jacobian(*BendTable::make(rows, last));
    ASSERT_EQ(by.cols(), 17);
    const auto end = [&](const std::vector<BendRow>& r, double tail) {
      return lay_out(*BendTable::make(r, tail)).end_mm();
    };
    const double h = 1e-5;
    for (std::size_t i = 0; i < 4; ++i) {
      const auto column = [&](int what) {
        auto up = rows;
        auto down = rows;
        for (auto* r : {&up, &down}) {
          const double by_h = r == &up ? h : -h;
          BendRow& row = (*r)[i];
          if (what == 0) row.straight_mm += by_h;
          if (what == 1) row.rotation = row.rotation + Angle::radians(by_h);
          if (what == 2) row.angle = row.angle + Angle::radians(by_h);
          if (what == 3) row.radius_mm += by_h;
        }
        return Vec3((end(up, last) - end(down, last)) / (2 * h));
      };
      const auto at = static_cast<Eigen::Index>(i);
      EXPECT_LT((by.col(at) - column(0)).norm(), 1e-5);
      // Turning the first plane turns the part as a whole, which a table does not hold.
      if (i > 0) {
        EXPECT_LT((by.col(5 + 3 * at) - column(1)).norm(), 1e-4);
      }
      EXPECT_LT((by.col(5 + 3 * at + 1) - column(2)).norm(), 1e-4);
      EXPECT_LT((by.col(5 + 3 * at + 2) - column(3)).norm(), 1e-5);
    }
  }
}

// Tip sensitivity of a three-bend part per 0.1°: bends 0.136, 0.596, 0.439 mm, rotations 0.716,
// 0.520 mm, straights 1 mm per mm (reference of this project, computed there with other code).
TEST(TapedReference, TipSensitivity) {
  const BendTable table = *BendTable::make(
      {{221.897503240933, Angle(), Angle::degrees(50.1944289077348), 60},
       {161.512111817281, Angle::degrees(111.012313789689), Angle::degrees(73.3634782936316), 60},
       {160.934267671716, Angle::degrees(-29.5569340421479), Angle::degrees(79.7921531124832), 75}},
      240.119070667128);
  const Eigen::Matrix3Xd by = far_end_jacobian(table);
  const double tenth = Angle::degrees(0.1).rad();
  for (const Eigen::Index c : {0, 1, 2, 3}) EXPECT_NEAR(by.col(c).norm(), 1.0, 1e-12);
  std::vector<double> bends;
  std::vector<double> rotations;
  for (Eigen::Index i = 0; i < 3; ++i) {
    rotations.push_back(by.col(4 + 3 * i).norm() * tenth);
    bends.push_back(by.col(4 + 3 * i + 1).norm() * tenth);
  }
  EXPECT_NEAR(rotations[1], 0.716, 0.001);
  EXPECT_NEAR(rotations[2], 0.520, 0.001);
  EXPECT_NEAR(bends[0], 0.136, 0.001);
  EXPECT_NEAR(bends[1], 0.596, 0.001);
  EXPECT_NEAR(bends[2], 0.439, 0.001);
}

// Every influence against moving that reading by its error and laying the part out again.
TEST(Taped, InfluencesAgreeWithMovingTheReading) {
  const auto part = [](double by, int which) {
    const auto d = [&](int i) { return i == which ? by : 0.0; };
    TapedBend first{ByTriangle{300 + d(0), 280 + d(1), 400 + d(2)}, ByTurn{}, 0};
    TapedBend second{ByLevels{Angle::radians(0.1 + d(3)), Angle::radians(1.2 + d(4))},
                     ByLegLevel{Angle::radians(0.4 + d(5)), false}, 1};
    TapedBend third{ByProtractor{Angle::radians(0.9 + d(6))},
                    ByPlaneLevels{Angle::radians(0.2 + d(7)), Angle::radians(1.0 + d(8))}, 0};
    return part_of({{300 + d(9), LegEnd::kStraight, LegEnd::kOutside},
                    {420 + d(10), LegEnd::kOutside, LegEnd::kCorner},
                    {330 + d(11), LegEnd::kInside, LegEnd::kStraight},
                    {150 + d(12), LegEnd::kInside, LegEnd::kStraight}},
                   {first, second, third},
                   {KnownRadius{60 + d(13)}, ByChord{90 + d(14), 14 + d(15), Face::kOutside}});
  };
  const auto base_case = bend_table_of(part(0, -1));
  ASSERT_TRUE(base_case.ok()) << base_case.failure().text();
  ASSERT_EQ(base_case->influences.size(), 16u);
  std::vector<double> wanted;
  double square = 0.0;
  for (int k = 0; k < 16; ++k) {
    const bool angle = k >= 3 && k <= 8;
    const double error =
        angle ? (k == 6 ? 0.5 : 0.2) * 3.14159265358979 / 180 : (k == 15 ? 0.5 : 1.0);
    const double h = 1e-5;
    const Vec3 up = lay_out(bend_table_of(part(h, k))->table).end_mm();
    const Vec3 down = lay_out(bend_table_of(part(-h, k))->table).end_mm();
    wanted.push_back((up - down).norm() / (2 * h) * error);
    square += wanted.back() * wanted.back();
  }
  std::sort(wanted.rbegin(), wanted.rend());
  double sum = 0.0;
  for (std::size_t k = 0; k < 16; ++k) {
    EXPECT_NEAR(base_case->influences[k].far_end_mm, wanted[k], 1e-4 * (1 + wanted[k]));
    sum += wanted[k];
  }
  EXPECT_NEAR(base_case->far_end_usual_mm, std::sqrt(square), 1e-3);
  EXPECT_NEAR(base_case->far_end_worst_mm, sum, 1e-3);
}

// 1° over 1 m of leg is 17.5 mm at its end, 0.5° 8.7 mm (trade reference, section 4.1): the
// protractor on the last bend of a long leg matters most.
TEST(TapedReference, ProtractorOnALongLeg) {
  const auto taped = bend_table_of(part_of({{100}, {1000}}, {protractor(30)}, {KnownRadius{10}}));
  EXPECT_EQ(taped->influences[0].reading, "angle of bend 1 (protractor)");
  EXPECT_NEAR(taped->influences[0].far_end_mm, 8.7, 0.1);
}

// What cannot be is refused, with leg or bend named.
TEST(Taped, Refusals) {
  const auto code = [](const TapedPart& part) {
    const auto taped = bend_table_of(part);
    return taped.ok() ? std::string() : taped.failure().code;
  };
  const std::vector<TapedRadius> r{KnownRadius{60}};
  EXPECT_EQ(code(part_of({{340}}, {protractor(90)}, r)), "taped.legs");
  EXPECT_EQ(code(part_of({{-1}, {180}}, {protractor(90)}, r)), "taped.length");
  EXPECT_EQ(code(part_of({{340}, {180}}, {protractor(0)}, r)), "taped.angle");
  EXPECT_EQ(code(part_of({{340}, {180}}, {{ByTriangle{1, 2, 4}, ByTurn{}, 0}}, r)),
            "taped.triangle");
  EXPECT_EQ(code(part_of({{340}, {180}}, {protractor(90)}, {ByChord{10, 0}})), "taped.chord");
  EXPECT_EQ(code(part_of({{340, LegEnd::kStraight, LegEnd::kCorner}, {180}}, {protractor(170)}, r)),
            "taped.reach");
  EXPECT_EQ(code(part_of({{340, LegEnd::kStraight, LegEnd::kBack}, {180}}, {protractor(60)}, r)),
            "taped.reach");
  EXPECT_EQ(code(part_of({{50, LegEnd::kStraight, LegEnd::kCorner}, {180}}, {protractor(90)}, r)),
            "taped.short");
  TapedBend steep = protractor(20);
  steep.rotation = ByLegLevel{Angle::degrees(30)};
  EXPECT_EQ(code(part_of({{340}, {180}, {100}}, {protractor(90), steep}, r)), "taped.rotation");
  EXPECT_EQ(code(part_of({{340}}, {}, {})), "");
}

}  // namespace
}  // namespace bight::geometry
