#include "ordering/step_book.h"

#include <algorithm>
#include <cmath>

namespace bight::ordering {

using clearance::StepClearance;
using workshop::DieSet;

namespace {

// To tell steps apart in an order, a millimetre will do.
constexpr double kSearchTolerance_mm = 1.0;

}  // namespace

std::vector<std::size_t> Checkers::mounted(const Problem& problem, std::size_t die) {
  std::vector<std::size_t> out = {die};
  if (problem.bender.around.levels_mm.size() < 2) return out;
  for (std::size_t i = 0; i < problem.dies.size(); ++i) {
    const bool room = std::none_of(out.begin(), out.end(), [&](std::size_t other) {
      return problem.dies[other].level == problem.dies[i].level;
    });
    if (room) out.push_back(i);
  }
  return out;
}

base::Result<Checkers> Checkers::make(const Problem& problem,
                                      const clearance::ClearanceOptions& options) {
  Checkers out;
  for (std::size_t die = 0; die < problem.dies.size(); ++die) {
    out.mounted_.push_back(mounted(problem, die));
    clearance::Setup setup{&problem.bender, {}};
    for (const std::size_t i : out.mounted_.back()) setup.mounted.push_back(&problem.dies[i]);
    BIGHT_TRY(clearance::StepChecker checker,
              clearance::StepChecker::make(setup, problem.tube, options));
    out.of_die_.push_back(std::move(checker));
  }
  return out;
}

clearance::Step Checkers::step(const Placed& placed, MadeBends made) {
  return {placed.bend, made, placed.front, 0, placed.turn, placed.advance_mm};
}

StepClearance Checkers::check(const Problem& problem, const Placed& placed, MadeBends made) {
  return of_die_[problem.tools[placed.bend][placed.tool].die].check(step(placed, made));
}

std::vector<clearance::Limit> Checkers::limits(const Problem& problem, const Placed& placed,
                                               MadeBends made) const {
  clearance::Setup setup{&problem.bender, {}};
  for (const std::size_t i : mounted_[problem.tools[placed.bend][placed.tool].die]) {
    setup.mounted.push_back(&problem.dies[i]);
  }
  return clearance::broken_limits(setup, problem.tube, step(placed, made));
}

std::uint8_t margin_class_of(double low_mm, const Agreed& agreed) {
  if (low_mm <= 0.0) return StepBook::kHit;
  if (low_mm >= agreed.margin_mm) return 0;
  return static_cast<std::uint8_t>(
      std::ceil((agreed.margin_mm - low_mm) / agreed.margin_step_mm - 1e-9));
}

StepBook::StepBook(const Problem& problem, const Agreed& agreed, Checkers checkers)
    : problem_(problem),
      agreed_(agreed),
      checkers_(std::move(checkers)),
      num_classes_(static_cast<std::uint8_t>(
          1.0 + std::ceil(agreed.margin_mm / agreed.margin_step_mm - 1e-9))) {}

base::Result<StepBook> StepBook::make(const Problem& problem, const Agreed& agreed) {
  clearance::ClearanceOptions options;
  options.only_whether = true;
  options.margin_mm = agreed.margin_mm;
  options.interest_mm = agreed.margin_mm + kSearchTolerance_mm;
  options.tolerance_mm = kSearchTolerance_mm;
  BIGHT_TRY(Checkers checkers, Checkers::make(problem, options));
  return StepBook(problem, agreed, std::move(checkers));
}

// side: 0 towards end A, 1 towards end B, 2 the bend itself, 3 all of the step.
std::uint64_t StepBook::key(const Placed& placed, int side, MadeBends made) const {
  const MadeBends there = side == 0   ? made & bends_below(placed.bend)
                          : side == 1 ? made & ~bends_below(placed.bend)
                          : side == 2 ? 0
                                      : made;
  static_assert(kMostBends <= 32);
  return there | (std::uint64_t{placed.bend} << 32) | (std::uint64_t{placed.tool} << 40) |
         (std::uint64_t{placed.front == Front::kEndB} << 60) |
         (static_cast<std::uint64_t>(side) << 61);
}

std::uint8_t StepBook::known_side(const Placed& placed, MadeBends made) const {
  std::uint8_t worst = 0;
  for (const int side : {0, 1, 2}) {
    const auto at = sides_.find(key(placed, side, made));
    if (at != sides_.end()) worst = std::max(worst, at->second);
  }
  return worst;
}

std::uint8_t StepBook::margin_class(const Placed& placed, MadeBends made) {
  const auto [at, is_new] = steps_.try_emplace(key(placed, 3, made), std::uint8_t{0});
  if (!is_new) return at->second;
  ++num_checks_;
  const StepClearance clear = checkers_.check(problem_, placed, made);
  at->second = margin_class_of(clear.low_mm(agreed_.margin_mm), agreed_);
  if (clear.nearest.has_value()) {
    // The other side of the tube has no part in this.
    const clearance::TubeBend& bend = problem_.tube.bends[placed.bend];
    const double along_mm = clear.nearest->along_mm;
    const int side = along_mm < bend.start_mm                   ? 0
                     : along_mm > bend.start_mm + bend.blank_mm ? 1
                                                                : 2;
    const std::uint8_t alone = margin_class_of(clear.nearest->low_mm, agreed_);
    // On the bend's own ends the place may belong to the side as well: then nothing is known.
    const bool inside =
        along_mm > bend.start_mm + 1e-6 && along_mm < bend.start_mm + bend.blank_mm - 1e-6;
    if (alone > 0 && (side != 2 || inside)) {
      std::uint8_t& known = sides_[key(placed, side, made)];
      known = std::max(known, alone);
    }
  }
  return at->second;
}

bool StepBook::within(const Placed& placed, MadeBends made, std::uint8_t margin_class) {
  const auto at = steps_.find(key(placed, 3, made));
  if (at != steps_.end()) return at->second <= margin_class;
  if (known_side(placed, made) > margin_class) return false;
  return this->margin_class(placed, made) <= margin_class;
}

}  // namespace bight::ordering
