// Test support: the straights and bends a made file is built from, for builders that need more than
// one source file. See made_files.h.
#pragma once

#include <TopoDS_Shape.hxx>
#include <gp_Trsf.hxx>
#include <vector>

namespace bight::reader::made {

// One straight or bend: transformation at its start; travel along X, bend towards Y.
struct Piece {
  gp_Trsf at;
  double length_mm = 0.0;    // straight
  double angle_rad = 0.0;    // bend
  double radius_mm = 0.0;    // bend
  double profile_rad = 0.0;  // turns the profile back to where it was at the start
};

// A round tube (or bar, inner_mm 0) whose skins are one rational spline face each from end to end,
// exact: circles as quadratic arcs, carried along by hand-written control points.
TopoDS_Shape long_faced(const std::vector<Piece>& pieces, double outer_mm, double inner_mm);

}  // namespace bight::reader::made
