#include "service/plan_arithmetic.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "exchange/json_numbers.h"
#include "service/metal_sums.h"
#include "service/step_sums.h"

namespace bight::service {

using exchange::tidy;
using Json = nlohmann::ordered_json;

namespace {

Json sum_json(const Sum& sum) {
  Json inputs = Json::array();
  for (const planning::Term& input : sum.inputs) {
    inputs.push_back({{"symbol", input.symbol},
                      {"meaning", input.meaning},
                      {"value", tidy(input.value)},
                      {"unit", input.unit}});
  }
  return {{"key", sum.key},      {"title", sum.title},     {"value", tidy(sum.value)},
          {"unit", sum.unit},    {"formula", sum.formula}, {"inputs", inputs},
          {"source", sum.source}};
}

}  // namespace

Json arithmetic_json(const planning::Plan& plan) {
  Json list = Json::array();
  const auto add = [&](const std::vector<Sum>& sums) {
    for (const Sum& sum : sums) list.push_back(sum_json(sum));
  };
  if (!plan.steps.empty()) {
    add(blank_sums(plan));
    for (std::size_t i = 0; i < std::min(plan.metal.size(), plan.dies.size()); ++i) {
      add(metal_sums(plan, i));
    }
    for (std::size_t i = 0; i < plan.dies.size(); ++i) add({law_sum(plan, i)});
    for (std::size_t i = 0; i < plan.steps.size(); ++i) add(step_sums(plan, i));
  }
  add(check_sums(plan));
  return list;
}

}  // namespace bight::service
