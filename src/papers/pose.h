// How the part lies for its picture: which way up, which views where, at what scale.
#pragma once

#include <array>

#include "papers/canvas.h"
#include "papers/tube_view.h"

namespace bight::papers {

// One view with its place on the paper.
struct ViewCell {
  Eye eye;
  Box box;
};

struct Arrangement {
  ViewCell above, front, right;
  ViewCell pictorial;
  double scale_ratio = 1.0;  // paper to part, the three plain views; one of a row of plain scales
};

// Room around the part inside a cell that labels, dimensions and the cell's name need.
struct CellMargins {
  double left_mm = 7.0;
  double right_mm = 12.0;
  double top_mm = 9.0;
  double bottom_mm = 9.0;
};

// Tries the part's own directions (first bend flat, longest straight level) in every position and
// several ways to divide the box, and takes the one that shows the part largest. The pose is a
// turn, never a mirror image: a left hand part looks left handed. Deterministic.
Arrangement arrange(const Tube& tube, const Box& box, const CellMargins& margins = {});

// The next smaller of the scales we print, at most 1:1; from 1:10 on they are whole numbers.
double plain_scale_ratio(double largest_ratio);

}  // namespace bight::papers
