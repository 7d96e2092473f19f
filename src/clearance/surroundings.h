// A setup prepared for many questions: its bodies as convex solids, grouped by what carries them.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "clearance/obstacle.h"
#include "clearance/step_clearance.h"

namespace bight::clearance {

// Bodies round one of the mounted dies.
struct AroundDie {
  Obstacles clamp;         // machine frame with the die at 0°, clamp closed
  Obstacles pressure_die;  // the same
};

// Its own copies: the setup it was made from need not outlive it.
struct Prepared {
  workshop::Bender bender;
  std::vector<workshop::DieSet> dies;
  Setup setup;  // of the two above
  Tube tube;
  Obstacles still;     // room and what stands on the frame
  Obstacles discs;     // the dies
  Obstacles arm;       // machine frame with the die at 0°
  Obstacles carriage;  // origin at the tube's back end
  std::vector<AroundDie> around;
  std::vector<std::string> not_checked;
};

// Of the disc that stands for a die: its groove and a lip on either side.
double die_height_mm(const workshop::DieSet& die);

// Failure codes: clearance.tube, clearance.body, clearance.die.
base::Result<std::shared_ptr<const Prepared>> prepare(const Setup& setup, const Tube& tube);

}  // namespace bight::clearance
