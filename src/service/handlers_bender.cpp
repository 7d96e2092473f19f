// Whether a bender still does what is keyed in.
#include <nlohmann/json.hpp>

#include "exchange/check_document.h"
#include "service/handlers.h"

namespace bight::service {

using base::Result;

namespace {

Result<Reply> check_bender(Context&, const Request& request) {
  BIGHT_TRY(const base::Done query, only_asked(request, {}));
  static_cast<void>(query);
  BIGHT_TRY(const exchange::Document body, read_body(request));
  BIGHT_TRY(const exchange::CheckLog log, exchange::read_check_log(body));
  std::vector<running::CheckResult> results;
  for (const running::MachineCheck& one : log.checks) {
    BIGHT_TRY(const running::CheckResult result, running::check_machine(one, log.limits));
    results.push_back(result);
  }
  return json_reply(exchange::check_json(log.bender, results, running::trends_of(results)));
}

}  // namespace

void add_benders(Router& router, Context& context) {
  router.add({"POST", "/bender/check", with(context, check_bender)});
}

}  // namespace bight::service
