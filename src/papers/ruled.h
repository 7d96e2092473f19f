// The few marks every block of the sheet is made of: rules, cells, signs, boxes to tick.
#pragma once

#include <string>
#include <string_view>

#include "papers/canvas.h"
#include "part/finding.h"

namespace bight::papers {

inline constexpr double kThin_mm = 0.2;
inline constexpr double kRule_mm = 0.35;
inline constexpr double kHeavy_mm = 0.8;
inline constexpr double kBody_pt = 9.0;   // nothing on the sheet is smaller but its footer
inline constexpr double kSmall_pt = 8.0;  // names of fields

void line(Canvas& canvas, Point from, Point to, double pen_mm = kRule_mm);
void frame(Canvas& canvas, const Box& box, double pen_mm = kRule_mm);
void fill_box(Canvas& canvas, const Box& box, double shade_ratio);

// Largest size, in steps of half a point down to the least, at which the text stays on one line
// of the width. At the least size it may have to break.
double fitting_pt(const Canvas& canvas, std::string_view text, TextStyle style, double width_mm,
                  double least_pt);

// Text in the middle of the box's height, by its capitals, aligned by the style within the width.
// It is made smaller to fit, never below least_pt, and breaks into lines then.
void text_in(Canvas& canvas, const Box& box, std::string_view text, TextStyle style,
             double least_pt = kSmall_pt);

// Height of a text broken to the width.
double text_height_mm(const Canvas& canvas, std::string_view text, TextStyle style,
                      double width_mm);

// White on black title bar over the width of the box; returns the height used.
double title_bar(Canvas& canvas, const Box& box, std::string_view title);
inline constexpr double kTitleBar_mm = 4.9;

// An empty square to tick.
void tick_box(Canvas& canvas, Point top_left, double size_mm);

// The sign of a finding, told apart by shape: stop an octagon with a bar, caution a triangle with
// an exclamation mark, note a ring with an i.
void severity_sign(Canvas& canvas, Point middle, double size_mm, part::Severity severity);

// A cross such as one chalks on metal.
void cross(Canvas& canvas, Point middle, double half_mm, double pen_mm);

}  // namespace bight::papers
