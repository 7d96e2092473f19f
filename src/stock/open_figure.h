// The figure of an angle or a channel, cut into rectangles and fillets, and its exact integrals.
#pragma once

#include <vector>

namespace bight::stock {

// Coordinates in mm: y along the plane of bending from the inside of the bend outwards, x across
// it; both start at the section's own edge.
struct FigureRectangle {
  double low_mm, high_mm;    // y
  double left_mm, right_mm;  // x
};

// The corner left between a square of side r and the quarter disc in it: the disc's centre stands
// at (y, x), the corner at (y + up r, x + across r), up and across being +1 or -1. sign +1 fills a
// root with it, -1 takes it off a toe.
struct FigureFillet {
  double y_mm, x_mm, radius_mm;
  double up_ratio, across_ratio, sign_ratio;
};

struct OpenFigure {
  std::vector<FigureRectangle> rectangles;
  std::vector<FigureFillet> fillets;

  // The figure mirrored so that y runs the other way, within a height.
  OpenFigure upside_down(double height_mm) const;
  // x and y exchanged; the old y, counted from height_mm downwards, becomes x.
  OpenFigure on_edge(double height_mm) const;
};

// An angle whose one leg stands in the plane of bending (height), toe inwards (y = 0); the other
// lies across it on the outside.
OpenFigure angle_figure(double height_mm, double width_mm, double thickness_mm, double root_mm,
                        double toe_mm);
// A channel whose web (its depth) lies across the plane of bending on the outside, toes inwards.
OpenFigure channel_figure(double flange_mm, double depth_mm, double web_mm,
                          double flange_thickness_mm, double root_mm, double toe_mm);

// Integrals about the figure's own centroid; exact (rectangles and circles in closed form).
struct FigureMoments {
  double area_mm2 = 0.0;
  double y_mm = 0.0, x_mm = 0.0;  // centroid
  double second_mm4 = 0.0;        // of y^2: resists bending in its plane
  double across_mm4 = 0.0;        // of x^2
  double product_mm4 = 0.0;       // of x y
};
FigureMoments figure_moments(const OpenFigure& figure);

// Plastic modulus: integral of the distance from the line that halves the area.
double figure_plastic_mm3(const OpenFigure& figure);

}  // namespace bight::stock
