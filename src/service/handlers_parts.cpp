// Part documents in; what they mean, or the same written in another way, out.
#include <nlohmann/json.hpp>

#include "exchange/complaints.h"
#include "exchange/part_tube.h"
#include "service/handlers.h"
#include "service/line_answer.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

Result<Reply> check(Context& context, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  BIGHT_TRY(const Json part, part_document_of(f, body, context.store));
  const std::string units = f.text("units").value_or("");
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  BIGHT_TRY(const Json answer, check_part(part, units, view->metals));
  return json_reply(answer);
}

Result<Reply> rewrite(Context& context, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  BIGHT_TRY(const Json part, part_document_of(f, body, context.store));
  Rewrite wish;
  if (!f.has("as")) f.complain("as", "key.missing", "as what is not said", "corners or bends");
  wish.as_corners = f.choice("as", {"bends", "corners"}).value_or(0) == 1;
  if (const auto units = f.choice("units", {"mm", "in"})) {
    wish.unit = *units == 1 ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre;
  }
  wish.reverse = f.flag("reverse").value_or(false);
  wish.mirror = f.flag("mirror").value_or(false);
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  const Result<Json> answer = rewritten(part, wish, view->metals);
  if (answer.ok()) return json_reply({{"part", *answer}});
  const std::vector<Failure> all = complaints_of(
      records::Kind::kPart, part, view->metals);  // of the whole, where it cannot be read
  if (answer.failure().code == "part.corners" || all.empty()) return answer.failure();
  return failed(all);
}

// The tube's size across the drawing, for shapes dimensioned to a face; 0 when not given.
Result<double> size_of(const std::optional<std::string>& size, const base::LengthRules& rules) {
  if (!size || size->empty()) return 0.0;
  const exchange::Document document = exchange::document_of({{"size", *size}}, "");
  BIGHT_TRY(const exchange::TubeSize tube,
            exchange::read_tube_size(exchange::Fields(document, rules)));
  return tube.section.height_mm();
}

Result<Reply> shapes(Context&, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  base::LengthRules rules;
  if (f.choice("units", {"mm", "in"}).value_or(0) == 1) {
    rules.default_unit = base::LengthUnit::kInch;
  }
  if (f.choice("decimal_mark", {"point", "comma"}).value_or(0) == 1) {
    rules.decimal_mark = base::DecimalMark::kComma;
  }
  f.set_lengths(rules);
  const std::optional<std::string> size = f.text("size");
  if (!f.has("line")) f.complain("line", "key.missing", "the line is missing", "send its keys");
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  Json answer = {{"errors", Json::array()}, {"line", nullptr}, {"table", nullptr}};
  const exchange::Complaints complaints;
  const std::optional<exchange::Fields> fields = f.table("line");
  BIGHT_TRY(const base::Done is_table, f.status());
  static_cast<void>(is_table);
  const Result<double> size_mm = size_of(size, rules);
  const Result<exchange::Line> line = exchange::read_line(*fields, size_mm.ok() ? *size_mm : 0.0);
  if (line.ok() && size_mm.ok()) {
    answer["line"] = bends_line(*line, rules.default_unit);
    answer["table"] = line_json(line->table, line->start);
    return json_reply(answer);
  }
  std::vector<Failure> all = complaints.all();
  if (all.empty()) all.push_back(line.ok() ? size_mm.failure() : line.failure());
  answer["errors"] = complaints_json(all);
  return json_reply(answer);
}

}  // namespace

void add_parts(Router& router, Context& context) {
  Route check_route{"POST", "/part/check", with(context, check)};
  check_route.heavy = true;
  router.add(std::move(check_route));
  router.add({"POST", "/part/rewrite", with(context, rewrite)});
  router.add({"POST", "/shapes", with(context, shapes)});
}

}  // namespace bight::service
