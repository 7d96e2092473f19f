#include "planning/would_work.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

#include "planning/words.h"

namespace bight::planning {

using base::Result;
using part::Finding;
using part::Severity;

namespace {

// Parts with more bends take too long to be planned again and again.
constexpr std::size_t kMostBends = 12;
constexpr std::size_t kMostStraights = 8;
constexpr std::size_t kMostDies = 8;
constexpr std::size_t kMostSplits = 4;
constexpr int kStandStep_mm = 10;
constexpr int kMostStand_mm = 600;
constexpr std::size_t kChecks = 20'000;  // of clearance, in one search
constexpr const char* kPlannedAgain = "the part planned again with this change";

// Stops that an order of bends is to blame for.
bool of_the_order(const Finding& finding) {
  return finding.severity == Severity::kStop &&
         (finding.code.starts_with("order.") || finding.code.starts_with("clearance.") ||
          finding.code == "plan.straight-below-clamp" ||
          finding.code == "plan.straight-below-tail");
}

bool stopped(const Plan& plan) {
  return std::any_of(plan.findings.begin(), plan.findings.end(), of_the_order);
}

std::size_t other_stops(const Plan& plan) {
  return static_cast<std::size_t>(
      std::count_if(plan.findings.begin(), plan.findings.end(), [](const Finding& finding) {
        return finding.severity == Severity::kStop && !of_the_order(finding);
      }));
}

class Seeker {
 public:
  Seeker(const part::Part& part, const workshop::Shop& shop, const PlanOptions& options,
         const Plan& plan)
      : part_(part), shop_(shop), plan_(plan), options_(options) {
    options_.order = {};
    options_.order.kind = OrderWish::Kind::kBest;
    options_.alternatives = false;
    options_.changes = false;
    options_.effort.num_checks_max = std::min(options_.effort.num_checks_max, kChecks);
    // What is changed is the part or one thing of the bender, not which bender and dies are taken.
    own_ = options_;
    if (plan.bender) own_.wish.bender = plan.bender->name;
  }

  std::vector<Finding> seek() {
    if (part_.table.num_bends() > kMostBends) return {};
    straights();
    dies();
    benders();
    stand();
    split();
    if (out_.empty()) nothing();
    return std::move(out_);
  }

 private:
  // The plan if it works as far as the order goes, and has no new stops of another kind.
  std::optional<Plan> works(const part::Part& part, const workshop::Shop& shop,
                            const PlanOptions& options) const {
    Result<Plan> made = planning::plan(part, shop, options);
    if (!made.ok() || made->steps.empty() || stopped(*made)) return std::nullopt;
    // Arcs that eat a straight cannot even be compared.
    if (!made->order.compared || !made->order.works() || other_stops(*made) > other_stops(plan_)) {
      return std::nullopt;
    }
    return std::move(made).value();
  }

  void say_it(std::optional<std::size_t> bend, std::string message, std::string remedy,
              const Plan& made, std::map<std::string, double> numbers) {
    if (made.order.low_mm) numbers["clearance_mm"] = *made.order.low_mm;
    out_.push_back(
        {Severity::kNote, "order.would-work", bend,
         fmt::format("{} it can be bent {}: {}", message, made.order.name, made.order.words),
         std::move(remedy), kPlannedAgain, std::move(numbers)});
  }

  // The least whole multiple of `step` up to `most` for which it works, by halving; 0 for none.
  static int least(int step, int most, const std::function<bool(int)>& enough) {
    int high = most / step;
    if (high < 1 || !enough(high * step)) return 0;
    int low = 0;
    while (high - low > 1) {
      const int middle = (low + high) / 2;
      (enough(middle * step) ? high : low) = middle;
    }
    return high * step;
  }

  std::optional<part::Part> with_straight(std::size_t index, double by_mm) const {
    std::vector<geometry::BendRow> rows = part_.table.rows();
    double last_mm = part_.table.last_straight_mm();
    double& length_mm = index < rows.size() ? rows[index].straight_mm : last_mm;
    length_mm += by_mm;
    if (length_mm < 0.0) return std::nullopt;
    Result<geometry::BendTable> table = geometry::BendTable::make(std::move(rows), last_mm);
    if (!table.ok()) return std::nullopt;
    part::Part out = part_;
    out.table = std::move(table).value();
    return out;
  }

  // Straights beside bends that stop, then the others.
  std::vector<std::size_t> candidates() const {
    const std::size_t n = part_.table.num_bends();
    std::vector<std::size_t> out;
    const auto add = [&](std::size_t index) {
      if (std::find(out.begin(), out.end(), index) == out.end()) out.push_back(index);
    };
    for (const Finding& finding : plan_.findings) {
      if (!of_the_order(finding) || !finding.bend) continue;
      add(*finding.bend - 1);
      add(*finding.bend);
    }
    for (std::size_t index = 0; index <= n; ++index) add(index);
    if (out.size() > kMostStraights) out.resize(kMostStraights);
    return out;
  }

  void straights() {
    struct Best {
      std::size_t index;
      int by_mm;
      Plan plan;
    };
    std::optional<Best> longer, shorter;
    tried_.push_back("each straight longer or shorter");
    for (const std::size_t index : candidates()) {
      for (const int sign : {1, -1}) {
        std::optional<Best>& best = sign > 0 ? longer : shorter;
        std::optional<Plan> made;
        // Only what changes less than the best so far is of interest.
        const int most = best ? best->by_mm - 1 : kMostChange_mm;
        const int by_mm = least(1, most, [&](int more_mm) {
          const std::optional<part::Part> changed = with_straight(index, sign * more_mm);
          if (!changed) return false;
          std::optional<Plan> one = works(*changed, shop_, own_);
          if (!one) return false;
          made = std::move(one);
          return true;
        });
        if (by_mm > 0) best = Best{index, by_mm, std::move(*made)};
      }
    }
    const auto tell = [&](const std::optional<Best>& best, const char* how, const char* verb) {
      if (!best) return;
      const std::string by = say(static_cast<double>(best->by_mm), options_.style);
      say_it(std::nullopt, fmt::format("with straight {} {} by {}", best->index + 1, how, by),
             fmt::format("ask whether straight {} may be {} by {}", best->index + 1, verb, by),
             best->plan,
             {{"straight", static_cast<double>(best->index + 1)},
              {"change_mm", (verb[0] == 'l' ? 1.0 : -1.0) * best->by_mm}});
    };
    const bool shorter_first = longer && shorter && shorter->by_mm < longer->by_mm;
    if (shorter_first) tell(shorter, "shorter", "shortened");
    tell(longer, "longer", "lengthened");
    if (!shorter_first) tell(shorter, "shorter", "shortened");
  }

  void dies() {
    std::set<std::string> used;
    for (const UsedDie& die : plan_.dies) used.insert(die.die.name);
    std::size_t looked_at = 0;
    for (const workshop::DieSet& die : shop_.die_sets) {
      if (used.contains(die.name) && used.size() == 1) continue;
      PlanOptions with = own_;
      with.wish.die = die.name;
      if (++looked_at > kMostDies) break;
      const std::optional<Plan> made = works(part_, shop_, with);
      if (!made) continue;
      say_it(std::nullopt,
             fmt::format("in die {} throughout, radius {} after release,", die.name,
                         say(made->dies.front().radius_after_release_mm, options_.style)),
             "agree the radius with the customer, then plan with this die", *made, {});
    }
    tried_.push_back("the other dies");
  }

  void benders() {
    for (const workshop::Bender& bender : shop_.benders) {
      if (plan_.bender && bender.name == plan_.bender->name) continue;
      PlanOptions with = options_;
      with.wish.bender = bender.name;
      if (const std::optional<Plan> made = works(part_, shop_, with)) {
        say_it(std::nullopt, fmt::format("on bender {}", bender.name),
               fmt::format("plan it on {}", bender.name), *made, {});
      }
    }
    tried_.push_back("the other benders");
  }

  // A stand lifts the grooves above the floor and brings them nearer to the ceiling.
  void stand() {
    if (!plan_.bender || !plan_.bender->around.room.floor_mm) return;
    tried_.push_back("a stand under the bender");
    std::optional<Plan> made;
    const int by_mm = least(kStandStep_mm, kMostStand_mm, [&](int higher_mm) {
      workshop::Shop lifted = shop_;
      for (workshop::Bender& bender : lifted.benders) {
        if (bender.name != plan_.bender->name) continue;
        *bender.around.room.floor_mm += higher_mm;
        std::optional<double>& ceiling_mm = bender.around.room.ceiling_mm;
        if (ceiling_mm && (*ceiling_mm -= higher_mm) <= 0.0) return false;
      }
      std::optional<Plan> one = works(part_, lifted, own_);
      if (!one) return false;
      made = std::move(one);
      return true;
    });
    if (by_mm == 0) return;
    const std::string by = say(static_cast<double>(by_mm), options_.style);
    say_it(std::nullopt, fmt::format("with the bender {} higher", by),
           "a stand fixed to the floor that carries the bender's pull; mind the machine's manual",
           *made, {{"higher_mm", static_cast<double>(by_mm)}});
  }

  std::optional<std::pair<part::Part, part::Part>> halves(std::size_t straight) const {
    const std::vector<geometry::BendRow>& rows = part_.table.rows();
    const double half_mm = rows[straight].straight_mm / 2.0;
    const auto at = rows.begin() + static_cast<std::ptrdiff_t>(straight);
    std::vector<geometry::BendRow> behind(at, rows.end());
    behind.front().straight_mm = half_mm;
    behind.front().rotation = base::Angle();
    auto first = geometry::BendTable::make({rows.begin(), at}, half_mm);
    auto second = geometry::BendTable::make(std::move(behind), part_.table.last_straight_mm());
    if (!first.ok() || !second.ok()) return std::nullopt;
    std::pair<part::Part, part::Part> out{part_, part_};
    out.first.table = std::move(first).value();
    out.first.end_b = {};
    out.second.table = std::move(second).value();
    out.second.end_a = {};
    // A rectangular tube lies in the second piece's first bend as it does in the whole part.
    out.second.section = part::section_at(part_, straight);
    return out;
  }

  void split() {
    const std::size_t n = part_.table.num_bends();
    if (n < 2) return;
    tried_.push_back("two pieces joined");
    std::vector<std::size_t> places;
    for (std::size_t i = 1; i < n; ++i) places.push_back(i);
    // Long straights first: they leave room for the joint.
    std::stable_sort(places.begin(), places.end(), [&](std::size_t a, std::size_t b) {
      return part_.table.straight_mm(a) > part_.table.straight_mm(b);
    });
    if (places.size() > kMostSplits) places.resize(kMostSplits);
    for (const std::size_t straight : places) {
      const auto pieces = halves(straight);
      if (!pieces) continue;
      const std::optional<Plan> a = works(pieces->first, shop_, own_);
      const std::optional<Plan> b = a ? works(pieces->second, shop_, own_) : std::nullopt;
      if (!b) continue;
      out_.push_back(
          {Severity::kNote,
           "order.would-work",
           std::nullopt,
           fmt::format("as two pieces joined in the middle of straight {} both can be bent: "
                       "the one with end A {}, {}; the other {}, {}",
                       straight + 1, a->order.name, a->order.words, b->order.name, b->order.words),
           "ask whether a joint is allowed there, and who proves it",
           kPlannedAgain,
           {{"straight", static_cast<double>(straight + 1)}}});
      return;
    }
  }

  void nothing() {
    out_.push_back(
        {Severity::kNote,
         "order.nothing-works",
         std::nullopt,
         fmt::format("no single change that was tried makes the part: {}", fmt::join(tried_, ", ")),
         "bend it elsewhere, or change the drawing at more than one place",
         "the part planned again with each change",
         {}});
  }

  const part::Part& part_;
  const workshop::Shop& shop_;
  const Plan& plan_;
  PlanOptions options_;
  PlanOptions own_;
  std::vector<std::string> tried_;
  std::vector<Finding> out_;
};

}  // namespace

bool no_order_works(const Plan& plan) {
  return !plan.steps.empty() && stopped(plan) &&
         std::none_of(plan.alternatives.begin(), plan.alternatives.end(),
                      [](const WorkOrder& other) { return other.works(); });
}

std::vector<Finding> changes_that_work(const part::Part& part, const workshop::Shop& shop,
                                       const PlanOptions& options, const Plan& plan) {
  return Seeker(part, shop, options, plan).seek();
}

}  // namespace bight::planning
