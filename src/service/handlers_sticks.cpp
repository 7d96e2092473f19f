// Stock lengths for a job: from the rack, and to buy.
#include <nlohmann/json.hpp>

#include "exchange/sticks_json.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Result;
using Json = nlohmann::ordered_json;

namespace {

// What stands beside the keys of a plan.
struct SticksWish {
  std::optional<long> pieces, spare;
  std::optional<double> kerf_mm, stick_mm;
};

Result<SticksWish> read_sticks_wish(const exchange::Document& document) {
  exchange::Fields f(document);
  SticksWish wish;
  wish.pieces = f.whole("pieces");
  wish.spare = f.whole("spare");
  wish.kerf_mm = f.length_mm("kerf");
  wish.stick_mm = f.length_mm("stick");
  for (const char* key : {"pieces", "spare"}) {
    const std::optional<long> given = key[0] == 'p' ? wish.pieces : wish.spare;
    if (given && (*given < 0 || *given > planning::kMostPieces)) {
      f.complain(key, "sticks.number", "pieces and spare together are 1 to 10000",
                 "what is to be delivered");
    }
  }
  f.no_others();
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  return wish;
}

Result<Reply> sticks(Context& context, const Request& request) {
  BIGHT_TRY(const base::Done query, only_asked(request, {}));
  static_cast<void>(query);
  BIGHT_TRY(const Beside beside, keys_beside(request, {"pieces", "spare", "kerf", "stick"}));
  BIGHT_TRY(const SticksWish wish, read_sticks_wish(beside.keys));
  std::variant<PlanningRequest, Reply> read = read_planning_request(context, beside.rest);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const PlanningRequest& asked = std::get<PlanningRequest>(read);
  BIGHT_TRY(const planning::Plan plan,
            planning::plan(asked.wish.part, asked.shop->shop, asked.wish.options));
  BIGHT_TRY(planning::SticksRequest job,
            planning::sticks_request(plan, asked.shop->shop.stock, asked.wish.options.style));
  job.pieces = static_cast<int>(wish.pieces.value_or(job.pieces));
  job.spare = static_cast<int>(wish.spare.value_or(0));
  job.kerf_mm = wish.kerf_mm.value_or(job.kerf_mm);
  job.stick_mm = wish.stick_mm.value_or(job.stick_mm);
  BIGHT_TRY(const planning::SticksPlan made, planning::plan_sticks(job));
  Json json = exchange::sticks_json(job, made);
  for (std::size_t i = 0; i < job.rack.size(); ++i) {
    json["rack"][i]["id"] = asked.shop->stock_ids[job.rack[i].stock];
  }
  return json_reply(json);
}

}  // namespace

void add_sticks(Router& router, Context& context) {
  add_heavy(router, "/sticks", with(context, sticks));
}

}  // namespace bight::service
