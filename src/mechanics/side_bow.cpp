#include "mechanics/side_bow.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "mechanics/fibre_law.h"
#include "mechanics/gauss.h"

namespace bight::mechanics {

namespace {

constexpr std::size_t kPoints = 16;

const GaussRule<kPoints>& points() {
  // Crowded at both ends by x = u^2 (3 - 2u): there the arc of a fillet runs along the stripes.
  static const GaussRule<kPoints> rule = [] {
    GaussRule<kPoints> graded = gauss_rule<kPoints>();
    for (std::size_t i = 0; i < kPoints; ++i) {
      const double u = graded.at[i];
      graded.at[i] = u * u * (3.0 - 2.0 * u);
      graded.weight[i] *= 6.0 * u * (1.0 - u);
    }
    return graded;
  }();
  return rule;
}

// Force and both moments of a figure whose stress depends on the height alone.
struct Loads {
  double force_n = 0.0, moment_nmm = 0.0, side_nmm = 0.0;
};

// The section in stripes: between two heights, with the width and its first moment at each height.
template <typename Stripe>
void over_stripes(const stock::OpenFigure& figure, Stripe&& stripe) {
  for (const stock::FigureRectangle& p : figure.rectangles) {
    const double wide = p.right_mm - p.left_mm;
    const double first = wide * 0.5 * (p.left_mm + p.right_mm);
    stripe(p.low_mm, p.high_mm, [=](double) { return std::array{wide, first}; });
  }
  for (const stock::FigureFillet& f : figure.fillets) {
    if (f.radius_mm <= 0.0) continue;
    const double end = f.y_mm + f.up_ratio * f.radius_mm;
    // What lies between the arc and the corner's side of the square.
    stripe(std::min(f.y_mm, end), std::max(f.y_mm, end), [=](double y_mm) {
      const double s = y_mm - f.y_mm;
      const double chord = std::sqrt(std::max(0.0, f.radius_mm * f.radius_mm - s * s));
      const double wide = f.radius_mm - chord;
      const double middle = f.x_mm + f.across_ratio * 0.5 * (f.radius_mm + chord);
      return std::array{f.sign_ratio * wide, f.sign_ratio * wide * middle};
    });
  }
}

Loads loads(const stock::OpenFigure& figure, const stock::FigureMoments& m, const FibreLaw& law,
            double curvature_per_mm, double neutral_mm) {
  const double core_mm = law.yield_strain_ratio() / curvature_per_mm;
  const std::array cuts{neutral_mm - core_mm, neutral_mm, neutral_mm + core_mm};
  Loads sum;
  over_stripes(figure, [&](double low, double high, auto&& widths) {
    double from = low;
    for (std::size_t i = 0; i <= cuts.size(); ++i) {
      const double to = i < cuts.size() ? std::clamp(cuts[i], from, high) : high;
      for (std::size_t k = 0; k < kPoints && to > from; ++k) {
        const double y = from + (to - from) * points().at[k];
        const auto [wide, first] = widths(y);
        const double stress =
            law.stress_mpa((y - neutral_mm) * curvature_per_mm) * points().weight[k] * (to - from);
        sum.force_n += stress * wide;
        sum.moment_nmm += stress * wide * (y - m.y_mm);
        sum.side_nmm += stress * (first - wide * m.x_mm);
      }
      from = to;
    }
  });
  return sum;
}

}  // namespace

SideBow side_bow(const stock::Section& section, const stock::FlowCurve& curve,
                 double loaded_radius_mm) {
  SideBow out;
  if (section.product_moment_mm4() == 0.0) return out;
  const stock::OpenFigure figure = section.figure();
  const stock::FigureMoments m = figure_moments(figure);
  const FibreLaw law(curve);
  const double curvature = 1.0 / loaded_radius_mm;
  // The force falls as the neutral fibre rises.
  double low = 0.0;
  double high = section.height_mm();
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (loads(figure, m, law, curvature, middle).force_n > 0.0 ? low : high) = middle;
  }
  const Loads loaded = loads(figure, m, law, curvature, high);
  // Elastic release about both axes: E [Iy Ixy; Ixy Ix] (change of curvatures) = moments.
  const double det = m.second_mm4 * m.across_mm4 - m.product_mm4 * m.product_mm4;
  const double e = curve.youngs_mpa();
  const double lost =
      (loaded.moment_nmm * m.across_mm4 - loaded.side_nmm * m.product_mm4) / (e * det);
  const double lost_side =
      (loaded.side_nmm * m.second_mm4 - loaded.moment_nmm * m.product_mm4) / (e * det);
  out.unguided_ratio = -m.product_mm4 / m.across_mm4;
  out.moment_nmm = loaded.moment_nmm;
  out.side_moment_nmm = loaded.side_nmm;
  out.released_per_mm = curvature - lost;
  out.sideways_per_mm = -lost_side;
  return out;
}

double shear_centre_mm(const stock::Section& section) {
  if (section.kind() != stock::SectionKind::kChannel) return 0.0;
  const double depth_mm = section.on_edge() ? section.height_mm() : section.width_mm();
  const double flange_mm = section.on_edge() ? section.width_mm() : section.height_mm();
  const double tf = section.flange_thickness_mm();
  const double tw = section.wall_mm();
  const double b = flange_mm - tw / 2.0;
  const double h = depth_mm - tf;
  return 3.0 * b * b * tf / (6.0 * b * tf + h * tw);
}

}  // namespace bight::mechanics
