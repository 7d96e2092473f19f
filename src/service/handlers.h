// Every group of operations; router.h says how to add one.
#pragma once

#include "service/context.h"
#include "service/router.h"

namespace bight::service {

// What an operation does; its failure becomes the reply.
using Operation = base::Result<Reply> (*)(Context&, const Request&);
Handler with(Context& context, Operation operation);
// Takes what a POST asks, seconds of arithmetic perhaps.
void add_heavy(Router& router, const char* pattern, Handler handler);

void add_session(Router& router, Context& context);
void add_records(Router& router, Context& context);
void add_shop(Router& router, Context& context);
void add_shop_files(Router& router, Context& context);
void add_parts(Router& router, Context& context);
void add_plans(Router& router, Context& context);
void add_clearance(Router& router, Context& context);
void add_order(Router& router, Context& context);
void add_springback(Router& router, Context& context);
void add_measured(Router& router, Context& context);
void add_learning(Router& router, Context& context);
void add_runs(Router& router, Context& context);
void add_keypad(Router& router, Context& context);
void add_sticks(Router& router, Context& context);
void add_trouble(Router& router, Context& context);
void add_benders(Router& router, Context& context);
void add_files(Router& router, Context& context);
void add_catalogue(Router& router, Context& context);

// All of them.
void add_handlers(Router& router, Context& context);

}  // namespace bight::service
