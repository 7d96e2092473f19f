// A scan thinned to evenly spread points with estimated normals: what the search for a tube works
// on. The final fit goes back to all points.
#pragma once

#include <Eigen/Geometry>
#include <cstdint>
#include <vector>

#include "geometry/fit_neighbours.h"
#include "geometry/fit_shapes.h"

namespace bight::geometry {

// Our own mapping of a counter to well-mixed bits (splitmix64): the same on every machine.
class Shuffler {
 public:
  explicit Shuffler(std::uint64_t seed) : state_(seed) {}
  std::uint64_t bits();
  // 0 .. num - 1. @pre num > 0
  std::size_t index(std::size_t num) { return bits() % num; }
  double unit_ratio() { return static_cast<double>(bits() >> 11) * 0x1.0p-53; }  // [0, 1)

 private:
  std::uint64_t state_;
};

struct Surface {
  Points points_mm;
  Points normals;           // unit, of either sign
  double spacing_mm = 0.0;  // edge of the cells the points were thinned to
  double noise_mm = 0.0;    // spread across the local planes: noise with a little curvature in it
};

// Every point of the cloud in turn by a fixed shuffle, at most `most` of them.
Points drawn_evenly(const Points& points_mm, std::size_t most, Shuffler& shuffler);

// One point per cubic cell, the edge chosen for about `wanted` points. Dense patches of a scan lose
// their weight. All points when there are not more than wanted.
Points thinned(const Points& points_mm, std::size_t wanted, double& edge_mm);

// One point per cubic cell of the given edge.
Points thinned_to(const Points& points_mm, double edge_mm);

// Normals of the local planes through the `num_near` nearest points. @pre more than 8 points
Surface surface_of(Points points_mm, double spacing_mm, std::size_t num_near = 24);

// The plane through some of the points by least squares.
struct LocalPlane {
  Vec3 mean_mm = Vec3::Zero();
  Vec3 normal = Vec3::UnitZ();       // of either sign
  Vec3 variance_mm2 = Vec3::Zero();  // least (across the plane) first
};
// @pre near holds at least one index into the points
LocalPlane local_plane(const Points& points_mm, const std::vector<std::size_t>& near);

}  // namespace bight::geometry
