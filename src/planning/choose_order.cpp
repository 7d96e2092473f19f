#include "planning/choose_order.h"

#include <algorithm>
#include <cmath>

#include "planning/clearing.h"

namespace bight::planning {

using ordering::Front;
using ordering::Problem;
using ordering::Sequence;

namespace {

Front front_of(End end) { return end == End::kA ? Front::kEndA : Front::kEndB; }
End end_of(Front front) { return front == Front::kEndA ? End::kA : End::kB; }

LaidOut lay_out(const OrderQuestion& q, const BendOrder& order) {
  BlankRequest request{q.bent, q.part.section,   q.part.end_a, q.part.end_b, {},
                       {},     *q.choice.bender, order,        q.from};
  for (const std::size_t die : q.choice.die_of_bend) {
    request.die_of_bend.push_back(&q.choice.dies[die].die);
    request.known_of_bend.push_back(&q.choice.known[die]);
  }
  return lay_out_blank(request);
}

Problem problem_of(const OrderQuestion& q, const LaidOut& laid_out) {
  Problem out;
  out.bender = *q.choice.bender;
  for (const UsedDie& used : q.choice.dies) out.dies.push_back(used.die);
  out.first = front_of(q.from);
  out.tube.od_mm = round_od_mm(q.part.section);
  out.tube.length_mm = laid_out.blank.cut.likely_mm;
  for (std::size_t i = 0; i < q.bent.num_bends(); ++i) {
    const geometry::BendRow& row = q.bent.rows()[i];
    const std::size_t die = q.choice.die_of_bend[i];
    const workshop::DieSet& set = q.choice.dies[die].die;
    clearance::TubeBend bend;
    bend.start_mm = laid_out.start_mm[i];
    bend.blank_mm = laid_out.arc_mm[i];
    bend.rotation = row.rotation;
    bend.angle = row.angle;
    bend.radius_mm = row.radius_mm;
    bend.set_angle = q.choice.known[die].set_band(row.angle).likely;
    bend.die_radius_mm = set.radius_mm;
    out.tube.bends.push_back(bend);
    out.tools.push_back(
        {{die, set.clamp_mm, tail_needed_mm(set, out.bender, q.part.section, bend.blank_mm)}});
  }
  return out;
}

BendOrder bends_of(const Sequence& sequence) {
  BendOrder out;
  for (const ordering::Placed& placed : sequence) {
    out.push_back({placed.bend, end_of(placed.front)});
  }
  return out;
}

Sequence sequence_of(const OrderQuestion& q, const Problem& problem, const BendOrder& order) {
  std::vector<ordering::Fixed> fixed;
  for (const PlacedBend& placed : order) fixed.push_back({placed.bend, front_of(placed.front)});
  const ordering::StepRules rules(problem, q.options.agreed);
  return ordering::as_given(problem, rules, fixed);
}

// A sequence found on a longer blank, on the one that it needs.
base::Result<TriedOrder> tried(const OrderQuestion& q, const Sequence& sequence) {
  TriedOrder out{sequence, lay_out(q, bends_of(sequence)), std::nullopt};
  const Problem problem = problem_of(q, out.laid_out);
  BIGHT_TRY(out.judged, ordering::judge(problem, q.options.agreed, sequence));
  return out;
}

// The search on a blank that is long enough for any order, or for work from one end.
base::Result<ordering::Answer> search(const OrderQuestion& q, const BendOrder& blank_for,
                                      bool others) {
  ordering::AnswerOptions options = q.options;
  options.others = others;
  if (q.wish.kind == OrderWish::Kind::kGiven) {
    for (const OrderWish::Bend& b : q.wish.bends) {
      options.given.push_back({b.bend, b.front ? std::optional(front_of(*b.front)) : std::nullopt});
    }
  }
  return ordering::best_order(problem_of(q, lay_out(q, blank_for)), options);
}

// Adds an order that is not there yet.
base::Status add_order(const OrderQuestion& q, const ordering::Order& order,
                       std::vector<TriedOrder>& into) {
  const Sequence sequence = order.sequence();
  for (const TriedOrder& there : into) {
    if (there.sequence == sequence) return base::Done{};
  }
  BIGHT_TRY(TriedOrder one, tried(q, sequence));
  into.push_back(std::move(one));
  return base::Done{};
}

struct Searched {
  std::vector<TriedOrder> orders;  // the one asked for, then others by cost
  bool proven = false;
};

base::Result<Searched> all_found(const OrderQuestion& q) {
  Searched out;
  BIGHT_TRY(const ordering::Answer answer, search(q, {}, true));
  out.proven = answer.proven;
  BIGHT_TRY(const base::Done done, add_order(q, answer.best, out.orders));
  static_cast<void>(done);
  for (const ordering::Order& order : answer.others) {
    BIGHT_TRY(const base::Done added, add_order(q, order, out.orders));
    static_cast<void>(added);
  }
  const auto works = [](const TriedOrder& one) { return one.judged->works(); };
  // A blank for any order is longer than work from one end needs it, and may hit with that.
  const bool any = std::any_of(out.orders.begin(), out.orders.end(), works);
  for (const End front : {End::kA, End::kB}) {
    if (any) break;
    BIGHT_TRY(const ordering::Answer shorter,
              search(q, drawn_order(q.bent.num_bends(), front), false));
    BIGHT_TRY(const base::Done added, add_order(q, shorter.best, out.orders));
    static_cast<void>(added);
  }
  const bool given = q.wish.kind == OrderWish::Kind::kGiven;
  std::stable_sort(
      out.orders.begin() + (given ? 1 : 0), out.orders.end(),
      [](const TriedOrder& a, const TriedOrder& b) { return a.judged->cost < b.judged->cost; });
  return out;
}

base::Result<ChosenOrder> compared(const OrderQuestion& q) {
  const BendOrder drawn = drawn_order(q.bent.num_bends(), q.from);
  const bool keep =
      q.wish.kind == OrderWish::Kind::kDrawn || q.wish.kind == OrderWish::Kind::kDrawnIfItWorks;
  ChosenOrder out;
  if (keep) {
    BIGHT_TRY(out.taken, try_order(q, drawn, true));
    const bool well = out.taken.judged->works() && out.taken.judged->cost.margin_class == 0;
    if (well && !q.alternatives) return out;
  }
  BIGHT_TRY(Searched found, all_found(q));
  out.searched = true;
  out.proven = found.proven;
  if (!keep) {
    out.taken = found.orders.front();
  } else if (q.wish.kind == OrderWish::Kind::kDrawnIfItWorks && !out.taken.judged->works() &&
             found.orders.front().judged->works()) {
    out.taken = found.orders.front();
    out.changed = true;
  }
  for (TriedOrder& one : found.orders) {
    if (!(one.sequence == out.taken.sequence)) out.others.push_back(std::move(one));
  }
  return out;
}

// Straights decide without any body: another order may have them where this one has not.
bool straights_fall_short(const OrderQuestion& q, const TriedOrder& tried) {
  const Problem problem = problem_of(q, tried.laid_out);
  const ordering::StepRules rules(problem, q.options.agreed);
  return ordering::cost_without_bodies(problem, rules, tried.sequence).stops > 0;
}

// Of a bender without bodies the drawing order is kept; others are named where it lacks straights.
ChosenOrder not_compared(const OrderQuestion& q, TriedOrder taken) {
  ChosenOrder out;
  out.taken = std::move(taken);
  if (!q.alternatives && !straights_fall_short(q, out.taken)) return out;
  base::Result<Searched> answer = all_found(q);
  if (!answer.ok()) return out;
  Searched found = std::move(answer).value();
  out.searched = true;
  out.proven = found.proven;
  for (TriedOrder& one : found.orders) {
    if (!(one.sequence == out.taken.sequence)) out.others.push_back(std::move(one));
  }
  return out;
}

}  // namespace

BendOrder TriedOrder::bends() const { return bends_of(sequence); }

bool surroundings_known(const workshop::Bender& bender) {
  const workshop::Surroundings& around = bender.around;
  return !around.bodies.empty() || around.room.floor_mm.has_value() ||
         around.room.ceiling_mm.has_value() || !around.room.walls.empty();
}

base::Result<TriedOrder> try_order(const OrderQuestion& q, const BendOrder& order, bool compare) {
  TriedOrder out{{}, lay_out(q, order), std::nullopt};
  const Problem problem = problem_of(q, out.laid_out);
  out.sequence = sequence_of(q, problem, order);
  if (compare) {
    BIGHT_TRY(out.judged, ordering::judge(problem, q.options.agreed, out.sequence));
  }
  return out;
}

base::Result<ChosenOrder> choose_order(const OrderQuestion& q) {
  const std::size_t n = q.bent.num_bends();
  BIGHT_TRY(const base::Done suits, q.wish.suits(n));
  static_cast<void>(suits);
  const bool rolls = q.choice.bender->kind == workshop::BenderKind::kThreeRoll;
  const bool asked =
      q.wish.kind == OrderWish::Kind::kBest || q.wish.kind == OrderWish::Kind::kGiven;
  std::optional<base::Failure> failure;
  if (n > 0 && !rolls && (asked || surroundings_known(*q.choice.bender))) {
    base::Result<ChosenOrder> answer = compared(q);
    if (answer.ok()) return answer;
    failure = answer.failure();
  }
  BendOrder order = drawn_order(n, q.from);
  if (q.wish.kind == OrderWish::Kind::kGiven) {
    order.clear();
    for (const OrderWish::Bend& b : q.wish.bends) {
      order.push_back({b.bend, b.front.value_or(q.from)});
    }
  }
  BIGHT_TRY(TriedOrder taken, try_order(q, order, false));
  if (rolls || failure.has_value()) {
    ChosenOrder out;
    out.taken = std::move(taken);
    out.failure = failure;
    return out;
  }
  return not_compared(q, std::move(taken));
}

}  // namespace bight::planning
