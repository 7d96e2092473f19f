#include "stock/section.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "base/positive.h"

namespace bight::stock {

using base::positive;

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
    case SectionKind::kAngle:
    case SectionKind::kChannel: {
      const OpenFigure figure = s.figure();
      const FigureMoments m = figure_moments(figure);
      return {m.area_mm2, m.second_mm4, figure_plastic_mm3(figure)};
    }
  }
  return {};
}

base::Failure bad_size(const char* what, double value) {
  return {"section.size", what, fmt::format("{} is not a size", value), "give a positive length"};
}

base::Failure bad_wall(double wall_mm, double size_mm) {
  return {"section.wall", "wall",
          fmt::format("a wall of {:.3g} mm leaves no bore in {:.4g} mm", wall_mm, size_mm),
          fmt::format("a wall below {:.4g} mm, or say that it is solid bar", size_mm / 2.0)};
}

base::Failure fills_leg(double wall_mm, double size_mm) {
  return {"section.wall", "thickness",
          fmt::format("a thickness of {:.4g} mm leaves nothing of {:.4g} mm to stand", wall_mm,
                      size_mm),
          "a thickness well below the leg, flange or depth"};
}

// The rounding must leave the flats at least straight: `inside_mm` between legs or flanges,
// `standing_mm` of a leg beyond the other's thickness.
base::Status check_radii(OpenRadii radii, double thickness_mm, double inside_mm,
                         double standing_mm) {
  const bool fits = std::isfinite(radii.root_mm) && std::isfinite(radii.toe_mm) &&
                    radii.root_mm >= 0.0 && radii.toe_mm >= 0.0 && radii.toe_mm <= thickness_mm &&
                    radii.root_mm <= inside_mm && radii.root_mm + radii.toe_mm <= standing_mm;
  if (fits) return base::Done{};
  return base::Failure{"section.corner", "radius",
                       fmt::format("a root radius of {:.4g} mm and a toe radius of {:.4g} mm do "
                                   "not fit this section",
                                   radii.root_mm, radii.toe_mm),
                       "a toe radius up to the thickness, and both together within the leg"};
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

base::Result<Section> Section::angle(double height_mm, double width_mm, double thickness_mm,
                                     OpenRadii radii) {
  if (!positive(height_mm)) return bad_size("leg", height_mm);
  if (!positive(width_mm)) return bad_size("leg", width_mm);
  if (!positive(thickness_mm)) return bad_size("thickness", thickness_mm);
  const double shorter_mm = std::min(height_mm, width_mm);
  if (thickness_mm >= shorter_mm) return fills_leg(thickness_mm, shorter_mm);
  const double standing_mm = shorter_mm - thickness_mm;
  const base::Status fits = check_radii(radii, thickness_mm, standing_mm, standing_mm);
  if (!fits.ok()) return fits.failure();
  Section section(SectionKind::kAngle, height_mm, width_mm, thickness_mm, 0.0);
  section.radii_ = radii;
  return section;
}

base::Result<Section> Section::channel(double depth_mm, double flange_mm, double web_mm,
                                       double flange_thickness_mm, OpenRadii radii) {
  if (!positive(depth_mm)) return bad_size("depth", depth_mm);
  if (!positive(flange_mm)) return bad_size("flange", flange_mm);
  if (!positive(web_mm)) return bad_size("web", web_mm);
  if (!positive(flange_thickness_mm)) return bad_size("flange thickness", flange_thickness_mm);
  if (web_mm >= flange_mm) return fills_leg(web_mm, flange_mm);
  if (2.0 * flange_thickness_mm >= depth_mm) return fills_leg(flange_thickness_mm, depth_mm);
  const base::Status fits = check_radii(radii, flange_thickness_mm,
                                        0.5 * depth_mm - flange_thickness_mm, flange_mm - web_mm);
  if (!fits.ok()) return fits.failure();
  Section section(SectionKind::kChannel, depth_mm, flange_mm, web_mm, 0.0);
  section.flange_mm_ = flange_thickness_mm;
  section.radii_ = radii;
  section.on_edge_ = true;
  return section;
}

OpenFigure Section::figure() const {
  if (!open()) return {};
  const auto [root, toe] = radii_;
  OpenFigure figure;
  if (kind_ == SectionKind::kAngle) {
    figure = angle_figure(height_mm_, width_mm_, wall_mm_, root, toe);
  } else if (on_edge_) {
    return channel_figure(width_mm_, height_mm_, wall_mm_, flange_mm_, root, toe)
        .on_edge(width_mm_);
  } else {
    figure = channel_figure(height_mm_, width_mm_, wall_mm_, flange_mm_, root, toe);
  }
  return toes_ == Toes::kIn ? figure : figure.upside_down(height_mm_);
}

double Section::inner_mm() const {
  return open() ? figure_moments(figure()).y_mm : height_mm_ / 2.0;
}
double Section::outer_mm() const { return height_mm_ - inner_mm(); }

double Section::across_moment_mm4() const {
  return open() ? figure_moments(figure()).across_mm4 : moments(turned()).second_mm4;
}
double Section::product_moment_mm4() const {
  return open() ? figure_moments(figure()).product_mm4 : 0.0;
}

double Section::area_mm2() const { return moments(*this).area_mm2; }
double Section::second_moment_mm4() const { return moments(*this).second_mm4; }
double Section::elastic_modulus_mm3() const {
  return second_moment_mm4() / std::max(outer_mm(), inner_mm());
}
double Section::plastic_modulus_mm3() const { return moments(*this).plastic_mm3; }

double Section::outer_perimeter_mm() const {
  if (round()) return pi * height_mm_;
  if (open()) {
    // The outline of the box about it, and the inside of both flanges twice; an arc of pi r/2
    // stands for 2 r of each rounded corner.
    const bool angle = kind_ == SectionKind::kAngle;
    const double flange_mm = on_edge_ ? width_mm_ : height_mm_;
    const double inside_mm = angle ? 0.0 : 2.0 * (flange_mm - wall_mm_);
    const double corners_mm = (angle ? 1.0 : 2.0) * radii_.root_mm + 2.0 * radii_.toe_mm;
    return 2.0 * (height_mm_ + width_mm_) + inside_mm - (2.0 - pi / 2.0) * corners_mm;
  }
  return 2.0 * (height_mm_ + width_mm_) - (8.0 - 2.0 * pi) * corner_radius_mm_;
}

double Section::mass_kg_per_m(double density_kg_per_m3) const {
  return area_mm2() * 1e-6 * density_kg_per_m3;
}

Section Section::turned() const {
  Section section = *this;
  std::swap(section.height_mm_, section.width_mm_);
  section.on_edge_ = kind_ == SectionKind::kChannel && !on_edge_;
  return section;
}

Section Section::facing(Toes toes) const {
  Section section = *this;
  if (open()) section.toes_ = toes;
  return section;
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
    case SectionKind::kAngle:
      return "L " + number(height_mm_) + " x " + number(width_mm_) + " x " + number(wall_mm_);
    case SectionKind::kChannel: {
      const double depth_mm = on_edge_ ? height_mm_ : width_mm_;
      const double flange_mm = on_edge_ ? width_mm_ : height_mm_;
      const std::string text =
          "U " + number(depth_mm) + " x " + number(flange_mm) + " x " + number(wall_mm_);
      return flange_mm_ == wall_mm_ ? text : text + " x " + number(flange_mm_);
    }
  }
  return {};
}

}  // namespace bight::stock
