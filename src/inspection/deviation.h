// How a measured piece lies off the drawn one, point by point, under one way of laying it over.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "geometry/bend_table.h"
#include "geometry/centreline.h"
#include "inspection/alignment.h"
#include "inspection/measured.h"

namespace bight::inspection {

// The ways of laying a measured piece over the drawing.
enum class AlignBy {
  kEndA,         // end A, first leg and first plane
  kFirstLeg,     // end A and first leg, turned about it to fit best
  kBestFit,      // least squares of all points
  kZone,         // the smallest zone
  kDatumPoints,  // least squares of the agreed points
};
// "end A, first leg and first plane", …
std::string_view words(AlignBy by);
// "ends", "leg", "fit", "zone", "points": as asked for on the command line.
std::string_view word(AlignBy by);
std::optional<AlignBy> align_by(std::string_view word);

struct PointOff {
  std::size_t point = 0;  // 0 is end A
  std::string name;       // "end A", "corner 1", "end B"
  geometry::Vec3 off_mm;  // measured less drawn, in the drawing's axes
  double distance_mm = 0.0;
  double along_mm = 0.0;  // along the leg that ends there, outwards at ends; for corners, of the
                          // leg that comes from end A
};

struct Deviation {
  AlignBy by = AlignBy::kEndA;
  std::vector<PointOff> points;  // those measured
  double worst_mm = 0.0;         // of the points
  // Largest distance of the measured centreline from the drawn one, ends drawn on straight: what a
  // tube of that radius about the drawn line has to hold. Only for a piece measured as a whole
  // table.
  std::optional<double> zone_mm;
  bool turn_loose = false;            // the points leave a turn open
  std::optional<double> at_least_mm;  // kZone: no move has a smaller worst
  RigidMove move;                     // the measured piece onto the drawing
};

// The drawn shape and one measured piece, paired up.
class Pairing {
 public:
  // Points of the piece as measured, else of its whole table, which then starts like the drawing.
  // Failure codes: inspect.points (points, but not as many as the part has ends and corners; or
  // nothing that says where anything lies), align.*.
  static base::Result<Pairing> make(const geometry::BendTable& drawn,
                                    const geometry::Frame& drawn_start, const Measured& measured);

  // datum_points: indices that count for kDatumPoints, at least three.
  // Failure codes: align.datum, align.points.
  base::Result<Deviation> deviation(AlignBy by,
                                    const std::vector<std::size_t>& datum_points = {}) const;

  std::size_t num_measured() const { return index_.size(); }

 private:
  base::Result<Alignment> align(AlignBy by, const std::vector<std::size_t>& datum_points,
                                Deviation& out) const;
  geometry::Vec3 leg_at(std::size_t point) const;

  Points drawn_mm_;       // all
  Points pair_drawn_mm_;  // of the measured points
  Points pair_mm_;
  std::vector<std::size_t> index_;
  std::optional<geometry::Centreline> drawn_line_;
  std::optional<geometry::Centreline> line_;  // of a whole table
};

// Distance of a point from a centreline whose end straights go on for ever.
double distance_mm(const geometry::Centreline& line, const geometry::Vec3& point_mm);

}  // namespace bight::inspection
