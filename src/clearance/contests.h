// The questions that one step puts to the search: every stretch of tube against everything it moves
// past, stage by stage.
#pragma once

#include <list>
#include <vector>

#include "clearance/search.h"
#include "clearance/stages.h"
#include "clearance/surroundings.h"

namespace bight::clearance {

// What one contest is about, by Contest::tag.
struct About {
  std::size_t stage = 0;  // into stages
  CarrierMotion seen_from;
};

struct Contests {
  std::vector<Contest> list;
  std::vector<About> about;
  std::list<std::vector<Rope>> ropes;  // that the list points into
};

// One step seen by the room and the machine.
class StepContests {
 public:
  StepContests(const Prepared& prepared, const Step& step);

  const std::vector<StageMotion>& stages() const { return stages_; }
  // The tube on one side of the bend against machine and room. The straight next to the bend is
  // held by die, clamp and pressure die and may touch them.
  Contests of_side(Side side) const;
  // The bend being made: against room, frame and arm.
  Contests of_bend() const;
  // The tube against itself while the bend is made and released. Empty when there is not a half
  // turn of bends in it.
  Contests of_itself() const;

 private:
  std::vector<Rope> side_ropes(Side side, const geometry::Frame& from, std::size_t* num_near) const;
  std::vector<Rope> arc_in_parts(const geometry::Segment& arc) const;

  const Prepared& prepared_;
  const Step& step_;
  Station at_;
  std::vector<StageMotion> stages_;
};

}  // namespace bight::clearance
