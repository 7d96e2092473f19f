// What we hand back as DXF: the centreline in space, flat views, the developed strip.
#pragma once

#include <string>
#include <vector>

#include "exchange/part_line.h"
#include "planning/plan.h"

namespace bight::exchange {

// Straights as lines and bends as arcs, exact, on layer CENTRELINE, from end A to end B.
// read_dxf gives the same table back. Straights that arcs have eaten are left out.
std::string dxf_centreline(const geometry::BendTable& table, const geometry::Frame& start);

// One flat view made of polylines, in millimetres of the part.
struct FlatView {
  std::string title;
  std::vector<std::vector<Eigen::Vector2d>> outlines_mm;
  std::vector<std::vector<Eigen::Vector2d>> centrelines_mm;
};

// The views side by side on layers OUTLINE, CENTRELINE and TEXT.
std::string dxf_views(const std::vector<FlatView>& views);

// The blank's skin unrolled, seen from outside with end A on the left: its length as cut along X,
// its outside perimeter along Y. Layer BLANK is the outline; MARKS holds each bend's mark across
// the strip; BENDS the stretch each bend takes, about the line that will be the inside of that
// bend. The lower and upper edge are the inside line of bend 1; bends turned right-hand about the
// way from A lie below the upper edge by their share of the perimeter.
// A plan without steps gives the blank alone.
std::string dxf_strip(const planning::Plan& plan);

}  // namespace bight::exchange
