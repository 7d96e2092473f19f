// The movement of one step as a film: where tube and machine are at moments along the way.
//
// The same kinematics that step_clearance.h checks, not a second description of them.
#pragma once

#include <Eigen/Geometry>
#include <vector>

#include "clearance/step_clearance.h"
#include "geometry/centreline.h"

namespace bight::clearance {

// Where everything is at one moment, in the machine frame.
struct Moment {
  Stage stage = Stage::kLoad;
  double share_ratio = 0.0;  // of the stage, 0..1
  base::Angle angle;         // of the die
  // From the tail of the tube to its front (Step::front); straights and arcs as
  // geometry::Centreline has them, bends not yet made being part of a straight.
  std::vector<geometry::Segment> tube;
  // Of each of Surroundings::bodies, in order: its own axes in the machine frame.
  std::vector<Eigen::Isometry3d> bodies;
  // Of the bend die: turns with it. z is the die's axis, the origin in the plane of its groove.
  Eigen::Isometry3d die = Eigen::Isometry3d::Identity();
};

struct FilmOptions {
  base::Angle angle_step = base::Angle::degrees(2);  // between moments while something turns
  double length_step_mm = 20.0;                      // while something is pushed
};

// Moments of the step in order; each stage begins and ends with one. Empty for a three-roll bender.
// Pre: as StepChecker::check. Failure codes: those of StepChecker::make.
base::Result<std::vector<Moment>> movement(const Setup& setup, const Tube& tube, const Step& step,
                                           const FilmOptions& options = {});

}  // namespace bight::clearance
