#include "ordering/order_search.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <numeric>

#include "ordering/best_order.h"
#include "ordering/sample_order_test_util.h"

namespace bight::ordering {
namespace {

// Every order with every end ahead in every step, one after another: nothing of the search, the
// rules or the book is used.
class EveryOrder {
 public:
  EveryOrder(const Problem& problem, const Agreed& agreed) : p_(problem), a_(agreed) {
    clearance::ClearanceOptions options;
    options.only_whether = true;
    options.margin_mm = agreed.margin_mm;
    options.interest_mm = agreed.margin_mm + 1.0;
    options.tolerance_mm = 1.0;
    checker_.push_back(
        clearance::StepChecker::make({&p_.bender, {&p_.dies[0]}}, p_.tube, options).value());
  }

  std::vector<std::uint32_t> best() {
    const std::size_t n = p_.tube.bends.size();
    std::vector<std::size_t> order(n);
    std::iota(order.begin(), order.end(), 0u);
    std::vector<std::uint32_t> least;
    do {
      for (std::uint32_t fronts = 0; fronts < (1u << n); ++fronts) {
        const std::vector<std::uint32_t> cost = cost_of(order, fronts);
        if (least.empty() || cost < least) least = cost;
      }
    } while (std::next_permutation(order.begin(), order.end()));
    return least;
  }

 private:
  struct StepSays {
    bool stops;
    std::uint32_t margin;  // class
  };

  StepSays step(std::size_t bend, std::uint32_t made, bool b_ahead) {
    const auto [at, is_new] = steps_.try_emplace({bend, made, b_ahead});
    if (!is_new) return at->second;
    double to_a_mm = p_.tube.bends[bend].start_mm;
    double to_b_mm = p_.tube.length_mm - end_mm(bend);
    for (std::size_t i = 0; i < p_.tube.bends.size(); ++i) {
      if ((made >> i & 1u) == 0) continue;
      if (i < bend) to_a_mm = std::min(to_a_mm, p_.tube.bends[bend].start_mm - end_mm(i));
      if (i > bend) to_b_mm = std::min(to_b_mm, p_.tube.bends[i].start_mm - end_mm(bend));
    }
    const double ahead_mm = b_ahead ? to_b_mm : to_a_mm;
    const double behind_mm = b_ahead ? to_a_mm : to_b_mm;
    const BendTool& tool = p_.tools[bend][0];
    const clearance::StepClearance clear = checker_[0].check(
        {.bend = bend, .made = made, .front = b_ahead ? Front::kEndB : Front::kEndA});
    double low_mm = 1e9;
    if (clear.nearest) low_mm = std::min(low_mm, clear.nearest->low_mm);
    if (clear.itself) low_mm = std::min(low_mm, clear.itself->low_mm);
    at->second.stops = clear.hit() || ahead_mm < tool.clamp_mm || behind_mm < tool.tail_mm;
    at->second.margin = 0;
    for (double margin_mm = a_.margin_mm; margin_mm > 0.0 && low_mm < margin_mm - 1e-7;
         margin_mm -= a_.margin_step_mm) {
      ++at->second.margin;
    }
    return at->second;
  }

  // In the order of Cost.
  std::vector<std::uint32_t> cost_of(const std::vector<std::size_t>& order, std::uint32_t fronts) {
    std::uint32_t stops = 0, margin = 0, flips = 0, handling = 0, unmeasured = 0, outward = 0;
    std::uint32_t made = 0;
    const double half_mm = 0.5 * p_.tube.length_mm;
    for (std::size_t k = 0; k < order.size(); ++k) {
      const std::size_t bend = order[k];
      const bool b_ahead = (fronts >> k & 1u) != 0;
      const StepSays says = step(bend, made, b_ahead);
      stops += says.stops ? 1 : 0;
      margin = std::max(margin, says.margin);
      double to_a_mm = p_.tube.bends[bend].start_mm;
      double to_b_mm = p_.tube.length_mm - end_mm(bend);
      for (std::size_t i = 0; i < order.size(); ++i) {
        const bool is_made = (made >> i & 1u) != 0;
        if (is_made && i < bend) to_a_mm = std::min(to_a_mm, start_mm(bend) - end_mm(i));
        if (is_made && i > bend) to_b_mm = std::min(to_b_mm, start_mm(i) - end_mm(bend));
        if (!is_made && std::abs(mid_mm(i) - half_mm) < std::abs(mid_mm(bend) - half_mm) - 1e-6) {
          ++outward;
        }
      }
      if (to_a_mm < a_.tape_leg_mm || to_b_mm < a_.tape_leg_mm) ++unmeasured;
      if (k > 0) {
        flips += (fronts >> (k - 1) & 1u) != (fronts >> k & 1u) ? 1u : 0u;
        double plane_deg = 0.0;
        const std::size_t low = std::min(bend, order[k - 1]), high = std::max(bend, order[k - 1]);
        for (std::size_t i = low + 1; i <= high; ++i) plane_deg += p_.tube.bends[i].rotation.deg();
        const double off_deg = std::abs(std::remainder(plane_deg, 360.0));
        handling += static_cast<std::uint32_t>(std::ceil(off_deg / a_.turn_step_deg - 1e-9));
        handling += static_cast<std::uint32_t>(std::abs(mid_mm(bend) - mid_mm(order[k - 1])) /
                                               a_.carry_step_mm);
      }
      made |= 1u << bend;
    }
    if (stops > 0) margin = 0;
    return {stops, margin, flips, 0, handling, unmeasured, outward, fronts & 1u};
  }

  double start_mm(std::size_t i) const { return p_.tube.bends[i].start_mm; }
  double end_mm(std::size_t i) const { return start_mm(i) + p_.tube.bends[i].blank_mm; }
  double mid_mm(std::size_t i) const { return start_mm(i) + 0.5 * p_.tube.bends[i].blank_mm; }

  const Problem& p_;
  Agreed a_;
  std::vector<clearance::StepChecker> checker_;
  std::map<std::tuple<std::size_t, std::uint32_t, bool>, StepSays> steps_;
};

std::vector<std::uint32_t> as_list(const Cost& c) {
  return {c.stops,    c.margin_class, c.flips,   c.die_changes,
          c.handling, c.unmeasured,   c.outward, c.other_end};
}

Found search(const Problem& problem, const Effort& effort = {}) {
  const Agreed agreed;
  const StepRules rules(problem, agreed);
  StepBook book = StepBook::make(problem, agreed).value();
  OrderSearch search(problem, rules, book, effort);
  return search.run();
}

// Nothing that all orders and ends offer is better than what the search finds, and what it finds
// costs what it says. Parts that work, parts that nothing can bend, tight and wide machines.
TEST(OrderSearch, AgreesWithEveryOrder) {
  std::mt19937_64 rng(20240611);
  std::size_t num_stopped = 0, num_flipped = 0, num_tight = 0;
  for (int round = 0; round < 60; ++round) {
    const std::size_t n = round == 0 ? 7 : round < 4 ? 6 : 1 + static_cast<std::size_t>(round) % 5;
    Problem p = sample::problem(round % 3 == 0 ? clearance::sample::random_tube(rng, n)
                                               : sample::frame_tube(rng, n));
    if (round % 4 == 1) p.bender.around.room.floor_mm = 500;
    if (round % 4 == 2) p.bender.around.room.walls = {{"wall", sample::Angle::degrees(90), 700}};
    if (round % 2 == 1) p.first = Front::kEndB;
    const Found found = search(p);
    ASSERT_TRUE(found.proven);
    ASSERT_EQ(found.sequence.size(), n);
    std::vector<std::uint32_t> best = EveryOrder(p, {}).best();
    // The wished first end costs in its own way there.
    std::vector<std::uint32_t> mine = as_list(found.cost);
    if (p.first == Front::kEndB) {
      best.pop_back();
      mine.pop_back();
    }
    EXPECT_EQ(mine, best) << "round " << round;
    num_stopped += found.cost.stops > 0 ? 1 : 0;
    num_flipped += found.cost.flips > 0 ? 1 : 0;
    num_tight += found.cost.margin_class > 0 ? 1 : 0;
  }
  // The cases are not all of one kind.
  EXPECT_GT(num_stopped, 3u);
  EXPECT_LT(num_stopped, 50u);
  EXPECT_GT(num_flipped + num_tight, 2u);
}

// The same question, the same answer, to the last choice.
TEST(OrderSearch, IsDeterministic) {
  std::mt19937_64 rng(7);
  for (int round = 0; round < 5; ++round) {
    const Problem p = sample::problem(sample::frame_tube(rng, 8));
    const Found one = search(p);
    const Found two = search(p);
    EXPECT_EQ(one.sequence, two.sequence);
    EXPECT_EQ(one.cost, two.cost);
  }
}

// With little work allowed there still is an order, not claimed to be the best, and the bound lies
// below what it costs.
TEST(OrderSearch, SaysHowFarFromBest) {
  std::mt19937_64 rng(3);
  const Problem p = sample::problem(sample::frame_tube(rng, 10));
  Effort little;
  little.num_checks_max = 5;
  const Found found = search(p, little);
  EXPECT_FALSE(found.proven);
  EXPECT_EQ(found.sequence.size(), 10u);
  const Order order = judge(p, {}, found.sequence).value();
  EXPECT_LE(found.bound, order.cost);
  const Found best = search(p);
  EXPECT_TRUE(best.proven);
  EXPECT_LE(found.bound, best.cost);
  EXPECT_LE(best.cost.stops, order.cost.stops);
}

// Somebody may call it off; an order comes back all the same.
TEST(OrderSearch, CanBeCancelled) {
  std::mt19937_64 rng(3);
  const Problem p = sample::problem(sample::frame_tube(rng, 10));
  Effort effort;
  int asked = 0;
  double told = -1.0;
  effort.cancelled = [&asked] { return ++asked > 0; };
  effort.progress = [&told](double share) { told = share; };
  const Found found = search(p, effort);
  EXPECT_GT(asked, 0);
  EXPECT_GE(told, 0.0);
  EXPECT_FALSE(found.proven);
  EXPECT_EQ(found.sequence.size(), 10u);
}

// Fourteen bends with every order allowed are settled for certain.
TEST(OrderSearch, ProvesFourteenBends) {
  std::mt19937_64 rng(14);
  for (int round = 0; round < 3; ++round) {
    const Problem p = sample::problem(sample::frame_tube(rng, 14));
    EXPECT_TRUE(search(p).proven);
  }
}

}  // namespace
}  // namespace bight::ordering
