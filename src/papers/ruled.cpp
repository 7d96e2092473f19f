#include "papers/ruled.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace bight::papers {

void line(Canvas& canvas, Point from, Point to, double pen_mm) {
  canvas.stroke(std::vector<Point>{from, to}, false, {pen_mm});
}

namespace {

std::vector<Point> corners(const Box& box) {
  return {{box.x_mm, box.y_mm},
          {box.right_mm(), box.y_mm},
          {box.right_mm(), box.bottom_mm()},
          {box.x_mm, box.bottom_mm()}};
}

}  // namespace

void frame(Canvas& canvas, const Box& box, double pen_mm) {
  canvas.stroke(corners(box), true, {pen_mm});
}

void fill_box(Canvas& canvas, const Box& box, double shade_ratio) {
  canvas.fill(corners(box), shade_ratio);
}

double fitting_pt(const Canvas& canvas, std::string_view text, TextStyle style, double width_mm,
                  double least_pt) {
  style.wrap_mm = 0.0;
  while (style.size_pt > least_pt && canvas.measure(text, style).width_mm > width_mm) {
    style.size_pt = std::max(least_pt, style.size_pt - 0.5);
  }
  return style.size_pt;
}

void text_in(Canvas& canvas, const Box& box, std::string_view text, TextStyle style,
             double least_pt) {
  // Two lines of a larger type read better than one of a tiny type; one line is tried first.
  style.size_pt = fitting_pt(canvas, text, style, box.width_mm, least_pt);
  style.wrap_mm = box.width_mm;
  TextSize size = canvas.measure(text, style);
  if (size.num_lines == 1) style.wrap_mm = 0.0;
  const double em_mm = style.size_pt * kMmPerPoint;
  const double ink_mm = (size.num_lines - 1) * kLinePitch_ratio * em_mm + kCapHeight_ratio * em_mm;
  const double top_mm =
      box.centre().y_mm - ink_mm / 2.0 - (kFirstBaseline_ratio - kCapHeight_ratio) * em_mm;
  const double x_mm = style.align == Align::kLeft     ? box.x_mm
                      : style.align == Align::kCentre ? box.centre().x_mm
                                                      : box.right_mm();
  canvas.text({x_mm, top_mm}, text, style);
}

double text_height_mm(const Canvas& canvas, std::string_view text, TextStyle style,
                      double width_mm) {
  style.wrap_mm = width_mm;
  return canvas.measure(text, style).height_mm;
}

double title_bar(Canvas& canvas, const Box& box, std::string_view title) {
  fill_box(canvas, {box.x_mm, box.y_mm, box.width_mm, kTitleBar_mm}, 0.0);
  text_in(canvas, {box.x_mm + 1.5, box.y_mm, box.width_mm - 3.0, kTitleBar_mm}, title,
          {10.0, true, Align::kLeft, 0.0, 1.0}, kBody_pt);
  return kTitleBar_mm;
}

void tick_box(Canvas& canvas, Point top_left, double size_mm) {
  frame(canvas, {top_left.x_mm, top_left.y_mm, size_mm, size_mm}, 0.4);
}

void severity_sign(Canvas& canvas, Point middle, double size_mm, part::Severity severity) {
  const double half_mm = size_mm / 2.0;
  const auto ring = [&](int num_corners, double first_rad, double radius_mm) {
    std::vector<Point> points;
    for (int k = 0; k < num_corners; ++k) {
      const double a = first_rad + 2.0 * std::numbers::pi * k / num_corners;
      points.push_back(
          {middle.x_mm + radius_mm * std::cos(a), middle.y_mm + radius_mm * std::sin(a)});
    }
    return points;
  };
  switch (severity) {
    case part::Severity::kStop:
      canvas.fill(ring(8, std::numbers::pi / 8.0, half_mm * 1.05), 0.0);
      fill_box(canvas,
               {middle.x_mm - half_mm * 0.6, middle.y_mm - half_mm * 0.18, half_mm * 1.2,
                half_mm * 0.36},
               1.0);
      return;
    case part::Severity::kCaution: {
      std::vector<Point> triangle = ring(3, -std::numbers::pi / 2.0, half_mm * 1.2);
      for (Point& p : triangle) p.y_mm += half_mm * 0.3;
      canvas.stroke(triangle, true, {0.5});
      line(canvas, {middle.x_mm, middle.y_mm - half_mm * 0.35},
           {middle.x_mm, middle.y_mm + half_mm * 0.3}, 0.55);
      canvas.circle({middle.x_mm, middle.y_mm + half_mm * 0.62}, 0.32, std::nullopt, 0.0);
      return;
    }
    case part::Severity::kNote:
      canvas.circle(middle, half_mm * 0.95, Pen{0.4}, std::nullopt);
      line(canvas, {middle.x_mm, middle.y_mm - half_mm * 0.1},
           {middle.x_mm, middle.y_mm + half_mm * 0.6}, 0.5);
      canvas.circle({middle.x_mm, middle.y_mm - half_mm * 0.5}, 0.3, std::nullopt, 0.0);
      return;
  }
}

void cross(Canvas& canvas, Point middle, double half_mm, double pen_mm) {
  line(canvas, {middle.x_mm - half_mm, middle.y_mm - half_mm},
       {middle.x_mm + half_mm, middle.y_mm + half_mm}, pen_mm);
  line(canvas, {middle.x_mm - half_mm, middle.y_mm + half_mm},
       {middle.x_mm + half_mm, middle.y_mm - half_mm}, pen_mm);
}

}  // namespace bight::papers
