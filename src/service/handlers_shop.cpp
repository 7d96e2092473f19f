// Sessions, what shop this is, archives, and complaints about its documents.
#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>

#include "records/archive.h"
#include "service/handlers.h"
#include "stock/metal_words.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;
using SteadyClock = std::chrono::steady_clock;

namespace {

Reply session_reply(const Context& context, const std::optional<std::string>& initials) {
  return json_reply({{"needed", context.sessions.needed()},
                     {"open", !context.sessions.needed() || initials.has_value()},
                     {"initials", initials.value_or("")}});
}

std::string token_of(const Request& request) { return cookie(request.header("cookie"), kCookie); }

Result<Reply> get_session(Context& context, const Request& request) {
  return session_reply(context,
                       context.sessions.initials_of(token_of(request), SteadyClock::now()));
}

Result<Reply> open_session(Context& context, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  const std::string pass = f.need_text("pass");
  const std::string initials = f.text("initials").value_or("");
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  if (!context.sessions.needed()) return session_reply(context, initials);
  BIGHT_TRY(const Sessions::Opened opened,
            context.sessions.open(pass, initials, request.from, SteadyClock::now()));
  Reply reply = session_reply(context, opened.initials);
  reply.headers.emplace_back(
      "Set-Cookie",
      fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict{}; Max-Age={}", kCookie, opened.token,
                  context.secure ? "; Secure" : "", std::chrono::seconds(kSessionLasts).count()));
  return reply;
}

Result<Reply> close_session(Context& context, const Request& request) {
  context.sessions.close(token_of(request));
  Reply reply;
  reply.status = 204;
  reply.headers.emplace_back(
      "Set-Cookie", fmt::format("{}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0", kCookie));
  return reply;
}

Result<Reply> about(Context& context, const Request& request) {
  const bool known =
      !context.sessions.needed() ||
      context.sessions.initials_of(token_of(request), SteadyClock::now()).has_value();
  std::string shop;
  if (known) {
    BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
    shop = view->shop.name;
  }
  return json_reply({{"name", "Bight"},
                     {"version", context.version},
                     {"api", 1},
                     {"shop", shop},
                     {"store", known ? context.store.description() : ""},
                     {"demo", context.demo},
                     {"pass_needed", context.sessions.needed()}});
}

Json bad_json(const ShopView& view) {
  Json list = Json::array();
  for (const BadDocument& bad : view.bad) {
    list.push_back({{"kind", records::kind_name(bad.kind)},
                    {"id", bad.id},
                    {"errors", complaints_json(bad.complaints)}});
  }
  return list;
}

Json die_set_line(const std::string& id, const workshop::DieSet& die) {
  return {{"id", id},
          {"name", die.name},
          {"radius_mm", die.radius_mm},
          {"round", die.groove.round},
          {"height_mm", die.groove.height_mm},
          {"width_mm", die.groove.width_mm}};
}

std::string_view shape_word(stock::SectionKind kind) {
  switch (kind) {
    case stock::SectionKind::kRoundTube:
    case stock::SectionKind::kRoundBar:
      return "round";
    case stock::SectionKind::kRectTube:
    case stock::SectionKind::kRectBar:
      return "rectangle";
    case stock::SectionKind::kAngle:
      return "angle";
    case stock::SectionKind::kChannel:
      return "channel";
  }
  return "round";
}

Json section_line(const stock::Section& section) {
  return {{"shape", shape_word(section.kind())},
          {"height_mm", section.height_mm()},
          {"width_mm", section.width_mm()},
          {"wall_mm", section.hollow() || section.open() ? Json(section.wall_mm()) : Json(nullptr)},
          {"flange_mm", section.kind() == stock::SectionKind::kChannel
                            ? Json(section.flange_thickness_mm())
                            : Json(nullptr)},
          {"corner_radius_mm", section.corner_radius_mm()}};
}

Json rack_line(const std::string& id, const workshop::StockTube& tube) {
  const std::optional<double>& length_mm = tube.length_mm;
  return {{"id", id},
          {"size", tube.size},
          {"designation", tube.designation},
          {"material", tube.material},
          {"heat", tube.heat},
          {"place", tube.place},
          {"length_mm", length_mm ? Json(*length_mm) : Json(nullptr)},
          {"pieces", tube.pieces.value_or(1)},
          {"section", tube.section ? section_line(*tube.section) : Json(nullptr)}};
}

Result<Reply> summary(Context& context, const Request& request) {
  BIGHT_TRY(base::Done done, only_asked(request, {}));
  static_cast<void>(done);
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  Json counts = Json::object();
  for (int i = 0; i < records::kNumKinds; ++i) {
    const auto kind = static_cast<records::Kind>(i);
    std::int64_t total = 0;
    if (kind == records::Kind::kPart) {
      BIGHT_TRY(const records::PartList parts, context.store.find_parts({"", false, 0, 0}));
      total = parts.total;
    } else {
      BIGHT_TRY(const records::RecordList list,
                context.store.list({kind, std::nullopt, false, 0, 0}));
      total = list.total;
    }
    counts[std::string(records::kind_name(kind))] = total;
  }
  Json benders = Json::array();
  for (std::size_t i = 0; i < view->shop.benders.size(); ++i) {
    const workshop::Bender& bender = view->shop.benders[i];
    benders.push_back({{"id", view->bender_ids[i]},
                       {"name", bender.name},
                       {"kind", workshop::word(bender.kind)}});
  }
  Json die_sets = Json::array();
  for (std::size_t i = 0; i < view->shop.die_sets.size(); ++i) {
    die_sets.push_back(die_set_line(view->die_set_ids[i], view->shop.die_sets[i]));
  }
  Json rack = Json::array();
  for (std::size_t i = 0; i < view->shop.stock.size(); ++i) {
    rack.push_back(rack_line(view->stock_ids[i], view->shop.stock[i]));
  }
  BIGHT_TRY(const std::int64_t change, context.store.latest_change());
  return json_reply({{"name", view->shop.name},
                     {"store", context.store.description()},
                     {"change", change},
                     {"counts", counts},
                     {"groove_slack_mm", view->shop.groove_slack_mm},
                     {"benders", benders},
                     {"die_sets", die_sets},
                     {"rack", rack},
                     {"trials", view->shop.trials.size()},
                     {"errors", bad_json(*view)}});
}

Result<Reply> get_archive(Context& context, const Request& request) {
  BIGHT_TRY(base::Done done, only_asked(request, {"part"}));
  static_cast<void>(done);
  records::Scope scope;
  if (const auto part = request.asked("part")) {
    BIGHT_TRY(scope.part, records::RecordId::parse(*part));
  }
  BIGHT_TRY(std::string bytes, records::archive_bytes(context.store, scope));
  Reply reply = bytes_reply(std::move(bytes), "application/zip");
  reply.headers.emplace_back("Content-Disposition", "attachment; filename=\"bight-shop.zip\"");
  return reply;
}

// Files of a form are small; what grows beyond this when unpacked is no shop.
constexpr std::uint64_t kMostUnpacked_bytes = std::uint64_t{1} << 30U;

Result<Reply> take_archive(Context& context, const Request& request) {
  BIGHT_TRY(base::Done done, only_asked(request, {"taking"}));
  static_cast<void>(done);
  BIGHT_TRY(const std::string word, asked_word(request, "taking", {"look", "all", "rest"}));
  const records::Taking taking = word == "all"    ? records::Taking::kAllOrNothing
                                 : word == "rest" ? records::Taking::kTakeRest
                                                  : records::Taking::kLook;
  records::ArchiveLimits limits;
  limits.bytes_max = kMostUnpacked_bytes;
  BIGHT_TRY(const records::TakingReport report,
            records::read_archive_bytes(context.store, request.body, taking, limits));
  Json differences = Json::array();
  for (const records::Difference& d : report.differences) {
    differences.push_back({{"kind", records::kind_name(d.kind)},
                           {"id", d.id.text()},
                           {"first_revision", d.first_revision},
                           {"present_revision", d.present_revision},
                           {"brought_revision", d.brought_revision}});
  }
  return json_reply({{"added", report.added},
                     {"continued", report.continued},
                     {"same", report.same},
                     {"blobs", report.blobs},
                     {"written", report.written},
                     {"differences", differences}});
}

std::string text_of(const Json& document, const char* key) {
  const auto found = document.find(key);
  return found != document.end() && found->is_string() ? found->get<std::string>() : "";
}

// A bender or die set of the shop, other than the one with this id, that bears the name.
template <class Item>
std::vector<Failure> same_name(const std::vector<Item>& items, const std::vector<std::string>& ids,
                               const std::string& name, const std::string& id) {
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (ids[i] == id || name.empty() || items[i].name != name) continue;
    return {{"shop.name-twice", "name",
             fmt::format("the name \"{}\" stands on the shelf already", name),
             "give each its own name"}};
  }
  return {};
}

// The own metal other than the one with this id that is called so, by name or by another name.
std::optional<std::string> metal_called(const ShopView& view, const std::string& name,
                                        const std::string& id) {
  const std::string wanted = stock::squeezed(name);
  for (std::size_t i = 0; i < view.shop.materials.size() && !wanted.empty(); ++i) {
    const stock::OwnMetal& other = view.shop.materials[i];
    bool called = stock::squeezed(other.name) == wanted;
    for (const std::string& alias : other.aliases) called |= stock::squeezed(alias) == wanted;
    if (called && view.material_ids[i] != id) return other.name;
  }
  return std::nullopt;
}

std::vector<Failure> same_metal(const ShopView& view, const Json& document, const std::string& id) {
  std::vector<Failure> failures;
  const auto look = [&](const char* key, const std::string& name) {
    const std::optional<std::string> other = metal_called(view, name, id);
    if (!other) return;
    failures.push_back(
        {"shop.name-twice", key,
         fmt::format("\"{}\" is what the shop's material \"{}\" is called", name, *other),
         "give each its own name and other names"});
  };
  look("name", text_of(document, "name"));
  const auto aliases = document.find("aliases");
  if (aliases == document.end() || !aliases->is_array()) return failures;
  for (const Json& alias : *aliases) {
    if (alias.is_string()) look("aliases", alias.get<std::string>());
  }
  return failures;
}

// What is wrong with a document only because of what else stands on its shelf.
std::vector<Failure> twins_of(const ShopView& view, records::Kind kind, const Json& document,
                              const std::string& id) {
  if (!document.is_object()) return {};
  const std::string name = text_of(document, "name");
  switch (kind) {
    case records::Kind::kBender:
      return same_name(view.shop.benders, view.bender_ids, name, id);
    case records::Kind::kDieSet:
      return same_name(view.shop.die_sets, view.die_set_ids, name, id);
    case records::Kind::kMaterial:
      return same_metal(view, document, id);
    default:
      return {};
  }
}

Result<Reply> check_document(Context& context, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  constexpr std::array kKinds = {records::Kind::kPart,   records::Kind::kBender,
                                 records::Kind::kDieSet, records::Kind::kTrial,
                                 records::Kind::kHouse,  records::Kind::kMaterial,
                                 records::Kind::kTube};
  const std::optional<std::size_t> kind =
      f.choice("kind", {"part", "bender", "die_set", "trial", "house", "material", "tube"});
  if (!kind && f.status().ok()) {
    f.complain("kind", "key.missing", "the kind is missing",
               "part, bender, die_set, trial, house, material, tube");
  }
  if (!f.has("document")) {
    f.complain("document", "key.missing", "the document is missing", "send an object");
  }
  const std::string id = f.text("id").value_or("");
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  const Json& document = body.value.at("document");
  std::vector<Failure> failures = complaints_of(kKinds[*kind], document, view->metals);
  for (Failure& twin : twins_of(*view, kKinds[*kind], document, id)) {
    failures.push_back(std::move(twin));
  }
  return json_reply({{"errors", complaints_json(failures)}});
}

}  // namespace

void add_session(Router& router, Context& context) {
  Route get{"GET", "/session", with(context, get_session)};
  Route post{"POST", "/session", with(context, open_session), 4096};
  Route end{"DELETE", "/session", with(context, close_session), 4096};
  for (Route* route : {&get, &post, &end}) {
    route->open = true;
    router.add(std::move(*route));
  }
}

void add_shop(Router& router, Context& context) {
  Route open{"GET", "/about", with(context, about)};
  open.open = true;
  router.add(std::move(open));
  router.add({"GET", "/shop/summary", with(context, summary)});
  router.add({"GET", "/archive", with(context, get_archive)});
  router.add({"POST", "/archive", with(context, take_archive), kLargestBody_bytes});
  router.add({"POST", "/documents/check", with(context, check_document)});
}

}  // namespace bight::service
