#include "mechanics/profile.h"

#include <algorithm>
#include <numbers>

namespace bight::mechanics {

namespace {

using std::numbers::pi;
using stock::SectionKind;

// From this wall on, a tube is integrated as the difference of two discs; below, as rings, because
// the difference would lose digits.
constexpr double kThickWall_ratio = 0.12;

void add_strip(std::vector<Shape>& shapes, double low, double high, double width) {
  if (high > low && width > 0.0) {
    shapes.push_back({Shape::Kind::kStrip, 0.0, 0.0, low, high, width});
  }
}

// A ring (both sides of the plane of bending) between two radii, over angles from the width axis:
// circles at two Gauss points of the wall, exact for stresses cubic through the wall; or one
// circle in its middle.
void add_ring(std::vector<Shape>& shapes, double centre, double inner, double outer, double from,
              double to, Profile::Detail detail) {
  const double wall = outer - inner;
  const auto circle = [&](double at, double weight) {
    const double radius = inner + wall * at;
    shapes.push_back({Shape::Kind::kArc, centre, radius, from, to, 2.0 * radius * wall * weight});
  };
  if (detail == Profile::Detail::kCoarse) return circle(0.5, 1.0);
  const double away = 0.5 / std::numbers::sqrt3;
  circle(0.5 - away, 0.5);
  circle(0.5 + away, 0.5);
}

void add_disc(std::vector<Shape>& shapes, double centre, double radius, double from, double to,
              double sign) {
  if (radius > 0.0) {
    shapes.push_back({Shape::Kind::kDisc, centre, radius, from, to, sign * 2.0 * radius * radius});
  }
}

void add_box(std::vector<Shape>& shapes, const stock::Section& s, Profile::Detail detail) {
  const double c = s.height_mm() / 2.0;
  const double b = s.width_mm();
  const double t = s.wall_mm();
  const double r = s.corner_radius_mm();
  const double corner = c - r;  // height of the corners' centre
  for (double sign : {1.0, -1.0}) {
    const auto strip = [&](double low, double high, double width) {
      add_strip(shapes, std::min(sign * low, sign * high), std::max(sign * low, sign * high),
                width);
    };
    const double from = sign > 0 ? 0.0 : -pi / 2.0;
    const double to = sign > 0 ? pi / 2.0 : 0.0;
    if (r >= t) {
      strip(c - t, c, b - 2.0 * r);
      strip(0.0, corner, 2.0 * t);
      // Thick against its own inner radius: two quarter discs; else rings.
      if (t > kThickWall_ratio * 2.0 * r) {
        add_disc(shapes, sign * corner, r, from, to, 1.0);
        add_disc(shapes, sign * corner, r - t, from, to, -1.0);
      } else {
        add_ring(shapes, sign * corner, r - t, r, from, to, detail);
      }
    } else {
      strip(corner, c, b - 2.0 * r);
      add_disc(shapes, sign * corner, r, from, to, 1.0);
      strip(c - t, corner, b);
      strip(0.0, c - t, 2.0 * t);
    }
  }
}

// Rectangles as strips; a fillet as a strip less a quarter disc. Heights from the centroid.
void add_open(std::vector<Shape>& shapes, const stock::Section& s) {
  const stock::OpenFigure figure = s.figure();
  const double centroid = s.inner_mm();
  for (const stock::FigureRectangle& p : figure.rectangles) {
    add_strip(shapes, p.low_mm - centroid, p.high_mm - centroid, p.right_mm - p.left_mm);
  }
  for (const stock::FigureFillet& f : figure.fillets) {
    const double r = f.radius_mm;
    if (r <= 0.0) continue;
    const double centre = f.y_mm - centroid;
    const double end = centre + f.up_ratio * r;
    const bool up = f.up_ratio > 0.0;
    shapes.push_back({Shape::Kind::kStrip, 0.0, 0.0, std::min(centre, end), std::max(centre, end),
                      f.sign_ratio * r});
    // A quarter, where add_disc takes both sides of the plane of bending.
    shapes.push_back({Shape::Kind::kDisc, centre, r, up ? 0.0 : -pi / 2.0, up ? pi / 2.0 : 0.0,
                      -f.sign_ratio * r * r});
  }
}

}  // namespace

Profile::Profile(const stock::Section& s, Detail detail)
    : area_mm2_(s.area_mm2()), second_mm4_(s.second_moment_mm4()), top_mm_(s.outer_mm()) {
  const double c = top_mm_;
  bottom_mm_ = -s.inner_mm();
  switch (s.kind()) {
    case SectionKind::kRoundBar:
      add_disc(shapes_, 0.0, c, -pi / 2.0, pi / 2.0, 1.0);
      break;
    case SectionKind::kRoundTube:
      if (s.wall_mm() > kThickWall_ratio * s.height_mm()) {
        add_disc(shapes_, 0.0, c, -pi / 2.0, pi / 2.0, 1.0);
        add_disc(shapes_, 0.0, c - s.wall_mm(), -pi / 2.0, pi / 2.0, -1.0);
      } else {
        add_ring(shapes_, 0.0, c - s.wall_mm(), c, -pi / 2.0, pi / 2.0, detail);
      }
      break;
    case SectionKind::kRectBar:
      add_strip(shapes_, -c, c, s.width_mm());
      break;
    case SectionKind::kRectTube:
      add_box(shapes_, s, detail);
      break;
    case SectionKind::kAngle:
    case SectionKind::kChannel:
      add_open(shapes_, s);
      symmetric_ = s.on_edge();
      break;
  }
}

const GaussRule<kShortNodes>& short_rule() {
  static const GaussRule<kShortNodes> rule = gauss_rule<kShortNodes>();
  return rule;
}

const GaussRule<kNodes>& graded_rule() {
  static const GaussRule<kNodes> rule = [] {
    GaussRule<kNodes> graded = gauss_rule<kNodes>();
    for (std::size_t i = 0; i < kNodes; ++i) {  // x = u^2, dx = 2 u du
      const double u = graded.at[i];
      graded.at[i] = u * u;
      graded.weight[i] *= 2.0 * u;
    }
    return graded;
  }();
  return rule;
}

}  // namespace bight::mechanics
