// The kinematics of a step, stage by stage: the one description that both the certified check and
// the film go by.
#pragma once

#include <vector>

#include "clearance/motion.h"
#include "clearance/station.h"
#include "clearance/step_clearance.h"

namespace bight::clearance {

// The tube's shape at the beginning of a stage.
enum class Shape { kStraight, kLoaded, kReleased };

// Where the two sides of the tube begin for each shape, and the bend between them. Ahead of it and
// behind it frames point away from the die (lay_side).
struct Poses {
  geometry::Frame ahead;
  geometry::Frame behind;
  geometry::Segment bend;  // from the tail towards the front; a straight for kStraight
};
Poses poses(const Setup& setup, const Tube& tube, const Step& step, const Station& at, Shape shape);

// Everything that moves during one stage, t from 0 to 1. Motions carry the shape's base poses.
struct StageMotion {
  Stage stage = Stage::kLoad;
  Shape shape = Shape::kStraight;
  Motion ahead;   // of the tube ahead of the bend
  Motion behind;  // of the tube behind it, and of the bend itself unless it is being made
  CarrierMotion arm, clamp, pressure_die, carriage;
  base::Angle die_start, die_turn;  // of the die, as a set angle (never negative)
};
std::vector<StageMotion> stages(const Setup& setup, const Tube& tube, const Step& step,
                                const Station& at);

// How far beside its groove the tube is when it is clear of it: half the tube lies in the groove.
double beside_groove_mm(const Tube& tube);

}  // namespace bight::clearance
