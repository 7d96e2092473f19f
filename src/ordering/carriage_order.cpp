#include "ordering/carriage_order.h"

#include <algorithm>

#include "ordering/best_order.h"
#include "ordering/cost_bits.h"

namespace bight::ordering {

using base::Angle;

namespace {

// A step with one die and one way of turning, and the class it brings the order to.
struct Option {
  Placed placed;
  std::size_t die = 0;
  std::uint8_t margin_class = 0;
};

std::vector<Option> options_of(const Problem& problem, const StepRules& rules, const Agreed& agreed,
                               Checkers& checkers, Placed placed, MadeBends made) {
  std::vector<Option> out;
  const std::vector<BendTool>& tools = problem.tools[placed.bend];
  const Angle whole = Angle::degrees(360);
  const Angle other = placed.turn.rad() > 0.0 ? placed.turn - whole : placed.turn + whole;
  std::vector<Angle> turns = {placed.turn};
  if (placed.turn.rad() != 0.0) turns.push_back(other);
  for (placed.tool = 0; placed.tool < tools.size(); ++placed.tool) {
    const BendTool& tool = tools[placed.tool];
    for (const Angle turn : turns) {
      placed.turn = turn;
      std::uint8_t margin_class =
          margin_class_of(checkers.check(problem, placed, made).low_mm(agreed.margin_mm), agreed);
      const bool fits = rules.straights_fit(placed.bend, made, placed.front, tool) &&
                        checkers.limits(problem, placed, made).empty();
      if (!fits) margin_class = StepBook::kHit;
      out.push_back({placed, tool.die, margin_class});
    }
  }
  return out;
}

// The cheapest way through the steps' options when a class beyond this one is a stop.
std::pair<CostBits, Sequence> cheapest(const StepRules& rules,
                                       const std::vector<std::vector<Option>>& steps,
                                       std::uint8_t margin_class) {
  std::vector<std::vector<CostBits>> least(steps.size());
  std::vector<std::vector<std::size_t>> came_from(steps.size());
  for (std::size_t k = 0; k < steps.size(); ++k) {
    for (const Option& now : steps[k]) {
      CostBits best = k == 0 ? 0 : kNever;
      std::size_t from = 0;
      for (std::size_t i = 0; k > 0 && i < steps[k - 1].size(); ++i) {
        const Option& before = steps[k - 1][i];
        CostBits cost = least[k - 1][i];
        if (before.die != now.die) cost += kOneDieChange;
        cost += CostBits{rules.handling(before.placed.bend, now.placed.bend, now.placed.turn)}
                << kHandlingAt;
        if (cost >= best) continue;
        best = cost;
        from = i;
      }
      least[k].push_back(best + (now.margin_class > margin_class ? kOneStop : 0));
      came_from[k].push_back(from);
    }
  }
  Sequence sequence;
  if (steps.empty()) return {0, sequence};
  const std::vector<CostBits>& last = least.back();
  auto at = static_cast<std::size_t>(std::min_element(last.begin(), last.end()) - last.begin());
  const CostBits total = last[at];
  for (std::size_t k = steps.size(); k-- > 0;) {
    sequence.push_back(steps[k][at].placed);
    at = came_from[k][at];
  }
  std::reverse(sequence.begin(), sequence.end());
  return {total, sequence};
}

}  // namespace

base::Result<std::vector<Sequence>> carriage_orders(const Problem& problem, const StepRules& rules,
                                                    const Agreed& agreed) {
  clearance::ClearanceOptions search_options;
  search_options.only_whether = true;
  search_options.margin_mm = agreed.margin_mm;
  search_options.interest_mm = agreed.margin_mm + 1.0;
  search_options.tolerance_mm = 1.0;
  BIGHT_TRY(Checkers checkers, Checkers::make(problem, search_options));
  struct OneEnd {
    std::uint32_t margin_class;
    CostBits cost;
    Sequence sequence;
  };
  const std::uint8_t num_classes = static_cast<std::uint8_t>(margin_class_of(1e-9, agreed) + 1);
  std::vector<OneEnd> ends;
  const Front second = problem.first == Front::kEndA ? Front::kEndB : Front::kEndA;
  for (const Front front : {problem.first, second}) {
    std::vector<std::vector<Option>> steps;
    MadeBends made = 0;
    for (const Placed& placed : drawing_order(problem, rules, front)) {
      steps.push_back(options_of(problem, rules, agreed, checkers, placed, made));
      made |= MadeBends{1} << placed.bend;
    }
    OneEnd end{0, kNever, {}};
    for (std::uint8_t c = 0; c < num_classes; ++c) {
      end.margin_class = c;
      std::tie(end.cost, end.sequence) = cheapest(rules, steps, c);
      if (end.cost < kOneStop) break;
    }
    ends.push_back(std::move(end));
  }
  // Stops, then the margin, then the rest; the end asked for when equal.
  const auto key = [](const OneEnd& end) {
    return std::tuple(end.cost / kOneStop, end.cost >= kOneStop ? 0u : end.margin_class, end.cost);
  };
  if (key(ends[1]) < key(ends[0])) std::swap(ends[0], ends[1]);
  return std::vector<Sequence>{ends[0].sequence, ends[1].sequence};
}

}  // namespace bight::ordering
