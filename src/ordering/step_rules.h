// What can be said of a step without looking at any body: straights, tape, handling.
#pragma once

#include <vector>

#include "ordering/problem.h"

namespace bight::ordering {

// Straight between a bend and what is made or ends on one side.
struct Straight {
  double length_mm = 0.0;
  bool to_end = false;  // up to the tube's end, not to a made bend
};

// Holds a reference to the problem.
class StepRules {
 public:
  StepRules(const Problem& problem, const Agreed& agreed);

  Straight towards_a(std::size_t bend, MadeBends made) const;
  Straight towards_b(std::size_t bend, MadeBends made) const;
  Straight ahead(std::size_t bend, MadeBends made, Front front) const;
  Straight behind(std::size_t bend, MadeBends made, Front front) const;
  // Clamp and tail find their straights.
  bool straights_fit(std::size_t bend, MadeBends made, Front front, const BendTool& tool) const;
  // A tape or protractor finds both legs.
  bool measurable(std::size_t bend, MadeBends made) const;
  // Bends not yet made that lie nearer the middle of the tube.
  std::uint32_t outward(std::size_t bend, MadeBends made) const;
  MadeBends nearer_middle(std::size_t bend) const { return nearer_middle_[bend]; }

  // Of the tube about the feed direction, right-hand positive, from one bend's plane to another's,
  // in (-180°, 180°]. After a flip: with the inside of the bend before kept towards the die.
  base::Angle turned(std::size_t from, std::size_t to, Front front) const;
  // Turning and carrying between two bends, counted as agreed.
  std::uint32_t handling(std::size_t from, std::size_t to) const {
    return handling_[from * num_bends_ + to];
  }
  // The same with this much turning.
  std::uint32_t handling(std::size_t from, std::size_t to, base::Angle turned) const;

 private:
  const Problem& problem_;
  Agreed agreed_;
  std::size_t num_bends_;
  std::vector<base::Angle> planes_;  // of each bend from the first
  std::vector<MadeBends> nearer_middle_;
  std::vector<std::uint32_t> handling_;
};

// The cost of a sequence apart from what bodies have to say, straights included.
Cost cost_without_bodies(const Problem& problem, const StepRules& rules, const Sequence& sequence);

}  // namespace bight::ordering
