#include "exchange/shop_toml.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "exchange/toml_fields.h"
#include "stock/metals.h"

namespace bight::exchange {

using base::Angle;
using workshop::Bender;
using workshop::BenderKind;
using workshop::DieSet;
using workshop::Shop;
using workshop::TrialBend;

namespace {

// Complains unless the value is above zero.
double above_zero(TomlFields& fields, std::string_view key, double value) {
  if (value <= 0.0 && fields.status().ok()) {
    fields.complain(key, "shop.value", "this must be more than zero", "");
  }
  return value;
}

Bender read_bender(TomlFields& f) {
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
  b.note = f.text("note").value_or("");
  return b;
}

DieSet read_die_set(TomlFields& f) {
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
  d.level = static_cast<int>(std::clamp(f.whole("level").value_or(1), 1L, 20L));
  d.mandrel = f.flag("mandrel").value_or(false);
  d.wiper = f.flag("wiper").value_or(false);
  d.benders = f.texts("benders").value_or(std::vector<std::string>{});
  d.note = f.text("note").value_or("");
  return d;
}

// The catalogue's own name for a metal, so that trials and parts that write it differently meet.
std::string catalogue_name(TomlFields& f, const stock::Metals& metals) {
  const std::string typed = f.need_text("material");
  if (typed.empty()) return typed;
  base::Result<stock::MetalAnswer> answer = stock::find_metal(metals, typed);
  if (answer.ok()) return answer->metal.material.name;
  const base::Failure& why = answer.failure();
  f.complain("material", why.code, why.message, why.remedy);
  return typed;
}

TrialBend read_trial(TomlFields& f, const stock::Metals& metals) {
  TrialBend t;
  t.die = f.need_text("die");
  t.bender = f.text("bender").value_or("");
  t.od_mm = above_zero(f, "od", f.need_length_mm("od"));
  t.wall_mm = above_zero(f, "wall", f.need_length_mm("wall"));
  t.material = catalogue_name(f, metals);
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

// Units of one file, from its own header.
base::Result<TomlContext> context_of(const toml::table& table, const std::string& file) {
  TomlContext context{file, {}};
  TomlFields header(table, context, "");
  if (header.choice("units", {"mm", "in"}).value_or(0) == 1) {
    context.lengths.default_unit = base::LengthUnit::kInch;
  }
  BIGHT_TRY(const base::Done done, header.status());
  static_cast<void>(done);
  return context;
}

// Reads every [[list]] entry of one file with read_one.
template <typename Item, typename ReadOne>
base::Result<std::vector<Item>> read_list(const std::string& text, const std::string& file,
                                          const char* list_key, ReadOne read_one) {
  std::vector<Item> items;
  if (text.empty()) return items;
  BIGHT_TRY(const toml::table table, parse_toml(text, file));
  BIGHT_TRY(const TomlContext context, context_of(table, file));
  TomlFields top(table, context, "");
  top.has("units");
  top.whole("schema");
  const toml::array* list = top.tables(list_key);
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    TomlFields fields(*(*list)[i].as_table(), context, fmt::format("{}[{}]", list_key, i + 1));
    items.push_back(read_one(fields));
    fields.no_others();
    top.adopt(fields);
  }
  top.no_others();
  BIGHT_TRY(const base::Done done, top.status());
  static_cast<void>(done);
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

}  // namespace

base::Result<Shop> read_shop(const ShopTexts& texts, const std::string& folder) {
  const auto in_folder = [&](const char* name) { return folder + "/" + name; };
  BIGHT_TRY(const toml::table table, parse_toml(texts.shop, in_folder("shop.toml")));
  BIGHT_TRY(const TomlContext context, context_of(table, in_folder("shop.toml")));
  Shop shop;
  TomlFields top(table, context, "");
  top.has("units");
  top.whole("schema");
  shop.name = top.need_text("name");
  shop.groove_slack_mm = top.length_mm("groove_slack").value_or(shop.groove_slack_mm);
  top.no_others();
  BIGHT_TRY(base::Done done, top.status());
  static_cast<void>(done);
  BIGHT_TRY(shop.benders,
            read_list<Bender>(texts.benders, in_folder("benders.toml"), "bender", read_bender));
  BIGHT_TRY(shop.die_sets,
            read_list<DieSet>(texts.die_sets, in_folder("die_sets.toml"), "die_set", read_die_set));
  BIGHT_TRY(const stock::Metals metals, stock::Metals::built_in());
  const auto read_one_trial = [&](TomlFields& f) { return read_trial(f, metals); };
  BIGHT_TRY(shop.trials,
            read_list<TrialBend>(texts.trials, in_folder("trials.toml"), "trial", read_one_trial));
  BIGHT_TRY(base::Done benders_differ, names_differ(shop.benders, in_folder("benders.toml")));
  BIGHT_TRY(base::Done dies_differ, names_differ(shop.die_sets, in_folder("die_sets.toml")));
  static_cast<void>(benders_differ);
  static_cast<void>(dies_differ);
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
        {"trials.toml", &texts.trials}}) {
    BIGHT_TRY(const base::Done done, optional_file(name, *into));
    static_cast<void>(done);
  }
  return read_shop(texts, folder);
}

}  // namespace bight::exchange
