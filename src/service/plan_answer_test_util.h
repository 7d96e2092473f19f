// Plans of the little shop that the service's tests furnish.
#pragma once

#include "exchange/part_toml.h"
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

}  // namespace bight::service::test
