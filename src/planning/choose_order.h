// Which order of bends a plan takes, and what the others would be worth.
#pragma once

#include <optional>
#include <vector>

#include "base/result.h"
#include "ordering/best_order.h"
#include "planning/blank.h"
#include "planning/tooling.h"
#include "planning/work_order.h"

namespace bight::planning {

// All that an order depends on. Pre: every bend has a die.
struct OrderQuestion {
  const part::Part& part;
  const geometry::BendTable& bent;  // radii after release
  const ToolingChoice& choice;
  OrderWish wish;
  End from = End::kA;         // of the drawing order; goes ahead first when nothing else decides
  bool alternatives = false;  // other orders even where the one taken has nothing against it
  ordering::AnswerOptions options;
};

// An order on the blank that it needs.
struct TriedOrder {
  ordering::Sequence sequence;
  LaidOut laid_out;
  // Compared with machine and room; absent where nothing is known of them and no order was asked
  // for.
  std::optional<ordering::Order> judged;

  BendOrder bends() const;
};

struct ChosenOrder {
  TriedOrder taken;
  std::vector<TriedOrder> others;  // worth a look, the best first; all judged
  bool searched = false;
  bool proven = false;   // of the best there, when searched
  bool changed = false;  // the drawing order does not work, another was taken
  // Why nothing was compared although it was asked for or could be: the tube cannot be laid out.
  std::optional<base::Failure> failure;
};

// Something is known of what stands round this bender.
bool surroundings_known(const workshop::Bender& bender);

// Failure code: plan.order.
base::Result<ChosenOrder> choose_order(const OrderQuestion& question);

// The one order on its blank, compared where anything is known or it is asked for.
base::Result<TriedOrder> try_order(const OrderQuestion& question, const BendOrder& order,
                                   bool compare);

}  // namespace bight::planning
