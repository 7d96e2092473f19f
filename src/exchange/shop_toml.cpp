#include "exchange/shop_toml.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "exchange/fields.h"
#include "exchange/shop_bodies.h"
#include "exchange/text_file.h"
#include "stock/catalogue.h"
#include "stock/metal_words.h"
#include "stock/metals.h"

namespace bight::exchange {

using base::Angle;
using workshop::Bender;
using workshop::BenderKind;
using workshop::DieSet;
using workshop::Shop;
using workshop::TrialBend;

namespace {

constexpr double kPerGpa_mpa = 1e3;
constexpr long kHighestLevel = 20;
constexpr long kMostInRack = 10'000;

// Complains unless the value is above zero.
double above_zero(Fields& fields, std::string_view key, double value) {
  if (value <= 0.0 && fields.status().ok()) {
    fields.complain(key, "shop.value", "this must be more than zero", "");
  }
  return value;
}

Bender bender_of(Fields& f) {
  Bender b;
  b.name = f.need_text("name");
  b.kind = static_cast<BenderKind>(
      f.choice("kind", {"hand-placed", "carriage-fed", "hand-lever", "three-roll"}).value_or(0));
  b.od_max_mm = above_zero(f, "size_max", f.need_length_mm("size_max"));
  b.wall_max_mm = f.length_mm("wall_max");
  if (const auto cm3 = f.number("section_modulus_max_cm3")) {
    b.section_modulus_max_mm3 = *cm3 * 1e3;
  }
  b.die_radius_max_mm = above_zero(f, "die_radius_max", f.need_length_mm("die_radius_max"));
  if (const auto nm = f.number("torque_max_nm")) b.torque_max_nmm = *nm * 1e3;
  b.power_w = f.number("power_w");
  b.speed_min_rpm = f.number("speed_min_rpm");
  b.speed_max_rpm = f.number("speed_max_rpm");
  b.angle_max = f.angle("angle_max").value_or(Angle::degrees(180));
  b.direction = static_cast<workshop::TurnDirection>(
      f.choice("direction", {"clockwise", "counter-clockwise"}).value_or(0));
  b.degree_wheel = f.flag("degree_wheel").value_or(true);
  b.wheel_counts_backwards = f.flag("wheel_counts_backwards").value_or(false);
  b.wheel_zero = f.angle("wheel_zero").value_or(Angle());
  b.rotation_sign_flipped = f.flag("rotation_sign_flipped").value_or(false);
  b.angle_step = f.angle("angle_step").value_or(b.angle_step);
  b.grip_mm = f.length_mm("grip");
  b.travel_mm = f.length_mm("travel");
  b.feed_min_mm = f.length_mm("feed_min");
  b.around = surroundings_of(f);
  b.note = f.text("note").value_or("");
  return b;
}

DieSet die_set_of(Fields& f) {
  DieSet d;
  d.name = f.need_text("name");
  d.radius_mm = above_zero(f, "radius", f.need_length_mm("radius"));
  if (f.has("groove_height") || f.has("groove_width")) {
    d.groove.round = false;
    d.groove.height_mm = above_zero(f, "groove_height", f.need_length_mm("groove_height"));
    d.groove.width_mm = above_zero(f, "groove_width", f.need_length_mm("groove_width"));
  } else {
    d.groove.height_mm = above_zero(f, "groove", f.need_length_mm("groove"));
    d.groove.width_mm = d.groove.height_mm;
  }
  d.clamp_mm = above_zero(f, "clamp", f.need_length_mm("clamp"));
  d.pressure_die_mm = f.length_mm("pressure_die").value_or(0.0);
  d.tail_mm = f.length_mm("tail");
  d.mark_offset_mm = f.length_mm("mark_offset");
  d.angle_max = f.angle("angle_max");
  const long level = f.whole("level").value_or(1);
  if (level < 1 || level > kHighestLevel) {
    f.complain("level", "shop.value", "no stack of dies has this level",
               fmt::format("1 for the lowest, up to {}", kHighestLevel));
  }
  d.level = static_cast<int>(std::clamp(level, 1L, kHighestLevel));
  d.mandrel = f.flag("mandrel").value_or(false);
  d.wiper = f.flag("wiper").value_or(false);
  d.benders = f.texts("benders").value_or(std::vector<std::string>{});
  d.note = f.text("note").value_or("");
  return d;
}

// The catalogue's own name for a metal, so that trials and parts that write it differently meet.
std::string catalogue_name(Fields& f) {
  const std::string typed = f.need_text("material");
  if (typed.empty()) return typed;
  base::Result<stock::MetalAnswer> answer = f.find_metal(typed);
  if (answer.ok()) return answer->metal.material.name;
  const base::Failure& why = answer.failure();
  f.complain("material", why.code, why.message, why.remedy);
  return typed;
}

TrialBend trial_of(Fields& f) {
  TrialBend t;
  t.die = f.need_text("die");
  t.bender = f.text("bender").value_or("");
  t.od_mm = above_zero(f, "od", f.need_length_mm("od"));
  t.wall_mm = above_zero(f, "wall", f.need_length_mm("wall"));
  // Half the size is solid bar; a little more is rounding.
  if (t.wall_mm > 0.5001 * t.od_mm && f.status().ok()) {
    f.complain("wall", "shop.value", "the wall is more than half of od",
               "the wall of the tube; half of od for solid bar");
  }
  t.material = catalogue_name(f);
  t.heat = f.text("heat").value_or("");
  t.set_angle = f.need_angle("set");
  t.finished_angle = f.need_angle("finished");
  t.blank_mm = f.length_mm("blank");
  t.leg_a_outside_mm = f.length_mm("leg_a_outside");
  t.leg_b_outside_mm = f.length_mm("leg_b_outside");
  t.mark_mm = f.length_mm("mark");
  t.radius_after_mm = f.length_mm("radius_after");
  t.date = f.text("date").value_or("");
  t.who = f.text("who").value_or("");
  return t;
}

workshop::StockTube stock_tube_of(Fields& f) {
  workshop::StockTube t;
  t.size = f.need_text("size");
  t.material = catalogue_name(f);
  t.heat = f.text("heat").value_or("");
  t.length_mm = f.length_mm("length");
  t.pieces = f.whole("pieces");
  t.place = f.text("place").value_or("");
  t.note = f.text("note").value_or("");
  if (t.length_mm) above_zero(f, "length", *t.length_mm);
  if (t.pieces && (*t.pieces < 0 || *t.pieces > kMostInRack)) {
    f.complain("pieces", "shop.value", "pieces in the rack are 0 to 10000", "how many lie there");
  }
  if (t.size.empty()) return t;
  const base::Result<stock::SizeTables> tables = stock::SizeTables::built_in();
  if (!tables.ok()) return t;
  const base::Result<stock::StockAnswer> size = stock::choose_stock(*tables, t.size, f.lengths());
  if (size.ok()) {
    t.section = size->size.section;
    t.designation = size->size.designation;
    return t;
  }
  f.complain("size", size.failure().code, size.failure().message, size.failure().remedy);
  return t;
}

stock::OwnMetal material_of(Fields& f) {
  stock::OwnMetal m;
  m.name = f.need_text("name");
  m.like = f.text("like").value_or("");
  m.aliases = f.texts("aliases").value_or(std::vector<std::string>{});
  m.family = f.text("family").value_or("");
  m.spec = f.text("spec").value_or("");
  m.condition = f.text("condition").value_or("");
  const auto said = [&](const char* from, const char* source) {
    return stock::SaidBy{
        static_cast<stock::Origin>(f.choice(from, stock::origin_words())
                                       .value_or(static_cast<std::size_t>(stock::Origin::kGuess))),
        f.text(source).value_or("")};
  };
  m.yield_mpa = f.stress_mpa("rp02");
  m.tensile_mpa = f.stress_mpa("rm");
  if (const auto percent = f.number("elongation_pct")) m.elongation_ratio = *percent / 100.0;
  m.strengths = said("strengths_from", "strengths_source");
  m.youngs_mpa = f.stress_mpa("youngs", kPerGpa_mpa);
  m.density_kg_per_m3 = f.number("density_kg_per_m3");
  m.poisson_ratio = f.number("poisson");
  m.stiffness = said("stiffness_from", "stiffness_source");
  m.strength_mpa = f.stress_mpa("k");
  m.exponent_ratio = f.number("n");
  m.flow = said("flow_from", "flow_source");
  m.note = f.text("note").value_or("");
  if (!f.status().ok()) return m;
  const base::Result<stock::Metals> catalogue = stock::Metals::built_in();
  if (!catalogue.ok()) return m;
  for (const base::Failure& fault : stock::faults_of(m, *catalogue)) {
    f.complain(fault.where, fault.code, fault.message, fault.remedy);
  }
  return m;
}

constexpr const char* kSchemaCode = "shop.schema";

// One entity from its fields, all of which must be known.
template <typename ReadOne>
auto read_all(Fields& f, ReadOne read_one) {
  auto item = read_one(f);
  f.no_others();
  return item;
}

// One entity that is a document of its own.
template <typename ReadOne>
auto read_entity(const Document& document, ReadOne read_one)
    -> base::Result<decltype(read_one(std::declval<Fields&>()))> {
  Fields f(document);
  BIGHT_TRY(const base::Done rules_read, read_rules(f, kSchemaCode));
  static_cast<void>(rules_read);
  auto item = read_all(f, read_one);
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  return item;
}

// Every [[list]] entry of one file.
template <typename Item, typename ReadOne>
base::Result<std::vector<Item>> read_list(const std::string& text, const std::string& file,
                                          const char* list_key, ReadOne read_one,
                                          KnownMetals metals = nullptr) {
  std::vector<Item> items;
  if (text.empty()) return items;
  BIGHT_TRY(Document document, parse_toml(text, file));
  document.metals = std::move(metals);
  Fields top(document);
  BIGHT_TRY(const base::Done rules_read, read_rules(top, kSchemaCode));
  static_cast<void>(rules_read);
  for (Fields& fields : top.tables(list_key)) {
    items.push_back(read_all(fields, read_one));
    top.adopt(fields);
  }
  top.no_others();
  BIGHT_TRY(const base::Done done, top.status());
  static_cast<void>(done);
  return items;
}

// Every entity of a list of documents. What is wrong is said with the document's name, which key
// paths alone do not tell.
template <typename Item, typename ReadOne>
base::Result<std::vector<Item>> read_each(const std::vector<Document>& documents,
                                          ReadOne read_one) {
  std::vector<Item> items;
  for (const Document& document : documents) {
    base::Result<Item> item = read_entity(document, read_one);
    if (!item.ok()) {
      base::Failure failure = item.failure();
      if (document.lines.empty()) failure.where = document.name + ": " + failure.where;
      return failure;
    }
    items.push_back(std::move(item).value());
  }
  return items;
}

template <typename Item>
base::Status names_differ(const std::vector<Item>& items, const std::string& file) {
  std::set<std::string> seen;
  for (const Item& item : items) {
    if (!seen.insert(item.name).second) {
      return base::Failure{"shop.name-twice", file,
                           fmt::format("the name \"{}\" stands twice", item.name),
                           "give each its own name"};
    }
  }
  return base::Done{};
}

base::Status names_differ(const Shop& shop, const std::string& benders_in,
                          const std::string& die_sets_in) {
  BIGHT_TRY(base::Done benders_differ, names_differ(shop.benders, benders_in));
  static_cast<void>(benders_differ);
  return names_differ(shop.die_sets, die_sets_in);
}

base::Result<Shop> read_shop_names(const Document& document) {
  Fields top(document);
  BIGHT_TRY(const base::Done rules_read, read_rules(top, kSchemaCode));
  static_cast<void>(rules_read);
  Shop shop;
  shop.name = top.need_text("name");
  shop.groove_slack_mm = top.length_mm("groove_slack").value_or(shop.groove_slack_mm);
  top.no_others();
  BIGHT_TRY(const base::Done done, top.status());
  static_cast<void>(done);
  return shop;
}

}  // namespace

base::Result<Bender> read_bender(const Document& document) {
  return read_entity(document, bender_of);
}

base::Result<DieSet> read_die_set(const Document& document) {
  return read_entity(document, die_set_of);
}

base::Result<TrialBend> read_trial(const Document& document) {
  return read_entity(document, trial_of);
}

base::Result<workshop::StockTube> read_stock_tube(const Document& document) {
  return read_entity(document, stock_tube_of);
}

base::Result<stock::OwnMetal> read_material(const Document& document) {
  return read_entity(document, material_of);
}

base::Result<KnownMetals> metals_with(const std::vector<stock::OwnMetal>& materials) {
  BIGHT_TRY(const stock::Metals catalogue, stock::Metals::built_in());
  std::vector<stock::Metal> own;
  std::set<std::string> seen;
  for (const stock::OwnMetal& material : materials) {
    base::Result<stock::Metal> metal = stock::metal_of(material, catalogue);
    if (!metal.ok()) {
      base::Failure failure = metal.failure();
      failure.where = material.name + ": " + failure.where;
      return failure;
    }
    std::set<std::string> names = {stock::squeezed(material.name)};
    for (const std::string& alias : material.aliases) names.insert(stock::squeezed(alias));
    for (const std::string& name : names) {
      if (seen.insert(name).second) continue;
      return base::Failure{"shop.name-twice", material.name,
                           fmt::format("another material is called as \"{}\" is", material.name),
                           "give each its own name and other names"};
    }
    own.push_back(std::move(metal).value());
  }
  return std::make_shared<const stock::Metals>(catalogue.with(own));
}

base::Result<Shop> read_shop(const ShopDocuments& documents) {
  BIGHT_TRY(Shop shop, read_shop_names(documents.shop));
  BIGHT_TRY(shop.benders, read_each<Bender>(documents.benders, bender_of));
  BIGHT_TRY(shop.die_sets, read_each<DieSet>(documents.die_sets, die_set_of));
  BIGHT_TRY(shop.materials, read_each<stock::OwnMetal>(documents.materials, material_of));
  BIGHT_TRY(const KnownMetals metals, metals_with(shop.materials));
  std::vector<Document> trials = documents.trials;
  for (Document& trial : trials) trial.metals = metals;
  BIGHT_TRY(shop.trials, read_each<TrialBend>(trials, trial_of));
  BIGHT_TRY(const base::Done done, names_differ(shop, "the benders", "the die sets"));
  static_cast<void>(done);
  return shop;
}

base::Result<Shop> read_shop(const ShopTexts& texts, const std::string& folder) {
  const auto in_folder = [&](const char* name) { return folder + "/" + name; };
  BIGHT_TRY(const Document document, parse_toml(texts.shop, in_folder("shop.toml")));
  BIGHT_TRY(Shop shop, read_shop_names(document));
  BIGHT_TRY(shop.benders,
            read_list<Bender>(texts.benders, in_folder("benders.toml"), "bender", bender_of));
  BIGHT_TRY(shop.die_sets,
            read_list<DieSet>(texts.die_sets, in_folder("die_sets.toml"), "die_set", die_set_of));
  BIGHT_TRY(shop.materials, read_list<stock::OwnMetal>(texts.materials, in_folder("materials.toml"),
                                                       "material", material_of));
  base::Result<KnownMetals> metals = metals_with(shop.materials);
  if (!metals.ok()) {
    base::Failure failure = metals.failure();
    failure.where = in_folder("materials.toml") + ": " + failure.where;
    return failure;
  }
  BIGHT_TRY(shop.stock, read_list<workshop::StockTube>(texts.stock, in_folder("stock.toml"), "tube",
                                                       stock_tube_of, *metals));
  BIGHT_TRY(shop.trials, read_list<TrialBend>(texts.trials, in_folder("trials.toml"), "trial",
                                              trial_of, *std::move(metals)));
  BIGHT_TRY(const base::Done done,
            names_differ(shop, in_folder("benders.toml"), in_folder("die_sets.toml")));
  static_cast<void>(done);
  return shop;
}

base::Result<Shop> read_shop_folder(const std::string& folder) {
  ShopTexts texts;
  BIGHT_TRY(texts.shop, read_text_file(folder + "/shop.toml"));
  const auto optional_file = [&](const char* name, std::string& into) -> base::Status {
    const std::string path = folder + "/" + name;
    if (!std::filesystem::exists(path)) return base::Done{};
    BIGHT_TRY(into, read_text_file(path));
    return base::Done{};
  };
  for (const auto& [name, into] :
       {std::pair<const char*, std::string*>{"benders.toml", &texts.benders},
        {"die_sets.toml", &texts.die_sets},
        {"trials.toml", &texts.trials},
        {"materials.toml", &texts.materials},
        {"stock.toml", &texts.stock}}) {
    BIGHT_TRY(const base::Done done, optional_file(name, *into));
    static_cast<void>(done);
  }
  BIGHT_TRY(Shop shop, read_shop(texts, folder));
  BIGHT_TRY(const base::Done done, read_meshes(shop, folder));
  static_cast<void>(done);
  return shop;
}

}  // namespace bight::exchange
