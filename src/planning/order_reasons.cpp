#include "planning/order_reasons.h"

#include <fmt/format.h>

#include <algorithm>

#include "planning/clearance_words.h"

namespace bight::planning {

namespace {

std::string more(std::uint32_t number, const char* one, const char* several) {
  return number == 1 ? fmt::format("one {} more", one) : fmt::format("{} {} more", number, several);
}

}  // namespace

std::string drawback(const WorkOrder& ahead, const WorkOrder& behind,
                     const base::LengthStyle& style) {
  const ordering::Cost& a = ahead.cost;
  const ordering::Cost& b = behind.cost;
  if (b.stops > a.stops) {
    return b.stops == 1 ? "one step cannot be made so"
                        : fmt::format("{} steps cannot be made so", b.stops);
  }
  if (b.margin_class > a.margin_class && ahead.low_mm && behind.low_mm) {
    return fmt::format("passes nearer: {} instead of {}", say_at_least(*behind.low_mm, style),
                       say_at_least(*ahead.low_mm, style));
  }
  if (b.flips > a.flips) {
    return "needs " + more(b.flips - a.flips, "turn end for end", "turns end for end");
  }
  if (b.die_changes > a.die_changes) {
    return "needs " + more(b.die_changes - a.die_changes, "change of die", "changes of die");
  }
  if (b.handling > a.handling) return "the tube is turned and carried more";
  if (b.unmeasured > a.unmeasured) {
    return more(b.unmeasured - a.unmeasured, "bend", "bends") +
           " cannot be reached by a tape when made";
  }
  if (b.outward > a.outward) return "more bends near an end are made before those in the middle";
  if (b.other_end > a.other_end) return "the other end goes ahead first";
  return "";
}

std::vector<RankedOrder> ranked(const Plan& plan, End from, const base::LengthStyle& style) {
  std::vector<RankedOrder> out;
  if (plan.steps.empty()) return out;
  const BendOrder drawn = drawn_order(plan.order.bends.size(), from);
  const auto add = [&](const WorkOrder& order, bool taken) {
    out.push_back({order, taken, order.bends == drawn, {}});
  };
  add(plan.order, true);
  for (const WorkOrder& other : plan.alternatives) add(other, false);
  std::stable_sort(out.begin(), out.end(), [](const RankedOrder& a, const RankedOrder& b) {
    if (a.order.compared != b.order.compared) return a.order.compared;
    return a.order.compared && a.order.cost < b.order.cost;
  });
  for (std::size_t i = 0; i < out.size(); ++i) {
    RankedOrder& one = out[i];
    one.reasons.push_back(one.order.words);
    if (one.drawn) one.reasons.push_back("as drawn");
    if (i == 0 && one.order.best)
      one.reasons.push_back("no other order is better: all were looked at");
    if (i == 0 || !one.order.compared || !out[i - 1].order.compared) continue;
    const std::string worse = drawback(out[i - 1].order, one.order, style);
    one.reasons.push_back(worse.empty() ? "no better and no worse than the one before"
                                        : fmt::format("behind the one before because: {}", worse));
  }
  return out;
}

}  // namespace bight::planning
