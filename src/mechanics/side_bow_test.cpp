#include "mechanics/side_bow.h"

#include <gtest/gtest.h>

#include <cmath>

#include "mechanics/moment_curve.h"

namespace bight::mechanics {
namespace {

using stock::FlowCurve;
using stock::Section;

// An elastic angle held in its plane comes back straight in both, and the guides carry E Ixy/R.
TEST(SideBow, ElasticAngleComesBackStraight) {
  const Section angle = *Section::angle(50, 50, 5, {7, 3.5});
  const SideBow bow = side_bow(angle, *FlowCurve::perfect(205e3, 355), 50000);
  EXPECT_NEAR(bow.released_per_mm * 50000, 0.0, 1e-6);
  EXPECT_NEAR(bow.sideways_per_mm * 50000, 0.0, 1e-6);
  EXPECT_NEAR(bow.side_moment_nmm / (205e3 * angle.product_moment_mm4() / 50000), 1.0, 1e-6);
}

// Oracle: the same integrals by brute force over a grid of square cells, perfectly plastic, sharp
// corners (no code shared: neutral line by counting cells, release by Cramer's rule on cell sums).
TEST(SideBowReference, AgreesWithAGridOfCells) {
  const double h = 60, b = 40, t = 6, radius = 800, youngs = 205e3, yield = 300;
  const double cell = 0.05;
  const auto inside = [&](double y, double x) { return x < t || y > h - t; };
  double area = 0, sy = 0, sx = 0;
  const auto each = [&](auto&& f) {
    for (double y = cell / 2; y < h; y += cell) {
      for (double x = cell / 2; x < b; x += cell) {
        if (inside(y, x)) f(y, x, cell * cell);
      }
    }
  };
  each([&](double y, double x, double a) { area += a, sy += a * y, sx += a * x; });
  const double cy = sy / area, cx = sx / area;
  double iy = 0, ix = 0, ixy = 0;
  each([&](double y, double x, double a) {
    iy += a * (y - cy) * (y - cy);
    ix += a * (x - cx) * (x - cx);
    ixy += a * (y - cy) * (x - cx);
  });
  const auto stress = [&](double y, double neutral) {
    return std::clamp(youngs * (y - neutral) / radius, -yield, yield);
  };
  double low = 0, high = h;
  for (int i = 0; i < 40; ++i) {
    const double middle = (low + high) / 2;
    double force = 0;
    each([&](double y, double, double a) { force += a * stress(y, middle); });
    (force > 0 ? low : high) = middle;
  }
  double my = 0, mx = 0;
  each([&](double y, double x, double a) {
    my += a * stress(y, high) * (y - cy);
    mx += a * stress(y, high) * (x - cx);
  });
  const double det = youngs * (iy * ix - ixy * ixy);
  const SideBow bow =
      side_bow(*Section::angle(h, b, t), *FlowCurve::perfect(youngs, yield), radius);
  EXPECT_NEAR(bow.moment_nmm / my, 1.0, 1e-3);
  EXPECT_NEAR(bow.side_moment_nmm / mx, 1.0, 1e-3);
  EXPECT_NEAR(bow.released_per_mm, 1 / radius - (my * ix - mx * ixy) / det, 1e-3 / radius);
  EXPECT_NEAR(bow.sideways_per_mm, -(mx * iy - my * ixy) / det, 1e-3 / radius);
  EXPECT_NEAR(bow.unguided_ratio, -ixy / ix, 1e-3);
}

// The moment is the one of the moment-curvature law, which integrates through the profile.
TEST(SideBow, CarriesTheSectionsMoment) {
  const FlowCurve steel = *FlowCurve::swift(205e3, 700, 0.01, 0.2);
  for (const Section& s :
       {*Section::angle(50, 50, 5, {7, 3.5}), Section::angle(100, 50, 6, {8, 4})->turned(),
        Section::angle(80, 60, 7)->facing(stock::Toes::kOut)}) {
    EXPECT_NEAR(side_bow(s, steel, 600).moment_nmm / MomentCurve(s, steel).moment_nmm(1.0 / 600),
                1.0, 1e-4)
        << s.text();
  }
}

// Toes in and toes out are mirror images: the same sizes, the sideways push reversed.
TEST(SideBow, TurnsOverWithTheToes) {
  const FlowCurve steel = *FlowCurve::swift(205e3, 700, 0.01, 0.2);
  const Section in = *Section::angle(60, 60, 6, {8, 4});
  const SideBow a = side_bow(in, steel, 500);
  const SideBow b = side_bow(in.facing(stock::Toes::kOut), steel, 500);
  EXPECT_NEAR(a.released_per_mm, b.released_per_mm, 1e-12);
  EXPECT_NEAR(a.sideways_per_mm, -b.sideways_per_mm, 1e-12);
  EXPECT_NE(a.sideways_per_mm, 0.0);
}

// A channel does not push sideways; its shear centre lies outside the web. By hand: 100 x 50,
// tw 6, tf 8.5: b 47, h 91.5, e = 3 47^2 8.5/(6 47 8.5 + 91.5 6) = 56329.5/2946 = 19.12 mm.
TEST(SideBowReference, Channel) {
  const Section channel = *Section::channel(100, 50, 6, 8.5);
  EXPECT_EQ(side_bow(channel, *FlowCurve::perfect(205e3, 300), 500).side_moment_nmm, 0.0);
  EXPECT_NEAR(shear_centre_mm(channel), 56329.5 / 2946.0, 1e-9);
  EXPECT_EQ(shear_centre_mm(channel.turned()), shear_centre_mm(channel));
  EXPECT_EQ(shear_centre_mm(*Section::round_bar(20)), 0.0);
}

}  // namespace
}  // namespace bight::mechanics
