#include "stock/open_figure.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

namespace bight::stock {
namespace {

using Outline = std::vector<std::pair<double, double>>;  // y, x

// The oracle: the outline as a polygon with many-sided arcs, integrated along its edges (Green's
// theorem). Shares nothing with the rectangles and fillets.
void add_arc(Outline& out, double y, double x, double r, double from_deg, double to_deg) {
  const int n = 2000;
  for (int i = 0; i <= n; ++i) {
    const double a = (from_deg + (to_deg - from_deg) * i / n) * std::numbers::pi / 180.0;
    out.emplace_back(y + r * std::sin(a), x + r * std::cos(a));
  }
}

// Heel at (0, 0), legs along +y (height) and +x (width).
Outline angle_outline(double h, double b, double t, double root, double toe) {
  Outline out{{0, 0}, {0, b}};
  add_arc(out, t - toe, b - toe, toe, 0, 90);
  add_arc(out, t + root, t + root, root, 270, 180);
  add_arc(out, h - toe, t - toe, toe, 0, 90);
  out.emplace_back(h, 0);
  return out;
}

FigureMoments polygon(const Outline& p) {
  double a = 0, sy = 0, sx = 0, yy = 0, xx = 0, xy = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const auto [y0, x0] = p[i];
    const auto [y1, x1] = p[(i + 1) % p.size()];
    const double c = x0 * y1 - x1 * y0;
    a += c / 2;
    sx += (x0 + x1) * c / 6;
    sy += (y0 + y1) * c / 6;
    yy += (y0 * y0 + y0 * y1 + y1 * y1) * c / 12;
    xx += (x0 * x0 + x0 * x1 + x1 * x1) * c / 12;
    xy += (x0 * y1 + 2 * x0 * y0 + 2 * x1 * y1 + x1 * y0) * c / 24;
  }
  FigureMoments m{a, sy / a, sx / a, 0, 0, 0};
  m.second_mm4 = yy - a * m.y_mm * m.y_mm;
  m.across_mm4 = xx - a * m.x_mm * m.x_mm;
  m.product_mm4 = xy - a * m.x_mm * m.y_mm;
  return m;
}

// Any rounded angle agrees with the polygon, product of inertia included.
RC_GTEST_PROP(OpenFigureProperty, AngleAgreesWithAPolygon, ()) {
  const double h = *rc::gen::inRange(20, 200);
  const double b = *rc::gen::inRange(20, 200);
  const double t = *rc::gen::inRange(2, 9);
  const double root = t * *rc::gen::inRange(0, 11) / 10.0;
  const double toe = root / 2;
  // The heel is the polygon's origin; the figure has it at the top.
  const FigureMoments m = figure_moments(angle_figure(h, b, t, root, toe).upside_down(h));
  const FigureMoments p = polygon(angle_outline(h, b, t, root, toe));
  RC_ASSERT(std::abs(m.area_mm2 / p.area_mm2 - 1) < 1e-6);
  RC_ASSERT(std::abs(m.y_mm - p.y_mm) < 1e-5);
  RC_ASSERT(std::abs(m.x_mm - p.x_mm) < 1e-5);
  RC_ASSERT(std::abs(m.second_mm4 / p.second_mm4 - 1) < 1e-6);
  RC_ASSERT(std::abs(m.across_mm4 / p.across_mm4 - 1) < 1e-6);
  RC_ASSERT(std::abs(m.product_mm4 / p.product_mm4 - 1) < 1e-5);
}

// A channel is two angles back to back along its middle: area and second moments add up.
TEST(OpenFigure, ChannelIsTwoAngles) {
  const double h = 55, depth = 100, tw = 4.5, tf = 7.5, root = 10;
  const FigureMoments channel = figure_moments(channel_figure(h, depth, tw, tf, root, 0));
  // Legs of one thickness only: compare with polygons of unlike legs instead.
  Outline half{{0, 0}, {0, h}, {tf, h}};
  add_arc(half, tf + root, tw + root, root, 270, 180);
  half.emplace_back(depth / 2, tw);
  half.emplace_back(depth / 2, 0);
  const FigureMoments p = polygon(half);
  EXPECT_NEAR(channel.area_mm2, 2 * p.area_mm2, 1e-3);
  EXPECT_NEAR(h - channel.y_mm, p.x_mm, 1e-5);
  EXPECT_NEAR(channel.second_mm4, 2 * p.across_mm4, 1e-5 * channel.second_mm4);
  EXPECT_NEAR(channel.across_mm4, 2 * (p.second_mm4 + p.area_mm2 * std::pow(depth / 2 - p.y_mm, 2)),
              1e-5 * channel.across_mm4);
  EXPECT_NEAR(channel.product_mm4, 0.0, 1e-6 * channel.across_mm4);
}

// Turning a figure on edge exchanges its axes; upside down only mirrors it.
TEST(OpenFigure, TurnsAndMirrors) {
  const OpenFigure figure = channel_figure(50, 100, 6, 8.5, 8, 4);
  const FigureMoments m = figure_moments(figure);
  const FigureMoments edge = figure_moments(figure.on_edge(50));
  EXPECT_NEAR(edge.second_mm4, m.across_mm4, 1e-6);
  EXPECT_NEAR(edge.x_mm, 50 - m.y_mm, 1e-9);
  const FigureMoments down = figure_moments(figure.upside_down(50));
  EXPECT_NEAR(down.y_mm, 50 - m.y_mm, 1e-9);
  EXPECT_NEAR(down.second_mm4, m.second_mm4, 1e-6);
}

// Plastic modulus of a sharp angle by hand: 50 x 50 x 5, half the area 237.5 lies in the flange
// when y = 237.5/50 = 4.75 from the heel: 50 4.75^2/2 + 50 0.25^2/2 + 5 45 (0.25 + 22.5) =
// 5684.375.
TEST(OpenFigureReference, PlasticModulusByHand) {
  EXPECT_NEAR(figure_plastic_mm3(angle_figure(50, 50, 5, 0, 0)), 5684.375, 1e-6);
}

}  // namespace
}  // namespace bight::stock
