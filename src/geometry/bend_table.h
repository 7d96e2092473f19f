// The bend table: the canonical record of a bent centreline.
//
// Conventions, used everywhere:
//  - A row is: straight before the bend, rotation of the bend's plane relative to the previous
//    bend's plane (about the direction of travel from end A, right-hand positive, 0 for the first
//    bend), change of direction (0° straight, 180° a U), centreline radius.
//  - (rotation, angle) and (rotation + 180°, -angle) are the same bend; we keep angle > 0.
#pragma once

#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "geometry/frame.h"

namespace bight::geometry {

struct BendRow {
  double straight_mm = 0.0;
  base::Angle rotation;
  base::Angle angle;
  double radius_mm = 0.0;

  double arc_mm() const { return radius_mm * angle.rad(); }
  // Tangent point to corner. Grows without bound towards 180°, negative beyond.
  double setback_mm() const { return radius_mm * base::tan(angle / 2.0); }
};

// Something tidied on the way in that the person should know of.
struct TableNote {
  std::string code;  // "table.first-rotation", "table.negative-angle", "table.no-bend"
  std::size_t row;   // 0-based, in the input
  std::string message;
};

class BendTable {
 public:
  // A tidy table: angles in (0°, 360°), rotations in (-180°, 180°], first rotation 0, rows
  // without a bend merged away. Straights may be negative: an overlap is a finding, not an error
  // (see overlaps()). notes, when given, receives what was tidied.
  // Failure codes: table.empty (no bend at all and no length), table.number (not finite),
  // table.angle (|angle| >= 360°), table.radius (radius <= 0).
  static base::Result<BendTable> make(std::vector<BendRow> rows, double last_straight_mm,
                                      std::vector<TableNote>* notes = nullptr);

  const std::vector<BendRow>& rows() const { return rows_; }
  double last_straight_mm() const { return last_straight_mm_; }
  std::size_t num_bends() const { return rows_.size(); }
  // Straight i lies before bend i; straight num_bends() is the last.
  double straight_mm(std::size_t index) const {
    return index < rows_.size() ? rows_[index].straight_mm : last_straight_mm_;
  }

  // Sum of straights and arcs along the centreline [mm].
  double developed_length_mm() const;
  base::Angle total_bend() const;
  // Rotation of each bend's plane from the first bend's plane, in [0°, 360°).
  std::vector<base::Angle> absolute_rotations() const;

  // The same part described from its other end. Dihedral angles do not depend on the direction of
  // travel, so rotations keep their sign. reversed().reversed() is the table itself, exactly.
  BendTable reversed() const;
  // The part of the other hand: every rotation negated, nothing else. Exact.
  BendTable mirrored() const;

  friend bool operator==(const BendTable& a, const BendTable& b);

 private:
  BendTable(std::vector<BendRow> rows, double last_straight_mm)
      : rows_(std::move(rows)), last_straight_mm_(last_straight_mm) {}

  std::vector<BendRow> rows_;
  double last_straight_mm_ = 0.0;
};

// A straight that its neighbours' arcs have eaten.
struct Overlap {
  std::size_t straight_index;  // BendTable::straight_mm index
  double missing_mm;           // how much longer the leg would have to be; > 0
};

// Straights shorter than minus the tolerance, in order.
std::vector<Overlap> overlaps(const BendTable& table, double tolerance_mm = 1e-6);

// Consecutive bends that meet without a straight, in one plane and of one radius, are one bend of
// the summed angle (up to 360°). Same centreline. Thresholds: |straight| <= 1e-6 mm,
// |rotation| <= 1e-6°, radii equal to 1e-9 relative.
BendTable merged_arcs(const BendTable& table);

}  // namespace bight::geometry
