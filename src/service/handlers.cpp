#include "service/handlers.h"

namespace bight::service {

Handler with(Context& context, Operation operation) {
  return [&context, operation](const Request& request) {
    base::Result<Reply> reply = operation(context, request);
    return reply.ok() ? std::move(reply).value() : failed(reply.failure());
  };
}

void add_heavy(Router& router, const char* pattern, Handler handler) {
  Route route{"POST", pattern, std::move(handler)};
  route.heavy = true;
  router.add(std::move(route));
}

void add_handlers(Router& router, Context& context) {
  add_session(router, context);
  add_records(router, context);
  add_shop(router, context);
  add_shop_files(router, context);
  add_parts(router, context);
  add_plans(router, context);
  add_clearance(router, context);
  add_order(router, context);
  add_springback(router, context);
  add_measured(router, context);
  add_learning(router, context);
  add_runs(router, context);
  add_keypad(router, context);
  add_sticks(router, context);
  add_trouble(router, context);
  add_benders(router, context);
  add_files(router, context);
  add_catalogue(router, context);
}

}  // namespace bight::service
