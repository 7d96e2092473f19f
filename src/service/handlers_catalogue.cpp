// Tables that travel inside the program: metals, sizes, shapes, rules; and lengths as typed.
#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>

#include "base/angle_text.h"
#include "base/embedded.h"
#include "exchange/read_any.h"
#include "rules/rule_book.h"
#include "service/convert.h"
#include "service/handlers.h"
#include "service/shape_keys.h"
#include "stock/catalogue.h"
#include "stock/metals.h"

namespace bight::embedded {
std::span<const File> contract_files();
}

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

// The catalogue's metals and the shop's own, which say under what id they are kept.
Json metals_json(const ShopView& view) {
  Json list = Json::array();
  for (const stock::Metal& metal : view.metals->all()) {
    const stock::Material& m = metal.material;
    Json id = nullptr;
    for (std::size_t i = 0; metal.own && i < view.shop.materials.size(); ++i) {
      if (view.shop.materials[i].name == m.name) id = view.material_ids[i];
    }
    list.push_back({{"name", m.name},
                    {"grade", metal.grade},
                    {"family", metal.family},
                    {"number", metal.number},
                    {"aliases", metal.aliases},
                    {"usual", metal.usual},
                    {"own", metal.own},
                    {"replaces", metal.replaces},
                    {"id", id},
                    {"rp02_mpa", m.yield_mpa.value},
                    {"rm_mpa", m.tensile_mpa.value},
                    {"youngs_mpa", m.youngs_mpa.value},
                    {"density_kg_per_m3", m.density_kg_per_m3},
                    {"poisson", m.poisson_ratio},
                    {"elongation_pct",
                     m.elongation_ratio ? Json(m.elongation_ratio->value * 100.0) : Json(nullptr)},
                    {"k_mpa", m.hollomon ? Json(m.hollomon->strength_mpa) : Json(nullptr)},
                    {"n", m.hollomon ? Json(m.hollomon->exponent_ratio) : Json(nullptr)},
                    {"provenance", stock::words(m.yield_mpa.provenance)},
                    {"source", m.yield_mpa.source}});
  }
  return list;
}

Json shapes_json() {
  Json list = Json::array();
  for (const ShapeForm& form : shape_forms()) {
    Json keys = Json::array();
    for (const ShapeKey& key : form.keys) {
      Json one = {{"key", key.key},
                  {"kind", key.kind},
                  {"required", key.required},
                  {"meaning", key.meaning}};
      if (!key.choices.empty()) one["choices"] = key.choices;
      keys.push_back(std::move(one));
    }
    list.push_back({{"name", form.name}, {"title", form.title}, {"keys", keys}});
  }
  return list;
}

// What is the same in every shop.
Result<Json> catalogue_json() {
  Json json;
  json["metals"] = Json::array();
  json["shapes"] = shapes_json();
  BIGHT_TRY(const rules::RuleBook book, rules::RuleBook::built_in());
  json["rules"] = Json::array();
  for (const rules::Rule& rule : book.all()) {
    json["rules"].push_back({{"id", rule.id},
                             {"code", rule.code},
                             {"edition", rule.edition},
                             {"clause", rule.clause},
                             {"title", rule.title}});
  }
  json["reads"] = exchange::readable_formats();
  json["writes"] = Json::array();
  for (const OutputKind& kind : output_kinds()) {
    json["writes"].push_back(
        {{"to", kind.name}, {"ending", kind.ending}, {"type", kind.type}, {"what", kind.what}});
  }
  json["units"] = {"mm", "in", "in/16", "in/32", "in/64"};
  return json;
}

Result<Reply> catalogue(Context& context, const Request& request) {
  BIGHT_TRY(const base::Done done, only_asked(request, {}));
  static_cast<void>(done);
  static const Result<Json> kJson = catalogue_json();
  if (!kJson.ok()) return kJson.failure();
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  Json json = *kJson;
  json["metals"] = metals_json(*view);
  const std::string body = json.dump();
  const std::string tag = "\"" + records::BlobId::of(body).text().substr(0, 16) + "\"";
  Reply reply = bytes_reply(body, "application/json");
  reply.headers.emplace_back("ETag", tag);
  if (request.header("if-none-match") == tag) {
    reply.status = 304;
    reply.body.clear();
  }
  return reply;
}

Json notes_json(const std::vector<stock::StockNote>& notes) {
  Json list = Json::array();
  for (const stock::StockNote& note : notes) {
    list.push_back(
        {{"warning", note.kind == stock::StockNote::Kind::kWarning}, {"text", note.text}});
  }
  return list;
}

Json size_json(const stock::StockAnswer& answer, const stock::Material& metal) {
  const stock::Section& s = answer.size.section;
  return {{"designation", answer.size.designation},
          {"standard", answer.size.standard},
          {"listed", answer.listed},
          {"round", s.round()},
          {"height_mm", s.height_mm()},
          {"width_mm", s.width_mm()},
          {"wall_mm", s.hollow() ? Json(s.wall_mm()) : Json(nullptr)},
          {"corner_radius_mm", s.corner_radius_mm()},
          {"mass_kg_per_m", s.mass_kg_per_m(metal.density_kg_per_m3)},
          {"material", metal.name},
          {"provenance", stock::words(answer.size.outside_mm.provenance)},
          {"source", answer.size.outside_mm.source},
          {"notes", notes_json(answer.notes)}};
}

// The metal that the mass is given for when none was asked.
std::string usual_metal(const stock::StockSearch& search) {
  for (const stock::StockAnswer& answer : search.matches) {
    const bool copper = answer.size.family == stock::SizeFamily::kCopperInch ||
                        answer.size.family == stock::SizeFamily::kCopperMetric;
    if (!copper) return "S235JRH";
  }
  return search.matches.empty() ? "S235JRH" : "Cu-DHP R220";
}

Result<Reply> stock_sizes(Context& context, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  const std::string query = f.need_text("query");
  const std::optional<std::string> material = f.text("material");
  const std::size_t units = f.choice("units", {"mm", "in"}).value_or(0);
  const long most = f.whole("most").value_or(50);
  if (most < 1 || most > 1000) f.complain("most", "key.value", "1 to 1000 sizes", "");
  if (query.size() > 200) f.complain("query", "key.value", "this is too long", "");
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  BIGHT_TRY(const stock::SizeTables tables, stock::SizeTables::built_in());
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  base::LengthRules rules;
  if (units == 1) rules.default_unit = base::LengthUnit::kInch;
  BIGHT_TRY(const stock::StockSearch search, stock::find_stock(tables, query, rules));
  BIGHT_TRY(const stock::MetalAnswer metal,
            stock::find_metal(*view->metals, material ? *material : usual_metal(search)));
  const auto list_of = [&](const std::vector<stock::StockAnswer>& answers) {
    Json list = Json::array();
    for (const stock::StockAnswer& answer : answers) {
      if (list.size() >= static_cast<std::size_t>(most)) break;
      list.push_back(size_json(answer, metal.metal.material));
    }
    return list;
  };
  return json_reply({{"query", query},
                     {"read_as", search.reading},
                     {"notes", notes_json(search.notes)},
                     {"matches", list_of(search.matches)},
                     {"near", list_of(search.near)},
                     {"total", search.matches.size()}});
}

struct TypedRules {
  base::LengthRules read;
  base::LengthStyle show;
};

Json typed_json(bool angle, double value, const TypedRules& rules) {
  if (angle) {
    base::AngleStyle style;
    style.decimals = 2;
    style.decimal_mark = rules.read.decimal_mark;
    const base::PrintedAngle shown = base::print_angle(base::Angle::degrees(value), style);
    return {{"value", value},
            {"shown", shown.text},
            {"remainder", shown.remainder.deg()},
            {"error", nullptr}};
  }
  const base::PrintedLength shown = base::print_length(value, rules.show);
  return {{"value", value},
          {"shown", shown.text},
          {"remainder", shown.remainder_mm},
          {"error", nullptr}};
}

Json typed_item(exchange::Fields& item, std::size_t index, const TypedRules& rules) {
  const bool angle = item.choice("kind", {"length", "angle"}).value_or(0) == 1;
  const std::optional<std::string> text = item.text("text");
  const std::optional<double> number = item.number("value");
  if (!item.has("kind") || text.has_value() == number.has_value()) {
    item.complain("text", "key.missing", "kind, and one of text and value are needed", "");
  }
  item.no_others();
  if (!item.status().ok()) return nullptr;
  Failure failure;
  if (number) {
    if (std::abs(*number) <= base::kLongestLength_mm) return typed_json(angle, *number, rules);
    failure = {"length.range", "", "this is out of range", ""};
  } else if (angle) {
    const Result<base::Angle> read = base::parse_angle(*text, rules.read.decimal_mark);
    if (read.ok()) return typed_json(true, read->deg(), rules);
    failure = read.failure();
  } else {
    const Result<double> read = base::parse_length_mm(*text, rules.read);
    if (read.ok()) return typed_json(false, *read, rules);
    failure = read.failure();
  }
  failure.where = fmt::format("items[{}]", index);
  return {
      {"value", nullptr}, {"shown", ""}, {"remainder", 0.0}, {"error", complaint_json(failure)}};
}

Result<Reply> typed(Context&, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  TypedRules rules;
  if (f.choice("units", {"mm", "in"}).value_or(0) == 1) {
    rules.read.default_unit = base::LengthUnit::kInch;
  }
  if (f.choice("decimal_mark", {"point", "comma"}).value_or(0) == 1) {
    rules.read.decimal_mark = base::DecimalMark::kComma;
  }
  BIGHT_TRY(rules.show, style_of(f.text("show").value_or(""), rules.read.default_unit));
  rules.show.decimal_mark = rules.read.decimal_mark;
  if (f.count("items") > 2000) f.complain("items", "key.value", "at most 2000 at a time", "");
  if (!f.has("items")) f.complain("items", "key.missing", "the items are missing", "");
  BIGHT_TRY(base::Done done, f.status());
  Json items = Json::array();
  std::vector<exchange::Fields> list = f.tables("items");
  for (std::size_t i = 0; i < list.size(); ++i) {
    items.push_back(typed_item(list[i], i, rules));
    f.adopt(list[i]);
  }
  f.no_others();
  BIGHT_TRY(done, f.status());
  static_cast<void>(done);
  return json_reply({{"items", items}});
}

Reply contract(const Request&) {
  for (const embedded::File& file : embedded::contract_files()) {
    if (file.name == "openapi.yaml") return bytes_reply(std::string(file.text), "application/yaml");
  }
  return failed({"request.route", "openapi.yaml", "it does not travel in this program", ""});
}

}  // namespace

void add_catalogue(Router& router, Context& context) {
  router.add({"GET", "/catalogue", with(context, catalogue)});
  router.add({"POST", "/stock", with(context, stock_sizes)});
  router.add({"POST", "/typed", with(context, typed)});
  router.add({"GET", "/openapi.yaml", contract});
}

}  // namespace bight::service
