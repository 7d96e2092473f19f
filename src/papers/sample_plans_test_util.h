// Plans for the tests of this room, made by hand of plausible numbers.
#pragma once

#include <fmt/format.h>

#include <utility>
#include <vector>

#include "planning/plan.h"

namespace bight::papers::sample {

using base::Angle;

inline Angle deg(double value_deg) { return Angle::degrees(value_deg); }

inline stock::Section round_38() { return *stock::Section::round_tube(38.1, 1.65); }

inline stock::Material steel() {
  stock::Material material;
  material.name = "316L annealed";
  material.spec = "ASTM A269";
  material.heat = "K40719";
  return material;
}

inline workshop::DieSet die_set(const std::string& name, double radius_mm, double groove_mm) {
  workshop::DieSet die;
  die.name = name;
  die.radius_mm = radius_mm;
  die.groove = {true, groove_mm, groove_mm};
  die.clamp_mm = 95.0;
  die.mandrel = true;
  return die;
}

// Steps from end A for every bend of the table, marks towards B, with the lengths of the table.
inline planning::Plan plan_of(std::string name, const geometry::BendTable& table,
                              const stock::Section& section) {
  planning::Plan plan{.part = {.name = std::move(name),
                               .revision = "C",
                               .customer = "Fenwater Rail & Frame",
                               .drawing = "FR-2041-07",
                               .hand = part::Hand::kLeft,
                               .quantity = 24,
                               .tube_text = "1-1/2 in x 16 ga tube",
                               .section = section,
                               .material = steel(),
                               .table = table},
                      .bent_table = table};
  plan.part.tolerance = {1.5, deg(0.5)};
  plan.bender = workshop::Bender{.name = "Bay 2 bender", .od_max_mm = 60.0};
  plan.dies.push_back({die_set("R114 for 38", 114.3, 38.1),
                       {deg(1.04), 0.038, "two trial bends, heat K40719", true},
                       117.6});
  plan.blank.grip_front_mm = 35.0;
  plan.blank.grip_back_mm = 50.0;
  plan.blank.basis = "Arcs by the neutral line of the die; no stretch measured on this tube.";
  double along_mm = plan.blank.grip_front_mm;
  const double cut_mm =
      table.developed_length_mm() + plan.blank.grip_front_mm + plan.blank.grip_back_mm;
  Angle wheel;
  std::size_t bend = 0;
  for (const geometry::BendRow& row : table.rows()) {
    along_mm += row.straight_mm;
    wheel = (wheel + row.rotation).wrapped_positive();
    const Angle set = deg(1.04) + row.angle * 1.038;
    planning::Step step;
    step.bend = ++bend;
    step.die = "R114 for 38";
    step.mark_mm = along_mm;
    step.mark_from_b_mm = cut_mm - along_mm;
    step.straight_mm = row.straight_mm;
    step.rotation = row.rotation;
    step.wheel = wheel;
    step.angle = row.angle;
    step.set_angle = {set - deg(0.6), set, set + deg(0.7)};
    step.arc_mm = row.arc_mm();
    step.radius_after_release_mm = 117.6;
    step.torque_nmm = 812000.0;
    plan.steps.push_back(step);
    along_mm += row.arc_mm();
  }
  plan.blank.cut = {cut_mm - 1.4, cut_mm, cut_mm + 3.8};
  plan.seam = planning::Seam{1, deg(225), deg(45), "7:30"};
  plan.mass_kg = 2.31;
  plan.checks = {{"End A to outside of leg 2", 501.4},
                 {"End B to outside of leg 2", 367.8},
                 {"Overall width over the outside", 700.2},
                 {"End A to end B, straight across", 662.9}};
  plan.findings = {{part::Severity::kCaution, "plan.straight-below-clamp", 2,
                    "The straight ahead of bend 2 is 82.0 mm; the clamp wants 95.0 mm.",
                    "Use the short clamp or leave 13.0 mm more.", "die set R114 for 38"},
                   {part::Severity::kNote, "blank.unproven", std::nullopt,
                    "The stretch of this tube on this die has not been measured.",
                    "Prove the cut length with one bend.", ""}};
  return plan;
}

inline planning::Plan three_d() {
  return plan_of("Handrail return, platform 3",
                 *geometry::BendTable::make({{340, Angle(), deg(90), 114.3},
                                             {182, deg(90), deg(45), 114.3},
                                             {260.5, deg(-120.5), deg(60.2), 114.3}},
                                            190.7),
                 round_38());
}

inline planning::Plan planar_u() {
  planning::Plan plan =
      plan_of("Guard hoop",
              *geometry::BendTable::make(
                  {{366.65, Angle(), deg(90), 114.3}, {433.3, Angle(), deg(90), 114.3}}, 366.65),
              round_38());
  plan.part.hand = part::Hand::kSingle;
  plan.part.material.heat.clear();
  plan.blank.proven = true;
  plan.blank.basis = "Stretch measured on one bend of this heat.";
  plan.steps[1].die_mark_mm = 799.3;
  plan.steps[1].side = planning::MarkSide::kTowardsA;
  plan.steps[1].speed_max_rpm = 2.5;
  plan.findings.clear();
  return plan;
}

inline planning::Plan twelve_bends() {
  std::vector<geometry::BendRow> rows;
  for (int i = 0; i < 12; ++i) {
    rows.push_back(
        {120.0 + 17.0 * i, deg(i % 3 == 0 ? 90 : (i % 3 == 1 ? 0 : -45)), deg(30 + 5.5 * i), 80});
  }
  rows[0].rotation = Angle();
  planning::Plan plan =
      plan_of("Manifold runner 4", *geometry::BendTable::make(rows, 205), round_38());
  plan.dies.push_back({die_set("R80 for 38", 80.0, 38.1),
                       {deg(0.9), 0.031, "one trial bend; slope assumed", false},
                       82.3});
  for (std::size_t i = 0; i < plan.steps.size(); i += 2) {
    plan.steps[i].die = "R80 for 38";
    plan.steps[i].torque_nmm = 640000.0;
  }
  return plan;
}

inline planning::Plan square_tube() {
  planning::Plan plan = plan_of("Bumper frame",
                                *geometry::BendTable::make({{310, Angle(), deg(60), 150},
                                                            {420, deg(180), deg(60), 150},
                                                            {300, deg(90), deg(35), 150}},
                                                           280),
                                *stock::Section::rect_tube(40, 20, 2, 4));
  plan.part.hand = part::Hand::kRight;
  plan.part.tube_text = "40 x 20 x 2 box section";
  plan.part.end_a.detail = "45° cope";
  plan.part.end_b.trim_mm = 6.0;
  plan.part.note = "Polish after bending; no clamp marks on the outer face.";
  plan.part.rules = {"house-flattening"};
  return plan;
}

inline planning::Plan stopped() {
  planning::Plan plan = plan_of(
      "Cage leg",
      *geometry::BendTable::make({{30, Angle(), deg(120), 60}, {22, deg(45), deg(90), 60}}, 25),
      round_38());
  plan.steps.clear();
  plan.dies.clear();
  plan.blank = {};
  plan.checks.clear();
  plan.seam.reset();
  plan.findings = {
      {part::Severity::kStop, "plan.no-die", 1,
       "No die set of this workshop takes 38.1 mm tube to a "
       "radius of 60.0 mm.",
       "A die of R 60 for 38.1 mm, or a larger radius on the drawing.", ""},
      {part::Severity::kStop, "part.overlap", 2, "The arcs of bends 1 and 2 overlap by 14.2 mm.",
       "Lengthen straight 2 to 95.0 mm.", ""},
      {part::Severity::kNote, "part.shallow-plane", std::nullopt,
       "The plane of bend 2 follows weakly from its neighbours.", "", ""}};
  return plan;
}

inline planning::Plan long_names() {
  planning::Plan plan = three_d();
  plan.part.name =
      "Lower left-hand engine-bay crossmember brace with integral jacking loop and "
      "towing eye, second series";
  plan.part.drawing = "FRF-2041-07-SHEET-12-OF-19-ISSUE-PRELIMINARY";
  plan.part.customer = "Fenwater Rail & Frame, Restoration and Special Projects Department";
  plan.part.tube_text = "Cold-drawn seamless precision tube, normalised, 38.1 x 1.65, EN 10305-1";
  plan.part.material.name = "E235+N cold-drawn, normalised";
  plan.part.material.heat = "2024-KX-0047719-B/2";
  plan.bender->name = "Second bay, north wall, the one with the repaired pedal";
  plan.checks.push_back(
      {"From the outside of leg 3 to the far corner of the plate it is welded to", 1041.7});
  return plan;
}

// Every kind of plan the tests print, with the name of its file.
inline std::vector<std::pair<std::string, planning::Plan>> all() {
  return {{"three_d", three_d()},    {"planar_u", planar_u()}, {"twelve", twelve_bends()},
          {"square", square_tube()}, {"stopped", stopped()},   {"long_names", long_names()}};
}

}  // namespace bight::papers::sample
