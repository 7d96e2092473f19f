// Clearances of steps, asked for when needed and remembered.
#pragma once

#include <cstdint>
#include <unordered_map>
#include <vector>

#include "ordering/problem.h"

namespace bight::ordering {

// A checker for each die: the die with all that can be mounted beside it.
class Checkers {
 public:
  // Failure codes: those of clearance::StepChecker::make.
  static base::Result<Checkers> make(const Problem& problem,
                                     const clearance::ClearanceOptions& options);

  clearance::StepClearance check(const Problem& problem, const Placed& placed, MadeBends made);
  std::vector<clearance::Limit> limits(const Problem& problem, const Placed& placed,
                                       MadeBends made) const;

 private:
  // On the bender with a die: itself first, then dies of other levels of the stack.
  static std::vector<std::size_t> mounted(const Problem& problem, std::size_t die);
  static clearance::Step step(const Placed& placed, MadeBends made);

  std::vector<clearance::StepChecker> of_die_;
  std::vector<std::vector<std::size_t>> mounted_;
};

// Steps as margin classes: 0 has the agreed margin, 1.. is short of it by so many steps, kHit hits.
class StepBook {
 public:
  static constexpr std::uint8_t kHit = 200;

  // Holds a reference to the problem. Failure codes: those of clearance::StepChecker::make.
  static base::Result<StepBook> make(const Problem& problem, const Agreed& agreed);

  std::uint8_t margin_class(const Placed& placed, MadeBends made);
  // Whether the step has this class or a better one. Steps that share a side of the tube with one
  // that is known to be worse are not looked at.
  bool within(const Placed& placed, MadeBends made, std::uint8_t margin_class);

  std::size_t num_checks() const { return num_checks_; }
  std::uint8_t num_classes() const { return num_classes_; }  // classes that do not hit

 private:
  StepBook(const Problem& problem, const Agreed& agreed, Checkers checkers);
  std::uint64_t key(const Placed& placed, int side, MadeBends made) const;
  std::uint8_t known_side(const Placed& placed, MadeBends made) const;

  const Problem& problem_;
  Agreed agreed_;
  Checkers checkers_;
  std::uint8_t num_classes_;
  std::size_t num_checks_ = 0;
  std::unordered_map<std::uint64_t, std::uint8_t> steps_;
  std::unordered_map<std::uint64_t, std::uint8_t> sides_;  // the class a side alone brings it to
};

// The class of a certified distance.
std::uint8_t margin_class_of(double low_mm, const Agreed& agreed);

}  // namespace bight::ordering
