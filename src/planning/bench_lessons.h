// What the shop's trial bends say of one plan's bends, and what a measured piece adds to them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "inspection/measured.h"
#include "learning/best_trial.h"
#include "learning/first_hit.h"
#include "planning/known_springback.h"
#include "planning/plan.h"

namespace bight::planning {

// One die of the plan with the bends it makes.
struct DieLessons {
  workshop::DieSet die;
  KnownSpringback known;
  std::vector<std::size_t> bends;   // 1-based
  std::vector<base::Angle> wanted;  // of those bends, finished
  // The trial bend that narrows the band of these angles most.
  std::optional<learning::BestTrial> next;
};

// In the plan's order of dies. Failure codes: learn.plan (the plan has no steps), those of
// KnownSpringback::make.
base::Result<std::vector<DieLessons>> lessons_of(const Plan& plan, const workshop::Shop& shop);

// The die's lessons that make a bend. @pre 1-based, one of the plan's.
const DieLessons& lessons_for(const std::vector<DieLessons>& lessons, std::size_t bend);

// Every bend of the piece whose finished angle was measured, as a trial bend. The set angle is the
// piece's own, else the plan's. heat: empty takes the part's.
// Failure codes: learn.nothing (no angle was measured), those of program_of.
base::Result<std::vector<workshop::TrialBend>> trials_of_piece(const Plan& plan,
                                                               const inspection::Measured& measured,
                                                               const std::string& heat,
                                                               const std::string& date,
                                                               const std::string& who);

// Measured bends (1-based) of which the piece does not say what was set, so that the plan's own set
// angle is taken: wrong where the plan has learned since.
std::vector<std::size_t> set_as_planned(const inspection::Measured& measured);

}  // namespace bight::planning
