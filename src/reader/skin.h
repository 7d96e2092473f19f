// How far sampled points of a file's skin lie from the tube swept along a bend table, and the
// table that lies nearest to them.
#pragma once

#include <vector>

#include "geometry/centreline.h"
#include "reader/chain.h"
#include "reader/scan.h"

namespace bight::reader {

// One skin of the cross-section, outer or inner, in the first bend's frame. Round: half sizes 0
// and the corner is the radius. Rectangular: half sizes of the inner rectangle the corner rolls
// round, height in the plane of the first bend.
struct Outline {
  double half_height_mm = 0.0;
  double half_width_mm = 0.0;
  double corner_mm = 0.0;
};

// A point that should lie on a skin of one segment.
struct SkinPoint {
  Vec3 point_mm = Vec3::Zero();
  std::size_t segment = 0;
  std::size_t outline = 0;
};

// A point seen from the centreline: along the segment from its start, and across it.
struct Seen {
  double along_mm = 0.0;
  double inward_mm = 0.0;
  double normal_mm = 0.0;
};
Seen seen_from(const geometry::Segment& segment, const Vec3& p);

// Signed distance of a point from the outline swept along the segment; positive outside. turn is
// the rotation of the segment's frame from the first bend's.
double distance_mm(const Seen& seen, const Outline& outline, base::Angle turn);

// Rotation of each segment's frame from the first bend's.
std::vector<base::Angle> frame_turns(const geometry::BendTable& table);

struct Deviation {
  double max_mm = 0.0;
  double rms_mm = 0.0;
};
Deviation deviation(const geometry::BendTable& table, const geometry::Frame& start,
                    const std::vector<Outline>& outlines, const std::vector<SkinPoint>& points);

// The table and start that bring the points nearest to the swept outlines: Gauss-Newton over
// straights, rotations, angles, radii, the pose of the start and, for a single round outline pair,
// its radii. The start does not slide along itself (the ends hold it); directions that the points
// do not see keep their values. Returns the input when it cannot be bettered.
struct Fitted {
  geometry::BendTable table;
  geometry::Frame start;
  std::vector<Outline> outlines;
  Deviation deviation;
};
Fitted refit(const geometry::BendTable& table, const geometry::Frame& start,
             const std::vector<Outline>& outlines, const std::vector<SkinPoint>& points);

}  // namespace bight::reader
