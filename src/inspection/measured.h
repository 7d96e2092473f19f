// What was read off a finished piece.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "geometry/bend_table.h"
#include "geometry/frame.h"

namespace bight::inspection {

// Half widths of the interval that holds the true value in 95 of 100 readings.
struct ReadingError {
  base::Angle angle = base::Angle::degrees(0.25);    // digital level or good protractor
  base::Angle rotation = base::Angle::degrees(0.5);  // level on plate or V-block
  double straight_mm = 1.0;                          // tape between start and stop marks
  double point_mm = 1.0;                             // plate, squares, height gauge
};
// The defaults are what the trade reaches by hand (±0.5° with a vernier protractor, 0.1° with a
// digital level; ±0.3 to 0.5° for rotations; ±1 mm; common practice, no source).

// One bend; what was not measured is absent. `straight` is the one before the bend.
struct MeasuredBend {
  std::optional<double> straight_mm;
  std::optional<base::Angle> rotation;
  std::optional<base::Angle> angle;
  // What was keyed in for this piece, where it was not the plan's.
  std::optional<double> fed_mm;
  std::optional<base::Angle> turned;
  std::optional<base::Angle> set;
  // The section in the middle of the bend.
  std::optional<double> d_max_mm;
  std::optional<double> d_min_mm;
  std::optional<double> wall_mm;
};

// One piece. Points are end A, the corners, end B, in any frame; absent where not measured. A bend
// above 150° has the corners of its parts (geometry::corner_points_mm).
struct Measured {
  std::string name;  // of the piece
  std::vector<MeasuredBend> bends;
  std::optional<double> last_straight_mm;
  std::vector<std::optional<geometry::Vec3>> points_mm;
  ReadingError error;

  bool any_bend() const;  // a straight, rotation or angle
  bool any_point() const;
  bool any_section() const;
};

// Measured as a whole table: all straights, rotations and angles; radii are the drawn ones.
// Nothing when something is missing or the number of bends differs.
std::optional<geometry::BendTable> whole_table(const Measured& measured,
                                               const geometry::BendTable& drawn);

// A piece known by its whole table, as a scan gives it.
Measured from_table(const geometry::BendTable& table);

}  // namespace bight::inspection
