// Plans of the little shop that the service's tests furnish.
#pragma once

#include <map>
#include <string>

#include "exchange/part_toml.h"
#include "service/formula_test_util.h"
#include "service/plan_answer.h"
#include "service/service_test_util.h"

namespace bight::service::test {

class PlanAnswerTest : public ServiceTest {
 protected:
  PlanWish wish(const Json& document) {
    return {exchange::read_part(exchange::document_of(document, ""))->part, {}, false};
  }
  Json answer(const Json& document, const PlanWish& wish) {
    return *plan_answer(wish, (*context_->shop.view())->shop, document);
  }
  Json answer(const Json& document) { return answer(document, wish(document)); }
};

// The formula of an entry of the arithmetic with its inputs' values.
inline double worked(const Json& sum) {
  std::map<std::string, double> symbols;
  for (const Json& one : sum["inputs"]) symbols[one["symbol"]] = one["value"];
  return Formula(sum["formula"], symbols).value();
}

// The entry for that number of the plan; null where it has none.
inline Json sum_of(const Json& answer, const std::string& key) {
  for (const Json& sum : answer["arithmetic"]) {
    if (sum["key"] == key) return sum;
  }
  return nullptr;
}

}  // namespace bight::service::test
