#include "exchange/shop_write.h"

#include <cmath>
#include <optional>
#include <span>
#include <string>

#include "exchange/exact_text.h"
#include "exchange/exact_value.h"
#include "exchange/shop_bodies.h"

namespace bight::exchange {

using base::Angle;
using base::LengthUnit;
using nlohmann::ordered_json;

namespace {

// Collects the keys of one document, leaving out what is absent or at its default.
class Keys {
 public:
  explicit Keys(LengthUnit unit) : unit_(unit) {
    if (unit == LengthUnit::kInch) out_["units"] = "in";
  }
  // Of a table within a document.
  static Keys below(LengthUnit unit) {
    Keys keys(unit);
    keys.out_ = ordered_json::object();
    return keys;
  }

  void text(const char* key, const std::string& value) {
    if (!value.empty()) out_[key] = value;
  }
  void length(const char* key, const std::optional<double>& length_mm) {
    if (length_mm) out_[key] = length_value(*length_mm, unit_);
  }
  void number(const char* key, const std::optional<double>& value) {
    if (value) out_[key] = number_value(*value);
  }
  // A number that is kept `factor` times as large, exactly where some number gives it.
  void scaled(const char* key, const std::optional<double>& value, double factor) {
    if (value) out_[key] = number_value(exact_quotient(*value, factor));
  }
  // A number that is kept divided by `factor`: a round one where it reads back the same.
  void multiplied(const char* key, const std::optional<double>& value, double factor) {
    if (!value) return;
    const double exact = *value * factor;
    const double round = std::round(exact * 1e9) / 1e9;
    out_[key] = number_value(round / factor == *value ? round : exact);
  }
  void angle(const char* key, const std::optional<Angle>& value) {
    if (value) out_[key] = number_value(exact_deg(*value));
  }
  void lengths(const char* key, std::span<const double> lengths_mm) {
    ordered_json& list = out_[key] = ordered_json::array();
    for (const double length_mm : lengths_mm) list.push_back(length_value(length_mm, unit_));
  }
  void flag(const char* key, bool value, bool usual) {
    if (value != usual) out_[key] = value;
  }
  ordered_json& operator[](const char* key) { return out_[key]; }
  ordered_json take() { return std::move(out_); }

 private:
  LengthUnit unit_;
  ordered_json out_ = ordered_json::object();
};

std::optional<Angle> unless(Angle value, Angle usual) {
  return value == usual ? std::nullopt : std::optional(value);
}

void put_shape(Keys& keys, LengthUnit, const workshop::BoxShape& box) {
  keys.lengths("box", {box.size_mm.data(), 3});
}
void put_shape(Keys& keys, LengthUnit unit, const workshop::CylinderShape& cylinder) {
  Keys below = Keys::below(unit);
  below.length("diameter", 2.0 * cylinder.radius_mm);
  below.length("length", cylinder.length_mm);
  keys["cylinder"] = below.take();
}
void put_shape(Keys& keys, LengthUnit unit, const workshop::OutlineShape& shape) {
  ordered_json& rows = keys["outline"] = ordered_json::array();
  for (const Eigen::Vector2d& corner : shape.outline_mm) {
    rows.push_back({length_value(corner.x(), unit), length_value(corner.y(), unit)});
  }
  keys.length("height", shape.height_mm);
}
void put_shape(Keys& keys, LengthUnit, const workshop::MeshShape& mesh) {
  keys["mesh"] = {{"file", mesh.file}, {"unit", std::string(mesh_unit_word(mesh.unit_mm))}};
}

ordered_json body_table(const workshop::Body& body, LengthUnit unit) {
  Keys keys = Keys::below(unit);
  keys["name"] = body.name;
  keys["on"] = std::string(word(body.on));
  std::visit([&](const auto& shape) { put_shape(keys, unit, shape); }, body.shape);
  if (!body.at_mm.isZero(0.0)) keys.lengths("at", {body.at_mm.data(), 3});
  if (body.turned != workshop::Body{}.turned) {
    ordered_json& list = keys["turned"] = ordered_json::array();
    for (const Angle angle : body.turned) list.push_back(number_value(exact_deg(angle)));
  }
  keys.flag("keep_out", body.keep_out, false);
  return keys.take();
}

ordered_json room_table(const workshop::Room& room, LengthUnit unit) {
  Keys keys = Keys::below(unit);
  keys.length("floor", room.floor_mm);
  keys.length("ceiling", room.ceiling_mm);
  for (const workshop::Wall& wall : room.walls) {
    Keys below = Keys::below(unit);
    below["name"] = wall.name;
    below["direction"] = number_value(exact_deg(wall.direction));
    below.length("distance", wall.distance_mm);
    keys["wall"].push_back(below.take());
  }
  return keys.take();
}

void put_surroundings(Keys& keys, const workshop::Surroundings& around) {
  const workshop::Surroundings usual;
  const auto unless_usual = [&](const char* key, double value_mm, double usual_mm) {
    if (value_mm != usual_mm) keys.length(key, value_mm);
  };
  if (!around.levels_mm.empty()) keys.lengths("levels", around.levels_mm);
  unless_usual("clamp_opens", around.clamp_opens_mm, usual.clamp_opens_mm);
  unless_usual("pressure_die_opens", around.pressure_die_opens_mm, usual.pressure_die_opens_mm);
  keys.flag("pressure_die_follows", around.pressure_die_follows, usual.pressure_die_follows);
  keys.length("mandrel_rod", around.mandrel_rod_mm);
  unless_usual("lift", around.lift_mm, usual.lift_mm);
}

void put_room_and_bodies(Keys& keys, const workshop::Surroundings& around, LengthUnit unit) {
  ordered_json room = room_table(around.room, unit);
  if (!room.empty()) keys["room"] = std::move(room);
  for (const workshop::Body& body : around.bodies) keys["body"].push_back(body_table(body, unit));
}

}  // namespace

ordered_json bender_document(const workshop::Bender& bender, LengthUnit unit) {
  const workshop::Bender usual;
  Keys keys(unit);
  keys["name"] = bender.name;
  keys["kind"] = std::string(word(bender.kind));
  keys.length("size_max", bender.od_max_mm);
  keys.length("wall_max", bender.wall_max_mm);
  keys.scaled("section_modulus_max_cm3", bender.section_modulus_max_mm3, 1e3);
  keys.length("die_radius_max", bender.die_radius_max_mm);
  keys.scaled("torque_max_nm", bender.torque_max_nmm, 1e3);
  keys.number("power_w", bender.power_w);
  keys.number("speed_min_rpm", bender.speed_min_rpm);
  keys.number("speed_max_rpm", bender.speed_max_rpm);
  keys.angle("angle_max", unless(bender.angle_max, usual.angle_max));
  if (bender.direction != usual.direction) keys["direction"] = "counter-clockwise";
  keys.flag("degree_wheel", bender.degree_wheel, usual.degree_wheel);
  keys.flag("wheel_counts_backwards", bender.wheel_counts_backwards, usual.wheel_counts_backwards);
  keys.angle("wheel_zero", unless(bender.wheel_zero, usual.wheel_zero));
  keys.flag("rotation_sign_flipped", bender.rotation_sign_flipped, usual.rotation_sign_flipped);
  keys.angle("angle_step", unless(bender.angle_step, usual.angle_step));
  keys.length("grip", bender.grip_mm);
  keys.length("travel", bender.travel_mm);
  keys.length("feed_min", bender.feed_min_mm);
  put_surroundings(keys, bender.around);
  keys.text("note", bender.note);
  put_room_and_bodies(keys, bender.around, unit);
  return keys.take();
}

ordered_json die_set_document(const workshop::DieSet& die, LengthUnit unit) {
  const workshop::DieSet usual;
  Keys keys(unit);
  keys["name"] = die.name;
  keys.length("radius", die.radius_mm);
  if (die.groove.round) {
    keys.length("groove", die.groove.height_mm);
  } else {
    keys.length("groove_height", die.groove.height_mm);
    keys.length("groove_width", die.groove.width_mm);
  }
  keys.length("clamp", die.clamp_mm);
  if (die.pressure_die_mm != usual.pressure_die_mm) {
    keys.length("pressure_die", die.pressure_die_mm);
  }
  keys.length("tail", die.tail_mm);
  keys.length("mark_offset", die.mark_offset_mm);
  keys.angle("angle_max", die.angle_max);
  if (die.level != usual.level) keys["level"] = die.level;
  keys.flag("mandrel", die.mandrel, usual.mandrel);
  keys.flag("wiper", die.wiper, usual.wiper);
  if (!die.benders.empty()) keys["benders"] = die.benders;
  keys.text("note", die.note);
  return keys.take();
}

ordered_json trial_document(const workshop::TrialBend& trial, LengthUnit unit) {
  Keys keys(unit);
  keys["die"] = trial.die;
  keys.text("bender", trial.bender);
  keys.length("od", trial.od_mm);
  keys.length("wall", trial.wall_mm);
  keys["material"] = trial.material;
  keys.text("heat", trial.heat);
  keys.angle("set", trial.set_angle);
  keys.angle("finished", trial.finished_angle);
  keys.length("blank", trial.blank_mm);
  keys.length("leg_a_outside", trial.leg_a_outside_mm);
  keys.length("leg_b_outside", trial.leg_b_outside_mm);
  keys.length("mark", trial.mark_mm);
  keys.length("radius_after", trial.radius_after_mm);
  keys.text("date", trial.date);
  keys.text("who", trial.who);
  return keys.take();
}

ordered_json material_document(const stock::OwnMetal& material, LengthUnit) {
  Keys keys(LengthUnit::kMillimetre);
  const auto said = [&](const char* from, const char* source, const stock::SaidBy& by) {
    if (by.origin != stock::Origin::kGuess) {
      keys[from] = std::string(stock::origin_words()[static_cast<std::size_t>(by.origin)]);
    }
    keys.text(source, by.source);
  };
  keys["name"] = material.name;
  keys.text("like", material.like);
  if (!material.aliases.empty()) keys["aliases"] = material.aliases;
  keys.text("family", material.family);
  keys.text("spec", material.spec);
  keys.text("condition", material.condition);
  keys.number("rp02", material.yield_mpa);
  keys.number("rm", material.tensile_mpa);
  keys.multiplied("elongation_pct", material.elongation_ratio, 100.0);
  said("strengths_from", "strengths_source", material.strengths);
  keys.scaled("youngs", material.youngs_mpa, 1e3);
  keys.number("density_kg_per_m3", material.density_kg_per_m3);
  keys.number("poisson", material.poisson_ratio);
  said("stiffness_from", "stiffness_source", material.stiffness);
  keys.number("k", material.strength_mpa);
  keys.number("n", material.exponent_ratio);
  said("flow_from", "flow_source", material.flow);
  keys.text("note", material.note);
  return keys.take();
}

ordered_json stock_tube_document(const workshop::StockTube& tube, LengthUnit unit) {
  Keys keys(unit);
  keys["size"] = tube.designation.empty() ? tube.size : tube.designation;
  keys["material"] = tube.material;
  keys.text("heat", tube.heat);
  keys.length("length", tube.length_mm);
  if (tube.pieces) keys["pieces"] = *tube.pieces;
  keys.text("place", tube.place);
  keys.text("note", tube.note);
  return keys.take();
}

ordered_json shop_document(const workshop::Shop& shop, LengthUnit unit) {
  const workshop::Shop usual;
  Keys keys(unit);
  keys["name"] = shop.name;
  if (shop.groove_slack_mm != usual.groove_slack_mm) {
    keys.length("groove_slack", shop.groove_slack_mm);
  }
  return keys.take();
}

}  // namespace bight::exchange
