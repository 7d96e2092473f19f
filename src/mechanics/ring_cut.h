// Cut length of rolled rings, and how many a stick yields.
#pragma once

#include "base/result.h"

namespace bight::mechanics {

// Which diameter of a ring was given. Inside and outside differ by twice the section's depth, so
// the question must be answered before any length is given.
enum class RingMeasure { kNotSaid, kInside, kCentreline, kOutside };

struct RingRequest {
  double diameter_mm = 0.0;
  RingMeasure measure = RingMeasure::kNotSaid;
  double depth_mm = 0.0;  // of the section in the plane of bending
  double flats_mm = 0.0;  // total straight left by the rolls and trimmed off, both ends
};

struct RingCut {
  double mean_diameter_mm = 0.0;
  double circumference_mm = 0.0;  // along the centroid: pi times the mean diameter
  double cut_mm = 0.0;            // circumference + flats
};

// The piece to cut for one ring. Stretch of the centroid is neglected; it is unproven until one
// ring has been rolled and measured.
// Failure codes: ring.measure (inside or outside not said), ring.size (a size not positive and
// finite, flats negative, or an inside that the depth uses up).
base::Result<RingCut> ring_cut(const RingRequest& request);

// Pieces that one stick gives, each parted by one saw kerf; the last needs none if it fits exactly.
// Failure codes: ring.size.
base::Result<int> pieces_per_stick(double cut_mm, double stick_mm, double kerf_mm);

}  // namespace bight::mechanics
