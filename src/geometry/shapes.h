// Named shapes: a drawing's few dimensions in, the bend table out.
//
// Every shape starts at end A in the origin, running along +X, and lies in the XY plane with its
// first bend towards +Y, unless its comment says otherwise; Shape::start carries that placing.
// "To the corner" means to where the centrelines of two straights would meet. Each shape asks only
// for what geometry needs: whether a straight is long enough to clamp is for the bender to say.
//
// Failure codes of all of them: shape.number (a dimension missing, not finite, not positive or
// beyond 1 km), shape.angle (out of the range the shape allows), shape.choice (of two ways to give
// a dimension both or none was used), shape.fit (the dimensions contradict each other; the remedy
// gives the value that would fit). `where` names the dimension.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "geometry/bend_table.h"
#include "geometry/faces.h"
#include "geometry/frame.h"

namespace bight::geometry {

struct NamedLength {
  std::string name;
  double length_mm = 0.0;
};

struct NamedAngle {
  std::string name;
  base::Angle angle;
};

struct Shape {
  BendTable table;
  Frame start;                       // lay_out(table, start) places it as described
  std::vector<NamedLength> lengths;  // what follows from the dimensions and helps at the bench
  std::vector<NamedAngle> angles;
};

// Which face of the tube the overall dimensions are drawn to. Radii are always the centreline's.
// kCentre, kOutside or kInside of the shape; size is the tube's across the drawing.
struct DrawnTo {
  Face face = Face::kCentre;
  double size_mm = 0.0;  // needed for kOutside and kInside
};

// Two parallel legs. One bend of 180° where the width is twice the radius, else two of 90° and a
// bottom between them. Legs run from their end to the bottom.
struct UShape {
  double width_mm = 0.0;
  double leg_a_mm = 0.0;
  double leg_b_mm = 0.0;
  double radius_mm = 0.0;
  DrawnTo drawn;
};
base::Result<Shape> make_u(const UShape& u);

// A hoop on two upright legs, symmetric: uprights, legs leaning in or out, a level top. Four bends;
// two where the legs do not lean or there is no upright. The uprights run along X.
struct HoopShape {
  double base_mm = 0.0;     // between the legs at their feet
  double top_mm = 0.0;      // between the corners at the top
  double height_mm = 0.0;   // feet to top
  double upright_mm = 0.0;  // feet to where the legs start to lean; 0: they lean from the feet
  double radius_mm = 0.0;
  DrawnTo drawn;
};
base::Result<Shape> make_hoop(const HoopShape& hoop);

// One arc between two tangents. angle in [0.01°, 360°).
struct ArcShape {
  double lead_mm = 0.0;  // straight before; may be 0
  base::Angle angle;
  double radius_mm = 0.0;
  double tail_mm = 0.0;  // straight after; may be 0
};
base::Result<Shape> make_arc(const ArcShape& arc);

// Radius and angle of the arc over a chord: R = (c²/4 + h²) / 2h, angle = 4 atan(2h / c).
struct ChordArc {
  double radius_mm = 0.0;
  base::Angle angle;
};
base::Result<ChordArc> arc_over_chord(double chord_mm, double rise_mm);

// Two equal bends that shift the line sideways. angle in [0.01°, 90°]. The far end is given by its
// own length (second corner to end B) or by the run (end A to end B along X): exactly one.
// Lengths: "travel", "advance", "mark spacing", "shrink", "run".
struct OffsetShape {
  double lead_mm = 0.0;  // end A to the first corner
  double rise_mm = 0.0;
  base::Angle angle;
  std::optional<double> tail_mm;
  std::optional<double> run_mm;
  double radius_mm = 0.0;
};
base::Result<Shape> make_offset(const OffsetShape& offset);

// An offset up (+Y) by `set` and sideways (+Z) by `roll`: the plane of the two bends is rolled by
// atan(roll / set), which is in Shape::start and in the angle "roll". Lengths as for the offset,
// and "true offset".
struct RollingOffsetShape {
  double lead_mm = 0.0;
  double set_mm = 0.0;
  double roll_mm = 0.0;  // may be 0
  base::Angle angle;
  std::optional<double> tail_mm;
  std::optional<double> run_mm;
  double radius_mm = 0.0;
};
base::Result<Shape> make_rolling_offset(const RollingOffsetShape& offset);

// Two offsets one after the other. second_roll turns the second one's plane about the run: 0° goes
// on to the same side, 180° comes back.
struct DoubleOffsetShape {
  double lead_mm = 0.0;  // end A to the first corner
  double first_rise_mm = 0.0;
  base::Angle first_angle;
  double between_mm = 0.0;  // from the second to the third corner
  double second_rise_mm = 0.0;
  base::Angle second_angle;
  base::Angle second_roll;
  double tail_mm = 0.0;  // last corner to end B
  double radius_mm = 0.0;
};
base::Result<Shape> make_double_offset(const DoubleOffsetShape& offset);

// Three bends over an obstacle: outer bends of `angle`, the middle one of twice that.
// angle in [0.01°, 85°]. depth: the crown of the centreline above the run.
struct Saddle3Shape {
  double centre_mm = 0.0;  // end A to the crown, along the run
  double run_mm = 0.0;     // end A to end B, along the run
  double depth_mm = 0.0;
  base::Angle angle;
  double radius_mm = 0.0;
};
base::Result<Shape> make_saddle3(const Saddle3Shape& saddle);

// Four equal bends over an obstacle. angle in [0.01°, 90°]. top: between the two upper corners.
struct Saddle4Shape {
  double centre_mm = 0.0;
  double run_mm = 0.0;
  double depth_mm = 0.0;
  double top_mm = 0.0;
  base::Angle angle;
  double radius_mm = 0.0;
};
base::Result<Shape> make_saddle4(const Saddle4Shape& saddle);

// One bend of less than 90° that lifts the end. angle in [0.01°, 90°]. Length: "slope", corner to
// end B.
struct KickShape {
  double lead_mm = 0.0;  // end A to the corner
  double rise_mm = 0.0;  // of end B
  base::Angle angle;
  double radius_mm = 0.0;
};
base::Result<Shape> make_kick(const KickShape& kick);

// One 90° bend, both legs measured to its back (the outside). With a take-up, the length "mark".
struct StubUpShape {
  double stub_mm = 0.0;  // end A to the back of the far leg
  double far_mm = 0.0;   // end B to the back of the stub
  double radius_mm = 0.0;
  double od_mm = 0.0;
  std::optional<double> take_up_mm;
};
base::Result<Shape> make_stub_up(const StubUpShape& stub);

// Two 90° bends the same way, everything measured to the backs. Lengths: "gain" of one bend against
// the backs, "cut length".
struct BackToBackShape {
  double back_to_back_mm = 0.0;
  double stub_a_mm = 0.0;
  double stub_b_mm = 0.0;
  double radius_mm = 0.0;
  double od_mm = 0.0;
};
base::Result<Shape> make_back_to_back(const BackToBackShape& shape);

// A rail whose end turns away: to the wall by one bend of 90°, or to the post by two of 90° that
// bring the end back under the rail. The rail runs along X; with both_ends it starts with the same
// return. All lengths go to the corners.
struct HandrailReturnShape {
  enum class Kind { kWall, kPost };
  Kind kind = Kind::kWall;
  double rail_mm = 0.0;    // end A (or the first corner, with both_ends) to the corner
  double return_mm = 0.0;  // rail's centreline to the wall, or to the leg that comes back
  double back_mm = 0.0;    // kPost: length of the leg that comes back
  bool both_ends = false;
  double radius_mm = 0.0;
};
base::Result<Shape> make_handrail_return(const HandrailReturnShape& rail);

// Two straight rails with one bend between them, for the turn of a stair. Z is up and the lower
// rail runs towards +X in plan, turning left by plan_turn. Angle: "bend".
struct StairTurnShape {
  double before_mm = 0.0;  // end A to the corner
  double after_mm = 0.0;   // corner to end B
  base::Angle pitch_before;
  base::Angle pitch_after;
  base::Angle plan_turn;
  double radius_mm = 0.0;
};
base::Result<Shape> make_stair_turn(const StairTurnShape& stair);

// Passes to and fro joined by returns, flat. Each return is one bend of 180°, or two of 90° where
// the spacing of the passes is more than twice the radius. pass is measured over both its returns,
// lead and tail over their one; `drawn` says to which face.
struct HairpinShape {
  int num_returns = 1;  // 1 to 1000
  double pass_mm = 0.0;
  double lead_mm = 0.0;
  double tail_mm = 0.0;
  double spacing_mm = 0.0;  // centreline to centreline
  double radius_mm = 0.0;
  DrawnTo drawn;
};
base::Result<Shape> make_hairpin(const HairpinShape& coil);

// A helix of any number of turns about +Z, starting at (radius, 0, 0) towards +Y (-Y left-handed)
// and up, between straight tangents. Emitted as equal short arcs without straights, each plane
// turned against the one before: their joints lie exactly on the helix, and between them the
// centreline stays within the length "deviation" of it, which shrinks with the cube of
// arcs_per_turn. Lengths: "bend radius" (rho² + h²) / rho and "length per turn" 2 pi sqrt(rho² +
// h²) of the true helix, h = pitch / 2 pi; angle "twist per turn", 2 pi h / sqrt(rho² + h²).
struct HelixShape {
  double radius_mm = 0.0;  // of the coil, to the face drawn
  double pitch_mm = 0.0;   // rise per turn; 0 makes a flat ring of at most one turn
  double turns_ratio = 1.0;
  bool left_handed = false;
  int arcs_per_turn = 24;  // 8 to 360
  double lead_mm = 0.0;    // straight before; may be 0
  double tail_mm = 0.0;    // straight after; may be 0
  DrawnTo drawn;
};
base::Result<Shape> make_helix(const HelixShape& helix);

}  // namespace bight::geometry
