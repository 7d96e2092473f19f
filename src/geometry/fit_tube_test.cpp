#include "geometry/fit_tube.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/centreline.h"
#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

using base::Angle;

struct Case {
  const char* name;
  made::Tube tube;
  made::Scan scan;
  std::optional<double> od_mm;
};

made::Scan scan_of(std::size_t num = 12000, std::uint64_t seed = 1) {
  made::Scan scan;
  scan.num = num;
  scan.seed = seed;
  return scan;
}

made::Scan seen(double half_girth_deg, std::uint64_t seed) {
  made::Scan scan = scan_of(12000, seed);
  scan.half_girth_deg = half_girth_deg;
  scan.view_follows = true;
  return scan;
}

made::Scan cluttered(std::uint64_t seed) {
  made::Scan scan = scan_of(12000, seed);
  scan.strays_ratio = 0.05;
  scan.table_points = 8000;
  scan.bracket_points = 500;
  scan.wall_mm = 1.5;
  return scan;
}

made::Scan holed(std::uint64_t seed, std::vector<std::array<double, 2>> holes_mm) {
  made::Scan scan = scan_of(12000, seed);
  scan.holes_mm = std::move(holes_mm);
  return scan;
}

// Ten tubes, end A first by the rule: the longer end straight.
const std::vector<Case>& cases() {
  static const std::vector<Case> kCases = {
      {"two 90s", {{{340, 0, 90, 60}, {180, 90, 90, 60}}, 190, 25}, scan_of(12000, 2), {}},
      {"U", {{{260, 0, 180, 75}}, 200, 30}, scan_of(12000, 3), {}},
      {"past the U", {{{130, 0, 225, 60}}, 90, 16}, scan_of(12000, 4), {}},
      {"rolled", {{{230, 0, 60, 1500}}, 200, 42.4}, scan_of(50000, 5), {}},
      {"line of four",
       {{{150, 0, 90, 36.5}, {41, 90, 45, 36.5}, {30, 180, 45, 36.5}, {118, -90, 90, 36.5}},
        71,
        12},
       scan_of(12000, 6),
       {}},
      {"one side seen", {{{150, 0, 70, 80}, {90, 120, 120, 80}}, 120, 38.1}, seen(90, 7), {}},
      {"a quarter seen, caliper",
       {{{200, 0, 90, 60}, {100, -60, 60, 60}}, 150, 25},
       seen(45, 8),
       25.0},
      {"on a table, bracket and strays",
       {{{220, 0, 90, 60}, {150, 30, 60, 90}}, 160, 28},
       cluttered(9),
       {}},
      {"holes",
       {{{250, 0, 60, 70}, {200, 150, 90, 70}}, 180, 25},
       holed(10, {{80, 120}, {400, 440}}),
       {}},
      {"six bends",
       {{{150, 0, 50, 60},
         {70, 170, 50, 90},
         {120, -40, 75, 60},
         {60, 90, 95, 90},
         {90, -100, 45, 60},
         {140, 20, 110, 75}},
        90,
        22},
       scan_of(20000, 11),
       {}},
  };
  return kCases;
}

// Largest distance between the fitted centreline and the generator's, both measured along.
double apart_mm(const TubeFit& fit, const made::Tube& tube) {
  // The generator's own tube as a table: rows only, no code of ours but the layout.
  std::vector<BendRow> rows;
  for (const made::Bend& b : tube.bends) {
    rows.push_back(
        {b.straight_mm, Angle::degrees(b.rotation_deg), Angle::degrees(b.angle_deg), b.radius_mm});
  }
  const Centreline wanted = lay_out(*BendTable::make(rows, tube.last_mm), fit.start);
  const Centreline got = lay_out(fit.table, fit.start);
  double worst = 0.0;
  for (double s = 0; s < wanted.length_mm(); s += 5.0) {
    worst = std::max(worst, (wanted.at_mm(s) - got.at_mm(s)).norm());
  }
  return worst;
}

class TenScans : public ::testing::TestWithParam<Case> {};

// Within 0.3 mm and 0.2° of the tube that was scanned with 0.2 mm noise; every error also within
// five of its own said sigmas (of some 60 numbers the largest may reach three and a half).
TEST_P(TenScans, WithinThreeTenthsAndAFifthOfADegree) {
  const Case& c = GetParam();
  TubeFitOptions options;
  options.od_mm = c.od_mm;
  const auto fit = fit_tube(made::scanned(c.tube, c.scan), options);
  ASSERT_TRUE(fit.ok()) << fit.failure().text();
  ASSERT_EQ(fit->table.num_bends(), c.tube.bends.size());
  for (std::size_t i = 0; i < c.tube.bends.size(); ++i) {
    const made::Bend& wanted = c.tube.bends[i];
    const BendRow& got = fit->table.rows()[i];
    const RowUncertainty& u = fit->u[i];
    EXPECT_NEAR(got.straight_mm, wanted.straight_mm, 0.3) << i;
    EXPECT_NEAR(got.angle.deg(), wanted.angle_deg, 0.2) << i;
    EXPECT_NEAR((got.rotation - Angle::degrees(wanted.rotation_deg)).wrapped().deg(), 0.0, 0.2)
        << i;
    EXPECT_NEAR(got.radius_mm, wanted.radius_mm, 0.5) << i;
    EXPECT_LT(std::abs(got.straight_mm - wanted.straight_mm), 5 * u.straight_mm + 0.05) << i;
    EXPECT_LT(std::abs(got.angle.deg() - wanted.angle_deg), 5 * u.angle.deg() + 0.005) << i;
    EXPECT_LT(std::abs(got.radius_mm - wanted.radius_mm), 5 * u.radius_mm + 0.01) << i;
  }
  EXPECT_NEAR(fit->table.last_straight_mm(), c.tube.last_mm, 0.3);
  EXPECT_NEAR(fit->od_mm, c.tube.od_mm, 0.1);
  EXPECT_NEAR(fit->rms_mm, 0.2, 0.02);
  EXPECT_LT(apart_mm(*fit, c.tube), 0.5);
  EXPECT_EQ(fit->od_held, c.od_mm.has_value());
}

INSTANTIATE_TEST_SUITE_P(FitTube, TenScans, ::testing::ValuesIn(cases()),
                         [](const auto& tested) { return std::to_string(tested.index); });

// 1 mm noise: as good as the points allow, and the uncertainties say how good.
TEST(FitTube, OneMillimetreOfNoise) {
  made::Scan scan = scan_of(20000, 21);
  scan.noise_mm = 1.0;
  const made::Tube tube{{{240, 0, 90, 80}, {180, 60, 60, 80}}, 190, 38.1};
  const auto fit = fit_tube(made::scanned(tube, scan));
  ASSERT_TRUE(fit.ok()) << fit.failure().text();
  ASSERT_EQ(fit->table.num_bends(), 2u);
  for (std::size_t i = 0; i < 2; ++i) {
    const BendRow& got = fit->table.rows()[i];
    EXPECT_NEAR(got.angle.deg(), tube.bends[i].angle_deg, 0.2);
    EXPECT_LT(std::abs(got.straight_mm - tube.bends[i].straight_mm), 5 * fit->u[i].straight_mm);
  }
  // The noise along the skin pushes the diameter out by sigma^2 / r = 0.05 mm; it is in the band.
  EXPECT_LT(std::abs(fit->od_mm - 38.1), 3 * fit->od_u_mm);
  EXPECT_LT(apart_mm(*fit, tube), 1.5);
}

// Bends that turn against each other without a straight between: straight and angles count only
// together (0.6° more on both is 1 mm of straight), the shape is right all the same.
TEST(FitTube, NoStraightBetween) {
  const made::Tube tube{{{120, 0, 90, 50}, {0, 180, 90, 50}, {80, 90, 60, 50}}, 100, 20};
  const auto fit = fit_tube(made::scanned(tube, scan_of(12000, 22)));
  ASSERT_TRUE(fit.ok()) << fit.failure().text();
  ASSERT_EQ(fit->table.num_bends(), 3u);
  EXPECT_LT(fit->table.rows()[1].straight_mm, 4.0);
  EXPECT_GT(fit->u[1].straight_mm, 0.5);
  EXPECT_LT(apart_mm(*fit, tube), 0.4);
}

// Shallow bends: angle and plane are known, the radius hardly, and it says so.
TEST(FitTube, ShallowBends) {
  const made::Tube tube{{{300, 0, 15, 100}, {250, 60, 8, 100}}, 200, 33.7};
  const auto fit = fit_tube(made::scanned(tube, scan_of(12000, 23)));
  ASSERT_TRUE(fit.ok()) << fit.failure().text();
  ASSERT_EQ(fit->table.num_bends(), 2u);
  EXPECT_NEAR(fit->table.rows()[1].angle.deg(), 8, 0.05);
  EXPECT_NEAR(fit->table.rows()[1].rotation.deg(), 60, 0.2);
  EXPECT_GT(fit->u[1].radius_mm, 0.5);
  EXPECT_LT(std::abs(fit->table.rows()[1].radius_mm - 100), 5 * fit->u[1].radius_mm);
  ASSERT_TRUE(fit->shared_radius_mm.has_value());
}

// A straight tube: a length and a diameter, no bends.
TEST(FitTube, StraightTube) {
  const auto fit = fit_tube(made::scanned({{}, 500, 25}, scan_of(6000, 24)));
  ASSERT_TRUE(fit.ok()) << fit.failure().text();
  EXPECT_EQ(fit->table.num_bends(), 0u);
  EXPECT_NEAR(fit->table.last_straight_mm(), 500, 0.5);
  EXPECT_NEAR(fit->od_mm, 25, 0.02);
  EXPECT_TRUE(fit->ends_alike);
}

// The frame puts the table where the points are: they lie half a diameter off the centreline.
TEST(FitTube, FrameLiesInTheScan) {
  const made::Tube tube{{{240, 0, 90, 80}, {180, 60, 60, 80}}, 190, 38.1};
  const Points points = made::scanned(tube, scan_of(8000, 25));
  const auto fit = fit_tube(points);
  ASSERT_TRUE(fit.ok());
  const Centreline line = lay_out(fit->table, fit->start);
  const std::vector<Vec3> path = line.sampled_mm(0.001);
  for (std::size_t i = 0; i < points.size(); i += 997) {
    double least = 1e9;
    for (std::size_t k = 1; k < path.size(); ++k) {
      const Vec3 chord = path[k] - path[k - 1];
      const double t =
          std::clamp((points[i] - path[k - 1]).dot(chord) / chord.squaredNorm(), 0.0, 1.0);
      least = std::min(least, (path[k - 1] + chord * t - points[i]).norm());
    }
    EXPECT_NEAR(least, 19.05, 1.0);
  }
}

// Exchanging the ends gives the table read from the other end.
TEST(FitTube, SwapEnds) {
  const Points points =
      made::scanned({{{240, 0, 90, 80}, {180, 60, 60, 80}}, 190, 38.1}, scan_of(8000, 25));
  TubeFitOptions swap;
  swap.swap_ends = true;
  const auto one = fit_tube(points);
  const auto other = fit_tube(points, swap);
  ASSERT_TRUE(one.ok() && other.ok());
  EXPECT_NEAR(one->table.straight_mm(0), 240, 0.5);
  EXPECT_NEAR(other->table.straight_mm(0), 190, 0.5);
  EXPECT_TRUE(other->table == one->table.reversed());
}

// The same points give the same table, to the bit.
TEST(FitTube, Repeatable) {
  const Points points = made::scanned({{{240, 0, 90, 80}}, 190, 38.1}, scan_of(6000, 26));
  EXPECT_TRUE(fit_tube(points)->table == fit_tube(points)->table);
}

// What is no tube is refused by name.
TEST(FitTube, NonsenseIsRefused) {
  EXPECT_EQ(fit_tube({}).failure().code, "scan.points");
  EXPECT_EQ(fit_tube(Points(5000, Vec3(1, 2, 3))).failure().code, "scan.one-place");
  std::mt19937_64 random(2);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> unit;
  Points sphere;
  Points box;
  Points fog;
  for (int i = 0; i < 20000; ++i) {
    const Vec3 d(normal(random), normal(random), normal(random));
    sphere.push_back(Vec3(5, 6, 7) + 20.0 * d.normalized() + 0.02 * Vec3(d.y(), d.z(), d.x()));
    Vec3 p(300 * unit(random), 40 * unit(random), 40 * unit(random));
    p[1 + i % 2] = i % 4 < 2 ? 0.0 : 40.0;
    box.push_back(p);
    fog.push_back(100.0 * d);
  }
  EXPECT_EQ(fit_tube(sphere).failure().code, "scan.sphere");
  EXPECT_EQ(fit_tube(box).failure().code, "scan.flat-faces");
  const std::string code = fit_tube(fog).failure().code;
  EXPECT_TRUE(code == "scan.no-tube" || code == "scan.little-tube" || code == "scan.not-bent-tube")
      << code;
}

}  // namespace
}  // namespace bight::geometry
