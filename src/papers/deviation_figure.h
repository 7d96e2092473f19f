// A measured piece drawn over the drawing, its deviation enlarged.
#pragma once

#include "geometry/frame.h"
#include "inspection/deviation.h"
#include "papers/canvas.h"
#include "papers/wording.h"

namespace bight::papers {

// How many times a deviation is drawn larger than the part: the largest of 1, 2, 5, 10, 20, … that
// draws the worst one no longer than longest_mm on paper.
double magnification(double worst_mm, double scale_ratio, double longest_mm);

// Fills the box with the line through ends and corners as drawn (solid) and as measured (broken),
// seen across the plane in which the part spreads most and, where it has depth, along that plane.
// Points carry their names and distances. corners_mm: of the drawn part. Nothing is drawn outside
// the box.
void draw_deviation(Canvas& canvas, const Box& box, const std::vector<geometry::Vec3>& corners_mm,
                    const inspection::Deviation& deviation, const Wording& fine);

}  // namespace bight::papers
