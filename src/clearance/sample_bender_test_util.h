// A bender, dies and tubes for the tests of this room. Invented; only the tests include it.
#pragma once

#include <random>
#include <string>
#include <vector>

#include "clearance/step_clearance.h"

namespace bight::clearance::sample {

using base::Angle;
using geometry::Vec3;

inline workshop::DieSet die(double radius_mm = 114.3, int level = 1, double groove_mm = 38.1) {
  workshop::DieSet d;
  d.name = "D" + std::to_string(static_cast<int>(radius_mm));
  d.radius_mm = radius_mm;
  d.groove = {true, groove_mm, groove_mm};
  d.clamp_mm = 95;
  d.level = level;
  return d;
}

inline workshop::Body box(std::string name, workshop::CarriedBy on, const Vec3& size_mm,
                          const Vec3& at_mm) {
  workshop::Body b;
  b.name = std::move(name);
  b.on = on;
  b.shape = workshop::BoxShape{size_mm};
  b.at_mm = at_mm;
  return b;
}

// Stands the body so.
inline void set_pose(workshop::Body& body, const Eigen::Isometry3d& pose) {
  body.at_mm = pose.translation();
  const Vec3 zyx = pose.linear().eulerAngles(2, 1, 0);
  body.turned = {Angle::radians(zyx.z()), Angle::radians(zyx.y()), Angle::radians(zyx.x())};
}

// A column under the die, an arm that carries the clamp, a bed for the pressure die.
inline workshop::Bender bender(
    workshop::BenderKind kind = workshop::BenderKind::kHandPlaced,
    workshop::TurnDirection direction = workshop::TurnDirection::kCounterClockwise) {
  using workshop::CarriedBy;
  const double hand = direction == workshop::TurnDirection::kClockwise ? -1.0 : 1.0;
  workshop::Bender b;
  b.name = "One";
  b.kind = kind;
  b.direction = direction;
  b.od_max_mm = 60.3;
  b.die_radius_max_mm = 260;
  b.around.room.floor_mm = 1050;
  b.around.clamp_opens_mm = 50;
  b.around.pressure_die_opens_mm = 40;
  const double side = -hand;
  b.around.bodies = {
      box("column", CarriedBy::kFrame, {420, 420, 960}, {-40, 0, -550}),
      box("bed", CarriedBy::kFrame, {700, 160, 120}, {-480, side * 190, -120}),
      box("arm", CarriedBy::kArm, {150, 330, 40}, {90, side * 150, -60}),
      box("clamp", CarriedBy::kClamp, {95, 60, 70}, {48, side * 35, 0}),
      box("pressure die", CarriedBy::kPressureDie, {220, 50, 60}, {-110, side * 30, 0}),
  };
  return b;
}

// A bend table on a blank: straights, angles, rotations; loaded by 4 % and 1 degree more.
struct Row {
  double straight_mm;
  double rotation_deg;
  double angle_deg;
};
inline Tube tube(const std::vector<Row>& rows, double last_mm, double od_mm = 38.1,
                 double die_radius_mm = 114.3) {
  Tube t;
  t.od_mm = od_mm;
  double at_mm = 0.0;
  for (const Row& row : rows) {
    at_mm += row.straight_mm;
    TubeBend b;
    b.start_mm = at_mm;
    b.rotation = Angle::degrees(row.rotation_deg);
    b.angle = Angle::degrees(row.angle_deg);
    b.die_radius_mm = die_radius_mm;
    b.radius_mm = die_radius_mm / 0.96;
    b.set_angle = Angle::degrees((row.angle_deg + 1.0) / 0.96);
    b.blank_mm = b.radius_mm * b.angle.rad();
    at_mm += b.blank_mm;
    t.bends.push_back(b);
  }
  t.length_mm = at_mm + last_mm;
  return t;
}

inline double uniform(std::mt19937_64& rng, double low, double high) {
  return low + (high - low) * static_cast<double>(rng() >> 11) * 0x1p-53;
}

// A tube of several bends in all planes.
inline Tube random_tube(std::mt19937_64& rng, std::size_t num_bends) {
  std::vector<Row> rows;
  for (std::size_t i = 0; i < num_bends; ++i) {
    rows.push_back(
        {uniform(rng, 40, 500), i == 0 ? 0.0 : uniform(rng, -180, 180), uniform(rng, 10, 120)});
  }
  return tube(rows, uniform(rng, 100, 1200));
}

}  // namespace bight::clearance::sample
