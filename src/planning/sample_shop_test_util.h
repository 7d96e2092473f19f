// A small shop and parts for the tests of this room. Invented; only the tests include it.
#pragma once

#include <string>
#include <vector>

#include "part/part.h"
#include "workshop/shop.h"

namespace bight::planning::sample {

inline stock::Material steel() {
  stock::Material m;
  m.name = "test steel";
  m.density_kg_per_m3 = 7850;
  const auto typical = [](double value) {
    return stock::Sourced{value, stock::Provenance::kPublishedTypical, "test"};
  };
  m.youngs_mpa = typical(205000);
  m.yield_mpa = typical(350);
  m.tensile_mpa = typical(450);
  m.elongation_ratio = typical(0.25);
  return m;
}

inline workshop::DieSet die(std::string name, double radius_mm, double groove_mm,
                            double clamp_mm = 95, double tail_mm = 110) {
  workshop::DieSet d;
  d.name = std::move(name);
  d.radius_mm = radius_mm;
  d.groove = {true, groove_mm, groove_mm};
  d.clamp_mm = clamp_mm;
  d.pressure_die_mm = 200;
  d.tail_mm = tail_mm;
  return d;
}

inline workshop::Bender bender(std::string name) {
  workshop::Bender b;
  b.name = std::move(name);
  b.od_max_mm = 60.3;
  b.die_radius_max_mm = 260;
  return b;
}

inline workshop::TrialBend trial(double set_deg, double finished_deg, std::string heat = "") {
  workshop::TrialBend t;
  t.die = "D114";
  t.od_mm = 38.1;
  t.wall_mm = 1.6;
  t.material = "test steel";
  t.heat = std::move(heat);
  t.set_angle = base::Angle::degrees(set_deg);
  t.finished_angle = base::Angle::degrees(finished_deg);
  return t;
}

inline workshop::Shop shop() {
  workshop::Shop s;
  s.name = "test shop";
  s.benders = {bender("One")};
  s.die_sets = {die("D114", 114.3, 38.1), die("D76", 76.2, 38.1), die("P145", 145, 48.3)};
  return s;
}

inline geometry::BendRow row(double straight_mm, double rotation_deg, double angle_deg,
                             double radius_mm = 114.3) {
  return {straight_mm, base::Angle::degrees(rotation_deg), base::Angle::degrees(angle_deg),
          radius_mm};
}

inline part::Part tube_part(std::vector<geometry::BendRow> rows, double last_mm) {
  return part::Part{.name = "test part",
                    .tube_text = "38.1 x 1.6",
                    .section = *stock::Section::round_tube(38.1, 1.6),
                    .material = steel(),
                    .table = *geometry::BendTable::make(std::move(rows), last_mm)};
}

// U 700 wide and 500 long over the outside of 38.1 tube, radius 114.3.
inline part::Part u_part() {
  const double leg_mm = 500 - 114.3 - 19.05;
  return tube_part({row(leg_mm, 0, 90), row(700 - 2 * (114.3 + 19.05), 0, 90)}, leg_mm);
}

inline const part::Finding* find(const std::vector<part::Finding>& findings,
                                 const std::string& code) {
  for (const part::Finding& f : findings) {
    if (f.code == code) return &f;
  }
  return nullptr;
}

}  // namespace bight::planning::sample
