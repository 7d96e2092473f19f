// A sample measured with tape, protractor and level, turned into a bend table, with what each
// reading's error does to the far end.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "geometry/bend_table.h"
#include "geometry/faces.h"

namespace bight::geometry {

// Where a tape along a leg stops at a bend: at the tangent mark; at the corner of the centrelines;
// at the corner of the outer or of the inner edges; or at the back of the bend, as far as the tube
// reaches along the leg. The two corners of edges are found with two straightedges.
enum class LegEnd { kStraight, kCorner, kOutside, kInside, kBack };

struct TapedLeg {
  double length_mm = 0.0;
  LegEnd from = LegEnd::kStraight;  // at the bend before; a tube's end for the first leg
  LegEnd to = LegEnd::kStraight;    // at the bend after; a tube's end for the last leg
};

// Change of direction, read off a protractor.
struct ByProtractor {
  base::Angle angle;
};
// From where the edges of two legs meet, a along one and b along the other, c across:
// angle = 180° - acos((a^2 + b^2 - c^2) / 2ab).
struct ByTriangle {
  double a_mm = 0.0;
  double b_mm = 0.0;
  double c_mm = 0.0;
};
// A level on each leg with the bend's plane held upright: climbs of the way of travel, counted on
// past the vertical. The angle is their difference.
struct ByLevels {
  base::Angle before;
  base::Angle after;
};
using TapedAngle = std::variant<ByProtractor, ByTriangle, ByLevels>;

// The plane's turn itself, from the plane before, right-hand about the way from end A.
struct ByTurn {
  base::Angle rotation;
};
// A level laid across the plane of the bend before and of this bend, square to the straight between
// them. The rotation is the difference.
struct ByPlaneLevels {
  base::Angle before;
  base::Angle here;
};
// With the straight before the bend and the plane of the bend before lying level: climb of the leg
// after it. sin(rotation) = sin(climb) / sin(angle). past_upright: the plane has turned more than
// 90°, so that the leg points back.
struct ByLegLevel {
  base::Angle climb;
  bool past_upright = false;
};
using TapedRotation = std::variant<ByTurn, ByPlaneLevels, ByLegLevel>;

struct KnownRadius {
  double radius_mm = 0.0;  // of the centreline
};
// Chord c and rise h of the curve on one face: R = c^2 / 8h + h / 2 there.
struct ByChord {
  double chord_mm = 0.0;
  double rise_mm = 0.0;
  Face face = Face::kCentre;  // kCentre, kOutside or kInside
};
using TapedRadius = std::variant<KnownRadius, ByChord>;

struct TapedBend {
  TapedAngle angle;
  TapedRotation rotation;  // not used for the first bend
  std::size_t radius = 0;  // index into TapedPart::radii: bends may share one reading
};

// What a reading is usually off by, to either side. (Practice of the trade: tape 1 mm, vernier
// protractor 0.5°, rise with a rule 0.5 mm, rotation by hand 0.5°, digital level 0.2°.)
struct TapedErrors {
  double tape_mm = 1.0;
  double rise_mm = 0.5;
  double radius_mm = 1.0;  // of a radius taken as known
  base::Angle protractor = base::Angle::degrees(0.5);
  base::Angle level = base::Angle::degrees(0.2);
  base::Angle rotation = base::Angle::degrees(0.5);
};

struct TapedPart {
  std::vector<TapedLeg> legs;  // bends + 1
  std::vector<TapedBend> bends;
  std::vector<TapedRadius> radii;
  double size_mm = 0.0;  // of the tube across its bends, for outside, inside and back
  TapedErrors errors;
};

// One reading and what its usual error does.
struct TapedInfluence {
  std::string reading;                  // "angle of bend 1 (protractor)"
  std::string error;                    // "± 0.5°"
  Vec3 far_end_move_mm = Vec3::Zero();  // of end B, end A and the first plane held, for + the error
  double far_end_mm = 0.0;              // how far that is
};

struct Taped {
  BendTable table;
  std::vector<TapedInfluence> influences;  // largest first
  double far_end_usual_mm = 0.0;           // all together, root of the summed squares
  double far_end_worst_mm = 0.0;           // all at once the wrong way, sum
};

// Failure codes: taped.legs (not one more than bends), taped.length (not above zero),
// taped.triangle (three lengths that make none), taped.angle (no bend, or 180° and more off a
// triangle), taped.rotation (the leg climbs more than its bend lets it), taped.chord (no arc),
// taped.reach (a corner beyond 150°, a back below 90°), taped.short (a leg shorter than its bends
// take), those of BendTable::make.
base::Result<Taped> bend_table_of(const TapedPart& part);

// Columns: movement of end B in mm per mm or per radian, by straights (num_bends + 1), then by each
// bend's rotation, angle and radius; end A and the first bend's plane held (the first rotation
// turns the plane). Screws of the product of exponentials.
Eigen::Matrix3Xd far_end_jacobian(const BendTable& table, const Frame& start = Frame());

}  // namespace bight::geometry
