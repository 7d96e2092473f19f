#include "exchange/shop_write.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "exchange/shop_toml.h"
#include "exchange/toml_text.h"

namespace bight::exchange {
namespace {

using base::Angle;
using base::LengthUnit;

std::string any_word() {
  return *rc::gen::element<std::string>("", "Two", "ö \"3\"", "2024-05-01");
}
double any_mm() { return *rc::gen::inRange(1, 2000000) / 1e3; }
std::optional<double> perhaps_mm() {
  return *rc::gen::arbitrary<bool>() ? std::optional(any_mm()) : std::nullopt;
}
// As read from a number of cm³ or N·m.
std::optional<double> perhaps_thousands() {
  const std::optional<double> number = perhaps_mm();
  return number ? std::optional(*number * 1e3) : std::nullopt;
}
Angle any_angle() { return Angle::degrees(*rc::gen::inRange(-36000, 36000) / 1e2); }
bool any_flag() { return *rc::gen::arbitrary<bool>(); }

workshop::Shape any_shape() {
  switch (*rc::gen::inRange(0, 4)) {
    case 0:
      return workshop::BoxShape{{any_mm(), any_mm(), any_mm()}};
    case 1:
      return workshop::CylinderShape{any_mm() / 2, any_mm()};
    case 2: {
      const double a_mm = any_mm();
      return workshop::OutlineShape{{{0, 0}, {a_mm, -a_mm}, {a_mm, any_mm()}}, any_mm()};
    }
    default:
      return workshop::MeshShape{"meshes/arm.stl", *rc::gen::element(1.0, 10.0, 1e3, 25.4), {}, {}};
  }
}

workshop::Surroundings any_surroundings() {
  workshop::Surroundings around;
  around.room.floor_mm = perhaps_mm();
  around.room.ceiling_mm = perhaps_mm();
  for (const char* name : {"back", "side \"2\""}) {
    if (any_flag()) around.room.walls.push_back({name, any_angle(), any_mm()});
  }
  for (const char* name : {"column", "arm", "where we stand"}) {
    if (!any_flag()) continue;
    workshop::Body& body = around.bodies.emplace_back();
    body.name = name;
    body.on = static_cast<workshop::CarriedBy>(*rc::gen::inRange(0, 5));
    body.shape = any_shape();
    if (any_flag()) body.at_mm = {any_mm(), -any_mm(), any_mm()};
    if (any_flag()) body.turned = {any_angle(), any_angle(), any_angle()};
    body.keep_out = any_flag();
  }
  if (any_flag()) around.levels_mm = {0.0, any_mm()};
  if (any_flag()) around.clamp_opens_mm = any_mm();
  if (any_flag()) around.pressure_die_opens_mm = any_mm();
  around.pressure_die_follows = any_flag();
  around.mandrel_rod_mm = perhaps_mm();
  if (any_flag()) around.lift_mm = any_mm();
  return around;
}

workshop::Bender any_bender() {
  workshop::Bender b;
  b.name = any_word();
  b.kind = static_cast<workshop::BenderKind>(*rc::gen::inRange(0, 4));
  b.od_max_mm = any_mm();
  b.wall_max_mm = perhaps_mm();
  b.section_modulus_max_mm3 = perhaps_thousands();
  b.die_radius_max_mm = any_mm();
  b.torque_max_nmm = perhaps_thousands();
  b.power_w = perhaps_mm();
  b.speed_min_rpm = perhaps_mm();
  b.speed_max_rpm = perhaps_mm();
  b.angle_max = any_angle();
  b.direction = static_cast<workshop::TurnDirection>(*rc::gen::inRange(0, 2));
  b.degree_wheel = any_flag();
  b.wheel_counts_backwards = any_flag();
  b.wheel_zero = any_angle();
  b.rotation_sign_flipped = any_flag();
  b.angle_step = any_angle();
  b.grip_mm = perhaps_mm();
  b.travel_mm = perhaps_mm();
  b.feed_min_mm = perhaps_mm();
  b.around = any_surroundings();
  b.note = any_word();
  return b;
}

workshop::DieSet any_die() {
  workshop::DieSet d;
  d.name = any_word();
  d.radius_mm = any_mm();
  d.groove.round = any_flag();
  d.groove.height_mm = d.groove.width_mm = any_mm();
  if (!d.groove.round) d.groove.width_mm = any_mm();
  d.clamp_mm = any_mm();
  d.pressure_die_mm = any_mm();
  d.tail_mm = perhaps_mm();
  d.mark_offset_mm = perhaps_mm();
  if (any_flag()) d.angle_max = any_angle();
  d.level = *rc::gen::inRange(1, 21);
  d.mandrel = any_flag();
  d.wiper = any_flag();
  if (any_flag()) d.benders = {any_word(), any_word()};
  d.note = any_word();
  return d;
}

workshop::TrialBend any_trial() {
  workshop::TrialBend t;
  t.die = any_word();
  t.bender = any_word();
  t.od_mm = any_mm();
  t.wall_mm = any_mm();
  t.od_mm += 2.0 * t.wall_mm;  // no tube has a thicker wall than half of itself
  t.material = *rc::gen::element<std::string>("304L annealed", "316L annealed");
  t.heat = any_word();
  t.set_angle = any_angle();
  t.finished_angle = any_angle();
  t.blank_mm = perhaps_mm();
  t.leg_a_outside_mm = perhaps_mm();
  t.leg_b_outside_mm = perhaps_mm();
  t.mark_mm = perhaps_mm();
  t.radius_after_mm = perhaps_mm();
  t.date = any_word();
  t.who = any_word();
  return t;
}

// Each thing once as the document and once through TOML text, in each unit.
template <typename Item, typename Write, typename Read, typename Same>
void comes_back(const Item& item, Write write, Read read, Same same) {
  for (const auto unit : {LengthUnit::kMillimetre, LengthUnit::kInch}) {
    const nlohmann::ordered_json written = write(item, unit);
    const auto direct = read(document_of(written, "x"));
    if (!direct.ok()) RC_FAIL(direct.failure().text());
    same(*direct, item);
    same(*read(*parse_toml(toml_text(written), "x.toml")), item);
  }
}

void same_shape(const workshop::Shape& a, const workshop::Shape& b) {
  RC_ASSERT(a.index() == b.index());
  if (const auto* box = std::get_if<workshop::BoxShape>(&a)) {
    RC_ASSERT(box->size_mm == std::get<workshop::BoxShape>(b).size_mm);
  } else if (const auto* cylinder = std::get_if<workshop::CylinderShape>(&a)) {
    RC_ASSERT(cylinder->radius_mm == std::get<workshop::CylinderShape>(b).radius_mm);
    RC_ASSERT(cylinder->length_mm == std::get<workshop::CylinderShape>(b).length_mm);
  } else if (const auto* outline = std::get_if<workshop::OutlineShape>(&a)) {
    RC_ASSERT(outline->outline_mm == std::get<workshop::OutlineShape>(b).outline_mm);
    RC_ASSERT(outline->height_mm == std::get<workshop::OutlineShape>(b).height_mm);
  } else {
    RC_ASSERT(std::get<workshop::MeshShape>(a).file == std::get<workshop::MeshShape>(b).file);
    RC_ASSERT(std::get<workshop::MeshShape>(a).unit_mm == std::get<workshop::MeshShape>(b).unit_mm);
  }
}

void same_surroundings(const workshop::Surroundings& a, const workshop::Surroundings& b) {
  RC_ASSERT(a.room.floor_mm == b.room.floor_mm);
  RC_ASSERT(a.room.ceiling_mm == b.room.ceiling_mm);
  RC_ASSERT(a.room.walls.size() == b.room.walls.size());
  for (std::size_t i = 0; i < a.room.walls.size(); ++i) {
    RC_ASSERT(a.room.walls[i].name == b.room.walls[i].name);
    RC_ASSERT(a.room.walls[i].direction == b.room.walls[i].direction);
    RC_ASSERT(a.room.walls[i].distance_mm == b.room.walls[i].distance_mm);
  }
  RC_ASSERT(a.bodies.size() == b.bodies.size());
  for (std::size_t i = 0; i < a.bodies.size(); ++i) {
    RC_ASSERT(a.bodies[i].name == b.bodies[i].name);
    RC_ASSERT(a.bodies[i].on == b.bodies[i].on);
    same_shape(a.bodies[i].shape, b.bodies[i].shape);
    RC_ASSERT(a.bodies[i].at_mm == b.bodies[i].at_mm);
    RC_ASSERT(a.bodies[i].turned == b.bodies[i].turned);
    RC_ASSERT(a.bodies[i].keep_out == b.bodies[i].keep_out);
  }
  RC_ASSERT(a.levels_mm == b.levels_mm);
  RC_ASSERT(a.clamp_opens_mm == b.clamp_opens_mm);
  RC_ASSERT(a.pressure_die_opens_mm == b.pressure_die_opens_mm);
  RC_ASSERT(a.pressure_die_follows == b.pressure_die_follows);
  RC_ASSERT(a.mandrel_rod_mm == b.mandrel_rod_mm);
  RC_ASSERT(a.lift_mm == b.lift_mm);
}

void same_bender(const workshop::Bender& a, const workshop::Bender& b) {
  RC_ASSERT(a.name == b.name);
  RC_ASSERT(a.kind == b.kind);
  RC_ASSERT(a.od_max_mm == b.od_max_mm);
  RC_ASSERT(a.wall_max_mm == b.wall_max_mm);
  RC_ASSERT(a.section_modulus_max_mm3 == b.section_modulus_max_mm3);
  RC_ASSERT(a.die_radius_max_mm == b.die_radius_max_mm);
  RC_ASSERT(a.torque_max_nmm == b.torque_max_nmm);
  RC_ASSERT(a.power_w == b.power_w);
  RC_ASSERT(a.speed_min_rpm == b.speed_min_rpm);
  RC_ASSERT(a.speed_max_rpm == b.speed_max_rpm);
  RC_ASSERT(a.angle_max == b.angle_max);
  RC_ASSERT(a.direction == b.direction);
  RC_ASSERT(a.degree_wheel == b.degree_wheel);
  RC_ASSERT(a.wheel_counts_backwards == b.wheel_counts_backwards);
  RC_ASSERT(a.wheel_zero == b.wheel_zero);
  RC_ASSERT(a.rotation_sign_flipped == b.rotation_sign_flipped);
  RC_ASSERT(a.angle_step == b.angle_step);
  RC_ASSERT(a.grip_mm == b.grip_mm);
  RC_ASSERT(a.travel_mm == b.travel_mm);
  RC_ASSERT(a.feed_min_mm == b.feed_min_mm);
  RC_ASSERT(a.note == b.note);
  same_surroundings(a.around, b.around);
}

void same_die_set(const workshop::DieSet& a, const workshop::DieSet& b) {
  RC_ASSERT(a.name == b.name);
  RC_ASSERT(a.radius_mm == b.radius_mm);
  RC_ASSERT(a.groove.round == b.groove.round);
  RC_ASSERT(a.groove.height_mm == b.groove.height_mm);
  RC_ASSERT(a.groove.width_mm == b.groove.width_mm);
  RC_ASSERT(a.clamp_mm == b.clamp_mm);
  RC_ASSERT(a.pressure_die_mm == b.pressure_die_mm);
  RC_ASSERT(a.tail_mm == b.tail_mm);
  RC_ASSERT(a.mark_offset_mm == b.mark_offset_mm);
  RC_ASSERT(a.angle_max == b.angle_max);
  RC_ASSERT(a.level == b.level);
  RC_ASSERT(a.mandrel == b.mandrel);
  RC_ASSERT(a.wiper == b.wiper);
  RC_ASSERT(a.benders == b.benders);
  RC_ASSERT(a.note == b.note);
}

void same_trial(const workshop::TrialBend& a, const workshop::TrialBend& b) {
  RC_ASSERT(a.die == b.die);
  RC_ASSERT(a.bender == b.bender);
  RC_ASSERT(a.od_mm == b.od_mm);
  RC_ASSERT(a.wall_mm == b.wall_mm);
  RC_ASSERT(a.material == b.material);
  RC_ASSERT(a.heat == b.heat);
  RC_ASSERT(a.set_angle == b.set_angle);
  RC_ASSERT(a.finished_angle == b.finished_angle);
  RC_ASSERT(a.blank_mm == b.blank_mm);
  RC_ASSERT(a.leg_a_outside_mm == b.leg_a_outside_mm);
  RC_ASSERT(a.leg_b_outside_mm == b.leg_b_outside_mm);
  RC_ASSERT(a.mark_mm == b.mark_mm);
  RC_ASSERT(a.radius_after_mm == b.radius_after_mm);
  RC_ASSERT(a.date == b.date);
  RC_ASSERT(a.who == b.who);
}

// Anything a shop can own is the same after writing and reading.
RC_GTEST_PROP(ShopWriteProperty, BendersComeBack, ()) {
  comes_back(any_bender(), bender_document, read_bender, same_bender);
}

RC_GTEST_PROP(ShopWriteProperty, DieSetsComeBack, ()) {
  comes_back(any_die(), die_set_document, read_die_set, same_die_set);
}

RC_GTEST_PROP(ShopWriteProperty, TrialsComeBack, ()) {
  comes_back(any_trial(), trial_document, read_trial, same_trial);
}

// Within what a metal can have, so that it reads.
std::optional<double> perhaps_between(int least, int most) {
  if (*rc::gen::arbitrary<bool>()) return std::nullopt;
  return *rc::gen::inRange(least * 1000, most * 1000) / 1e3;
}
stock::SaidBy any_origin() {
  return {static_cast<stock::Origin>(*rc::gen::inRange(0, 4)), any_word()};
}

RC_GTEST_PROP(ShopWriteProperty, MaterialsComeBack, ()) {
  stock::OwnMetal metal;
  metal.name = "Reed " + any_word();
  metal.like = "304L annealed";
  if (any_flag()) metal.aliases = {"reed one", "reed \"2\""};
  metal.family = any_word();
  metal.spec = any_word();
  metal.condition = any_word();
  metal.yield_mpa = perhaps_between(5, 400);
  metal.tensile_mpa = perhaps_between(400, 3500);
  if (const auto percent = perhaps_between(1, 100)) metal.elongation_ratio = *percent / 100.0;
  metal.strengths = any_origin();
  if (const auto gpa = perhaps_between(10, 500)) metal.youngs_mpa = *gpa * 1e3;
  metal.density_kg_per_m3 = perhaps_between(1000, 25000);
  if (any_flag()) metal.poisson_ratio = 0.31;
  metal.stiffness = any_origin();
  metal.strength_mpa = perhaps_between(20, 6000);
  if (any_flag()) metal.exponent_ratio = 0.123;
  metal.flow = any_origin();
  metal.note = any_word();
  const auto back = read_material(document_of(material_document(metal), "m"));
  if (!back.ok()) RC_FAIL(back.failure().text());
  RC_ASSERT(*back == metal);
}

// The demo shop in documents, one for each thing, is the shop its files give.
TEST(ShopWrite, DemoShopInDocuments) {
  const workshop::Shop shop =
      *read_shop_folder(std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater");
  ShopDocuments documents;
  documents.shop = document_of(shop_document(shop), "shop");
  for (const auto& bender : shop.benders) {
    documents.benders.push_back(document_of(bender_document(bender), bender.name));
  }
  for (const auto& die : shop.die_sets) {
    documents.die_sets.push_back(document_of(die_set_document(die), die.name));
  }
  for (const auto& metal : shop.materials) {
    documents.materials.push_back(document_of(material_document(metal), metal.name));
  }
  for (const auto& trial : shop.trials) {
    documents.trials.push_back(document_of(trial_document(trial), trial.die));
  }
  const auto back = read_shop(documents);
  ASSERT_TRUE(back.ok()) << back.failure().text();
  EXPECT_EQ(shop_document(*back), shop_document(shop));
  EXPECT_EQ(back->benders.size(), shop.benders.size());
  EXPECT_EQ(back->die_sets.size(), shop.die_sets.size());
  EXPECT_EQ(back->materials, shop.materials);
  ASSERT_EQ(back->trials.size(), shop.trials.size());
  for (std::size_t i = 0; i < shop.trials.size(); ++i) {
    EXPECT_EQ(trial_document(back->trials[i]), trial_document(shop.trials[i]));
  }
}

// A size typed in bare inches means the same in a file of millimetres.
TEST(ShopWrite, TubeInInchesIsTheSameInMillimetres) {
  for (const char* size : {"1 x 0.065", "1-1/2 x 1 x 0.083", "1.03 x 0.07", "3/4 sch 40 pipe"}) {
    const auto typed = read_stock_tube(
        document_of({{"units", "in"}, {"size", size}, {"material", "304L annealed"}}, ""));
    ASSERT_TRUE(typed.ok()) << size << ": " << typed.failure().text();
    const auto back =
        read_stock_tube(document_of(stock_tube_document(*typed, LengthUnit::kMillimetre), ""));
    ASSERT_TRUE(back.ok()) << typed->designation << ": " << back.failure().text();
    EXPECT_NEAR(back->section->height_mm(), typed->section->height_mm(), 1e-9) << size;
    EXPECT_NEAR(back->section->width_mm(), typed->section->width_mm(), 1e-9) << size;
    EXPECT_NEAR(back->section->wall_mm(), typed->section->wall_mm(), 1e-9) << size;
  }
}

// A document that is wrong is named, since key paths alone do not tell which it was.
TEST(ShopWrite, WrongDocumentsAreNamed) {
  const ShopDocuments documents{
      document_of({{"name", "S"}}, "shop"), {document_of({{"name", "One"}}, "bender One")}, {}, {}};
  EXPECT_EQ(read_shop(documents).failure().where, "bender One: size_max");
  EXPECT_EQ(read_bender(documents.benders[0]).failure().where, "size_max");
  EXPECT_EQ(read_bender(document_of({{"schema", 2}}, "b")).failure().code, "shop.schema");
}

}  // namespace
}  // namespace bight::exchange
