#include "stock/section.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace bight::stock {

namespace {

using std::numbers::pi;

struct Moments {
  double area_mm2 = 0.0;
  double second_mm4 = 0.0;   // about the centroidal axis normal to the plane of bending
  double plastic_mm3 = 0.0;  // integral of |y|
};

Moments operator-(const Moments& a, const Moments& b) {
  return {a.area_mm2 - b.area_mm2, a.second_mm4 - b.second_mm4, a.plastic_mm3 - b.plastic_mm3};
}

Moments disc(double d) { return {pi * d * d / 4.0, pi * std::pow(d, 4) / 64.0, d * d * d / 6.0}; }

// Rectangle h x b with four corner fillets of radius r: the rectangle less, at each corner, the
// square r x r, plus the quarter disc.
Moments rounded_rectangle(double h, double b, double r) {
  Moments m{h * b, b * h * h * h / 12.0, b * h * h / 4.0};
  if (r <= 0.0) return m;
  const double square_centre = h / 2.0 - r / 2.0;
  const double square_area = r * r;
  const double square_second = r * r * r * r / 12.0 + square_area * square_centre * square_centre;
  const double quarter_area = pi * r * r / 4.0;
  const double quarter_offset = 4.0 * r / (3.0 * pi);
  const double quarter_centre = h / 2.0 - r + quarter_offset;
  const double quarter_own =
      pi * std::pow(r, 4) / 16.0 - quarter_area * quarter_offset * quarter_offset;
  const double quarter_second = quarter_own + quarter_area * quarter_centre * quarter_centre;
  m.area_mm2 += 4.0 * (quarter_area - square_area);
  m.second_mm4 += 4.0 * (quarter_second - square_second);
  m.plastic_mm3 += 4.0 * (quarter_area * quarter_centre - square_area * square_centre);
  return m;
}

Moments moments(const Section& s) {
  switch (s.kind()) {
    case SectionKind::kRoundTube:
      return disc(s.height_mm()) - disc(s.height_mm() - 2.0 * s.wall_mm());
    case SectionKind::kRoundBar:
      return disc(s.height_mm());
    case SectionKind::kRectBar:
      return rounded_rectangle(s.height_mm(), s.width_mm(), 0.0);
    case SectionKind::kRectTube: {
      const double t = s.wall_mm();
      const double inner_radius = std::max(0.0, s.corner_radius_mm() - t);
      return rounded_rectangle(s.height_mm(), s.width_mm(), s.corner_radius_mm()) -
             rounded_rectangle(s.height_mm() - 2.0 * t, s.width_mm() - 2.0 * t, inner_radius);
    }
  }
  return {};
}

bool positive(double value) { return std::isfinite(value) && value > 0.0; }

base::Failure bad_size(const char* what, double value) {
  return {"section.size", what, fmt::format("{} is not a size", value), "give a positive length"};
}

base::Failure bad_wall(double wall_mm, double size_mm) {
  return {"section.wall", "wall",
          fmt::format("a wall of {:.3g} mm leaves no bore in {:.4g} mm", wall_mm, size_mm),
          fmt::format("a wall below {:.4g} mm, or say that it is solid bar", size_mm / 2.0)};
}

}  // namespace

base::Result<Section> Section::round_tube(double od_mm, double wall_mm) {
  if (!positive(od_mm)) return bad_size("od", od_mm);
  if (!positive(wall_mm)) return bad_size("wall", wall_mm);
  if (wall_mm >= od_mm / 2.0) return bad_wall(wall_mm, od_mm);
  return Section(SectionKind::kRoundTube, od_mm, od_mm, wall_mm, 0.0);
}

base::Result<Section> Section::round_bar(double diameter_mm) {
  if (!positive(diameter_mm)) return bad_size("diameter", diameter_mm);
  return Section(SectionKind::kRoundBar, diameter_mm, diameter_mm, diameter_mm / 2.0, 0.0);
}

base::Result<Section> Section::rect_tube(double height_mm, double width_mm, double wall_mm,
                                         double corner_radius_mm) {
  if (!positive(height_mm)) return bad_size("height", height_mm);
  if (!positive(width_mm)) return bad_size("width", width_mm);
  if (!positive(wall_mm)) return bad_size("wall", wall_mm);
  const double smaller_mm = std::min(height_mm, width_mm);
  if (wall_mm >= smaller_mm / 2.0) return bad_wall(wall_mm, smaller_mm);
  if (!std::isfinite(corner_radius_mm) || corner_radius_mm < 0.0 ||
      corner_radius_mm > smaller_mm / 2.0) {
    return base::Failure{
        "section.corner", "corner radius",
        fmt::format("an outer corner radius of {} mm does not fit {:.4g} x {:.4g} mm",
                    corner_radius_mm, height_mm, width_mm),
        fmt::format("a radius between 0 and {:.4g} mm", smaller_mm / 2.0)};
  }
  return Section(SectionKind::kRectTube, height_mm, width_mm, wall_mm, corner_radius_mm);
}

base::Result<Section> Section::rect_bar(double height_mm, double width_mm) {
  if (!positive(height_mm)) return bad_size("height", height_mm);
  if (!positive(width_mm)) return bad_size("width", width_mm);
  return Section(SectionKind::kRectBar, height_mm, width_mm, std::min(height_mm, width_mm) / 2.0,
                 0.0);
}

double Section::area_mm2() const { return moments(*this).area_mm2; }
double Section::second_moment_mm4() const { return moments(*this).second_mm4; }
double Section::elastic_modulus_mm3() const { return second_moment_mm4() / (height_mm_ / 2.0); }
double Section::plastic_modulus_mm3() const { return moments(*this).plastic_mm3; }

double Section::outer_perimeter_mm() const {
  if (round()) return pi * height_mm_;
  return 2.0 * (height_mm_ + width_mm_) - (8.0 - 2.0 * pi) * corner_radius_mm_;
}

double Section::mass_kg_per_m(double density_kg_per_m3) const {
  return area_mm2() * 1e-6 * density_kg_per_m3;
}

Section Section::turned() const {
  return Section(kind_, width_mm_, height_mm_, wall_mm_, corner_radius_mm_);
}

std::string Section::text() const {
  const auto number = [](double v) { return fmt::format("{:.6g}", v); };
  switch (kind_) {
    case SectionKind::kRoundTube:
      return number(height_mm_) + " x " + number(wall_mm_);
    case SectionKind::kRoundBar:
      return "bar " + number(height_mm_);
    case SectionKind::kRectTube:
      return number(height_mm_) + " x " + number(width_mm_) + " x " + number(wall_mm_);
    case SectionKind::kRectBar:
      return "bar " + number(height_mm_) + " x " + number(width_mm_);
  }
  return {};
}

}  // namespace bight::stock
