// Stock lengths for a job: from the rack's records, and to buy.
#include <nlohmann/json.hpp>

#include "exchange/rack.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Result;
using Json = nlohmann::ordered_json;

namespace {

constexpr double kUsualStick_mm = 6000.0;
constexpr double kUsualStickInch_mm = 240.0 * 25.4;  // 20 ft

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

struct RackMatch {
  std::string id;
  exchange::RackTube rack;
};

// What lies in the rack of the tube's size and metal. Tube without a length, and entries that
// cannot be read, are left out: the shop's page says what is wrong with them.
Result<std::vector<RackMatch>> rack_of(Context& context, const exchange::KnownMetals& metals,
                                       const exchange::Tube& wanted) {
  BIGHT_TRY(const std::vector<records::Record> all,
            records_in_order(context.store, records::Kind::kTube));
  std::vector<RackMatch> rack;
  for (const records::Record& record : all) {
    const Result<exchange::RackTube> here = exchange::read_rack_tube(
        exchange::document_of(Json::parse(record.document, nullptr, false), "", metals));
    if (!here.ok() || !here->length_mm || here->sticks == 0) continue;
    if (exchange::same_stock(here->tube, wanted)) rack.push_back({record.head.id.text(), *here});
  }
  return rack;
}

Result<Reply> sticks(Context& context, const Request& request) {
  BIGHT_TRY(const base::Done query, only_asked(request, {}));
  static_cast<void>(query);
  BIGHT_TRY(const Beside beside, keys_beside(request, {"pieces", "spare", "kerf", "stick"}));
  BIGHT_TRY(const SticksWish wish, read_sticks_wish(beside.keys));
  std::variant<PlanningRequest, Reply> read = read_planning_request(context, beside.rest);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const PlanningRequest& asked = std::get<PlanningRequest>(read);
  const part::Part& part = asked.wish.part;
  BIGHT_TRY(const planning::Plan plan, planning::plan(part, asked.shop->shop, asked.wish.options));
  if (plan.steps.empty()) {
    return base::Failure{"sticks.number", "cut", "the plan has no blank to cut",
                         "see what speaks against the plan"};
  }
  planning::SticksRequest job;
  job.cut_mm = plan.blank.cut.likely_mm;
  job.pieces = static_cast<int>(wish.pieces.value_or(part.quantity));
  job.spare = static_cast<int>(wish.spare.value_or(0));
  job.kerf_mm = wish.kerf_mm.value_or(job.kerf_mm);
  job.style = asked.wish.options.style;
  job.stick_mm = wish.stick_mm.value_or(
      job.style.unit == base::LengthUnit::kInch ? kUsualStickInch_mm : kUsualStick_mm);
  job.allowance_mm = plan.blank.trim_front_mm + plan.blank.trim_back_mm;
  job.heat = part.material.heat;
  job.proven = plan.blank.proven;
  BIGHT_TRY(
      const std::vector<RackMatch> rack,
      rack_of(context, asked.shop->metals, {"", part.section, part.material, part.welded, {}}));
  for (const RackMatch& match : rack) {
    job.rack.push_back({match.rack.tube.material.heat, *match.rack.length_mm, match.rack.sticks});
  }
  BIGHT_TRY(const planning::SticksPlan made, planning::plan_sticks(job));
  Json json = exchange::sticks_json(job, made);
  for (std::size_t i = 0; i < rack.size(); ++i) {
    json["rack"][i]["id"] = rack[i].id;
    json["rack"][i]["place"] = rack[i].rack.place;
  }
  return json_reply(json);
}

}  // namespace

void add_sticks(Router& router, Context& context) {
  Route route{"POST", "/sticks", with(context, sticks)};
  route.heavy = true;
  router.add(std::move(route));
}

}  // namespace bight::service
