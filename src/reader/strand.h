// Strands: the straight and round runs that the skin of a swept body follows. The whole skin of a
// round tube, or one rounded corner of a rectangular one.
#pragma once

#include <vector>

#include "base/angle.h"
#include "reader/scan.h"

namespace bight::reader {

// Lines and circles from different faces are the same when they differ by less than this over the
// extent of the faces; ends meet when nearer than this (or ten times the file's own uncertainty).
inline constexpr double kSame_mm = 0.01;

// A straight run along an axis, or an arc of a torus's centre circle.
struct Strand {
  bool arc = false;
  Vec3 ends_mm[2] = {Vec3::Zero(), Vec3::Zero()};   // of the axis, at the skin's furthest reach
  Vec3 outwards[2] = {Vec3::Zero(), Vec3::Zero()};  // unit tangents leaving the strand
  Vec3 centre_mm = Vec3::Zero();                    // arc only
  Vec3 axis = Vec3::UnitZ();                        // arc only; ends[0] to ends[1] turns right-hand
  double radius_mm = 0.0;                           // arc only
  base::Angle sweep;                                // arc only
  double profile_mm = 0.0;  // radius of the skin about the strand; 0 for a sharp edge
  bool convex = true;       // outer skin
  base::Angle coverage;     // how much of the way round the strand the skin goes
  std::vector<std::size_t> faces;
  std::size_t body = 0;  // of the first face

  double length_mm() const;
};

// All strands of the scan's cylinders and tori. Faces on the same surface that touch or overlap
// become one strand. Tori that close on themselves or have no hole are left out.
std::vector<Strand> strands_of(const Scan& scan);

// Strands of sharp edges where two faces of a body meet square: for sections without corner radii.
std::vector<Strand> edge_strands_of(const Scan& scan);

// How near ends must be to meet in this file.
double joint_tolerance_mm(const Scan& scan);

}  // namespace bight::reader
