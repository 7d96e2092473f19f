// Where sheets are drawn: one interface for PDF, SVG and PNG.
//
// Paper coordinates: millimetres from the top left corner, x to the right, y downwards. Shades run
// from 0 (black) to 1 (white). Type sizes are in points, as printers count them (1/72 in).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/angle.h"
#include "base/result.h"

namespace bight::papers {

struct Point {
  double x_mm = 0.0;
  double y_mm = 0.0;
};

// An upright rectangle on the paper.
struct Box {
  double x_mm = 0.0;
  double y_mm = 0.0;
  double width_mm = 0.0;
  double height_mm = 0.0;

  double right_mm() const { return x_mm + width_mm; }
  double bottom_mm() const { return y_mm + height_mm; }
  Point centre() const { return {x_mm + width_mm / 2.0, y_mm + height_mm / 2.0}; }
  // The box with the same margin taken off every side.
  Box inset(double margin_mm) const {
    return {x_mm + margin_mm, y_mm + margin_mm, width_mm - 2.0 * margin_mm,
            height_mm - 2.0 * margin_mm};
  }
};

enum class Dash { kNone, kShort, kCentreline };

struct Pen {
  double width_mm = 0.25;
  double shade_ratio = 0.0;
  Dash dash = Dash::kNone;
};

enum class Align { kLeft, kCentre, kRight };

struct TextStyle {
  double size_pt = 9.0;
  bool bold = false;
  Align align = Align::kLeft;
  double wrap_mm = 0.0;  // lines break to stay within this; 0: one line
  double shade_ratio = 0.0;
  base::Angle turn;  // anticlockwise, about the anchor
};

// Room a text takes: every line counts kLinePitch_ratio type sizes.
struct TextSize {
  double width_mm = 0.0;
  double height_mm = 0.0;
  int num_lines = 0;
};

inline constexpr double kMmPerPoint = 25.4 / 72.0;
inline constexpr double kLinePitch_ratio = 1.2;       // baseline to baseline, in type sizes
inline constexpr double kFirstBaseline_ratio = 0.95;  // top of a text to its first baseline
inline constexpr double kCapHeight_ratio = 0.714;     // height of a capital or a digit

class Canvas {
 public:
  virtual ~Canvas() = default;

  virtual double width_mm() const = 0;
  virtual double height_mm() const = 0;
  // Ends the page and begins the next. The first page is open from the start.
  virtual void next_page() = 0;

  virtual void stroke(std::span<const Point> points, bool closed, const Pen& pen) = 0;
  virtual void fill(std::span<const Point> points, double shade_ratio) = 0;
  // Everything that lies within any of the outlines, which all run the same way round; no seams
  // where they touch.
  virtual void fill_union(std::span<const std::vector<Point>> outlines, double shade_ratio) = 0;
  virtual void circle(Point centre, double radius_mm, std::optional<Pen> pen,
                      std::optional<double> fill_shade_ratio) = 0;
  // Until the matching unclip() nothing is drawn outside the box.
  virtual void clip(const Box& box) = 0;
  virtual void unclip() = 0;

  virtual TextSize measure(std::string_view text, const TextStyle& style) const = 0;
  // The anchor is the top left, top centre or top right of the text, by its alignment. Control
  // characters and broken UTF-8 are shown as a replacement mark.
  virtual void text(Point anchor, std::string_view text, const TextStyle& style) = 0;

  // Closes the drawing and hands out the files' bytes: one for PDF, one per page for SVG and PNG.
  // Nothing may be drawn afterwards. Failure code: papers.drawing (the graphics library gave up).
  virtual base::Result<std::vector<std::string>> finish() = 0;
};

}  // namespace bight::papers
