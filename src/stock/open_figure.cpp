#include "stock/open_figure.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::stock {

namespace {

using std::numbers::pi;

// Sums about the origin of the coordinates.
struct Sums {
  double area = 0.0, y = 0.0, x = 0.0, yy = 0.0, xx = 0.0, xy = 0.0;

  // A part by its area, centroid and own central moments.
  void add(double area_mm2, double y_mm, double x_mm, double own_yy, double own_xx, double own_xy) {
    area += area_mm2;
    y += area_mm2 * y_mm;
    x += area_mm2 * x_mm;
    yy += own_yy + area_mm2 * y_mm * y_mm;
    xx += own_xx + area_mm2 * x_mm * x_mm;
    xy += own_xy + area_mm2 * x_mm * y_mm;
  }
};

void add_rectangle(Sums& sums, double y_mm, double x_mm, double high_mm, double wide_mm,
                   double sign) {
  const double area = sign * high_mm * wide_mm;
  sums.add(area, y_mm, x_mm, area * high_mm * high_mm / 12.0, area * wide_mm * wide_mm / 12.0, 0.0);
}

// Square less quarter disc. About its centre a quarter disc has area pi r^2/4, centroid at
// 4 r/(3 pi) both ways, second moments pi r^4/16 and product r^4/8.
void add_fillet(Sums& sums, const FigureFillet& f) {
  const double r = f.radius_mm;
  const double half = 0.5 * r;
  add_rectangle(sums, f.y_mm + f.up_ratio * half, f.x_mm + f.across_ratio * half, r, r,
                f.sign_ratio);
  const double area = pi * r * r / 4.0;
  const double off = 4.0 * r / (3.0 * pi);
  const double own = pi * std::pow(r, 4) / 16.0 - area * off * off;
  const double own_xy = f.up_ratio * f.across_ratio * (std::pow(r, 4) / 8.0 - area * off * off);
  sums.add(-f.sign_ratio * area, f.y_mm + f.up_ratio * off, f.x_mm + f.across_ratio * off,
           -f.sign_ratio * own, -f.sign_ratio * own, -f.sign_ratio * own_xy);
}

// Area below a height and its first moment about that height's zero.
struct Below {
  double area_mm2 = 0.0;
  double first_mm3 = 0.0;
};

// Of one fillet: s is the distance from its centre towards its corner.
//   integral of r - sqrt(r^2 - s^2) and of s times that, from 0 to d
Below fillet_to(double r, double d) {
  const double root = std::sqrt(std::max(0.0, r * r - d * d));
  return {r * d - 0.5 * (d * root + r * r * std::asin(std::min(1.0, d / r))),
          r * d * d / 2.0 - (r * r * r - root * root * root) / 3.0};
}

Below below(const OpenFigure& figure, double y_mm) {
  Below sum;
  for (const FigureRectangle& p : figure.rectangles) {
    const double top = std::clamp(y_mm, p.low_mm, p.high_mm);
    const double area = (top - p.low_mm) * (p.right_mm - p.left_mm);
    sum.area_mm2 += area;
    sum.first_mm3 += area * 0.5 * (top + p.low_mm);
  }
  for (const FigureFillet& f : figure.fillets) {
    const double r = f.radius_mm;
    if (r <= 0.0) continue;
    const double d = std::clamp(f.up_ratio * (y_mm - f.y_mm), 0.0, r);
    const Below whole = fillet_to(r, r);
    const Below part = fillet_to(r, d);
    const bool up = f.up_ratio > 0.0;
    const double area = f.sign_ratio * (up ? part.area_mm2 : whole.area_mm2 - part.area_mm2);
    const double local = f.sign_ratio * (up ? part.first_mm3 : part.first_mm3 - whole.first_mm3);
    sum.area_mm2 += area;
    sum.first_mm3 += local + area * f.y_mm;
  }
  return sum;
}

}  // namespace

OpenFigure OpenFigure::upside_down(double height_mm) const {
  OpenFigure out = *this;
  for (FigureRectangle& p : out.rectangles) {
    const double low = height_mm - p.high_mm;
    p.high_mm = height_mm - p.low_mm;
    p.low_mm = low;
  }
  for (FigureFillet& f : out.fillets) {
    f.y_mm = height_mm - f.y_mm;
    f.up_ratio = -f.up_ratio;
  }
  return out;
}

OpenFigure OpenFigure::on_edge(double height_mm) const {
  OpenFigure out;
  for (const FigureRectangle& p : rectangles) {
    out.rectangles.push_back({p.left_mm, p.right_mm, height_mm - p.high_mm, height_mm - p.low_mm});
  }
  for (const FigureFillet& f : fillets) {
    out.fillets.push_back(
        {f.x_mm, height_mm - f.y_mm, f.radius_mm, f.across_ratio, -f.up_ratio, f.sign_ratio});
  }
  return out;
}

OpenFigure angle_figure(double h, double b, double t, double root, double toe) {
  return {{{0.0, h - t, 0.0, t}, {h - t, h, 0.0, b}},
          {{h - t - root, t + root, root, +1.0, -1.0, +1.0},
           {toe, t - toe, toe, -1.0, +1.0, -1.0},
           {h - t + toe, b - toe, toe, -1.0, +1.0, -1.0}}};
}

OpenFigure channel_figure(double h, double depth, double web, double flange, double root,
                          double toe) {
  const double far = depth - flange;
  return {{{h - web, h, 0.0, depth}, {0.0, h - web, 0.0, flange}, {0.0, h - web, far, depth}},
          {{h - web - root, flange + root, root, +1.0, -1.0, +1.0},
           {h - web - root, far - root, root, +1.0, +1.0, +1.0},
           {toe, flange - toe, toe, -1.0, +1.0, -1.0},
           {toe, far + toe, toe, -1.0, -1.0, -1.0}}};
}

FigureMoments figure_moments(const OpenFigure& figure) {
  Sums sums;
  for (const FigureRectangle& p : figure.rectangles) {
    add_rectangle(sums, 0.5 * (p.low_mm + p.high_mm), 0.5 * (p.left_mm + p.right_mm),
                  p.high_mm - p.low_mm, p.right_mm - p.left_mm, 1.0);
  }
  for (const FigureFillet& f : figure.fillets) add_fillet(sums, f);
  FigureMoments m;
  m.area_mm2 = sums.area;
  m.y_mm = sums.y / sums.area;
  m.x_mm = sums.x / sums.area;
  m.second_mm4 = sums.yy - sums.area * m.y_mm * m.y_mm;
  m.across_mm4 = sums.xx - sums.area * m.x_mm * m.x_mm;
  m.product_mm4 = sums.xy - sums.area * m.x_mm * m.y_mm;
  return m;
}

double figure_plastic_mm3(const OpenFigure& figure) {
  double low = figure.rectangles.front().low_mm;
  double high = low;
  for (const FigureRectangle& p : figure.rectangles) {
    low = std::min(low, p.low_mm);
    high = std::max(high, p.high_mm);
  }
  const Below whole = below(figure, high);
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (below(figure, middle).area_mm2 < 0.5 * whole.area_mm2 ? low : high) = middle;
  }
  // Both halves have the same area: what lies above less what lies below.
  return whole.first_mm3 - 2.0 * below(figure, high).first_mm3;
}

}  // namespace bight::stock
