// Coils: flat passes to and fro, and helices.
#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/number.h"
#include "geometry/shape_checks.h"
#include "geometry/shapes.h"

namespace bight::geometry {

using base::Angle;
using base::Failure;
using base::Result;

namespace {

constexpr int kMostReturns = 1000;

Refusal refuse_unless_whole(std::string_view name, int value, int least, int most) {
  if (value >= least && value <= most) return std::nullopt;
  return Failure{"shape.number", std::string(name),
                 fmt::format("{} is not a possible number of {}", value, name),
                 fmt::format("give {} to {} {}", least, most, name)};
}

}  // namespace

Result<Shape> make_hairpin(const HairpinShape& coil) {
  if (auto bad = first_of(
          {refuse_unless_whole("returns", coil.num_returns, 1, kMostReturns),
           coil.num_returns > 1 ? refuse_unless_positive("pass", coil.pass_mm) : std::nullopt,
           refuse_unless_positive("lead", coil.lead_mm),
           refuse_unless_positive("tail", coil.tail_mm),
           refuse_unless_positive("spacing", coil.spacing_mm),
           refuse_unless_positive("radius", coil.radius_mm), refuse_unless_drawn(coil.drawn)})) {
    return *bad;
  }
  const double r_mm = coil.radius_mm;
  const double across_mm = coil.spacing_mm - 2.0 * r_mm;
  if (across_mm < -kFit_mm) {
    return does_not_fit(
        "spacing", coil.spacing_mm, "leaves no room for a return of this radius",
        {at_least("spacing", 2.0 * r_mm), at_most("radius", coil.spacing_mm / 2.0)});
  }
  const double to_centre = to_centre_mm(coil.drawn);
  const double pass_mm = coil.pass_mm + 2.0 * to_centre - 2.0 * r_mm;
  const double lead_mm = coil.lead_mm + to_centre - r_mm;
  const double tail_mm = coil.tail_mm + to_centre - r_mm;
  if (auto bad = first_of({coil.num_returns > 1
                               ? refuse_if_short("pass", coil.pass_mm, pass_mm, "a pair of returns")
                               : std::nullopt,
                           refuse_if_short("lead", coil.lead_mm, lead_mm, "its return"),
                           refuse_if_short("tail", coil.tail_mm, tail_mm, "its return")})) {
    return *bad;
  }
  std::vector<BendRow> rows;
  for (int i = 0; i < coil.num_returns; ++i) {
    const double before_mm = i == 0 ? lead_mm : pass_mm;
    const Angle rotation = i == 0 ? Angle() : kHalfTurn;
    if (across_mm <= kFit_mm) {
      rows.push_back({before_mm, rotation, kHalfTurn, r_mm});
    } else {
      rows.push_back({before_mm, rotation, kQuarterTurn, r_mm});
      rows.push_back({across_mm, Angle(), kQuarterTurn, r_mm});
    }
  }
  return shape_of(std::move(rows), tail_mm);
}

namespace {

// One of the equal steps of a helix: an arc after a turn of its plane.
struct HelixStep {
  int num_steps = 0;
  Angle turn;      // about the helix axis, per step
  double rise_mm;  // along it
  double chord_mm;
  Angle rotation;
  Angle bend;
  double radius_mm;
};

// Rotation Rx(phi) Rz(delta) with the arc's chord c is a screw about some axis. As quaternions:
//   cos(turn/2) = cos(phi/2) cos(delta/2),   rise sin(turn/2) = c sin(phi/2),
// and joints at distance rho from the axis stand c² = rise² + (2 rho sin(turn/2))² apart. Solved
// for phi, delta and R = c / (2 sin(delta/2)), the joints lie on the helix without any error.
HelixStep helix_step(const HelixShape& helix, double rho_mm) {
  HelixStep step;
  step.num_steps =
      std::max(1, static_cast<int>(std::ceil(helix.turns_ratio * helix.arcs_per_turn - 1e-9)));
  step.turn = Angle::radians(2.0 * std::numbers::pi * helix.turns_ratio / step.num_steps);
  step.rise_mm = helix.pitch_mm * helix.turns_ratio / step.num_steps;
  const double sine = base::sin(step.turn / 2.0);
  step.chord_mm = std::hypot(step.rise_mm, 2.0 * rho_mm * sine);
  const double half_phi_sine = step.rise_mm * sine / step.chord_mm;
  step.rotation = Angle::radians(2.0 * std::asin(half_phi_sine));
  // sin(delta/2)² = 1 - cos²(turn/2) / cos²(phi/2), where sin(turn/2)² - sin(phi/2)² is
  // (sin(turn/2) 2 rho sin(turn/2) / c)²: no digits are lost for short steps.
  const double half_phi_cosine = std::sqrt(1.0 - half_phi_sine * half_phi_sine);
  const double half_delta_sine = sine * (2.0 * rho_mm * sine / step.chord_mm) / half_phi_cosine;
  step.bend = Angle::radians(2.0 * std::asin(half_delta_sine));
  step.radius_mm = step.chord_mm / (2.0 * half_delta_sine);
  return step;
}

// The frame of the first arc: its first joint at (rho, 0, 0), the axis along Z.
Frame helix_start(const HelixStep& step, double rho_mm) {
  // In the frame before the first arc's plane is turned: the screw's axis and the first chord.
  const Angle phi = step.rotation;
  const Angle delta = step.bend;
  const Vec3 axis = Vec3(base::sin(phi / 2.0) * base::cos(delta / 2.0),
                         -base::sin(phi / 2.0) * base::sin(delta / 2.0),
                         base::cos(phi / 2.0) * base::sin(delta / 2.0))
                        .normalized();
  const Vec3 chord(base::cos(delta / 2.0), base::sin(delta / 2.0) * base::cos(phi),
                   base::sin(delta / 2.0) * base::sin(phi));
  const Vec3 around = (chord - axis * axis.dot(chord)).normalized();
  Eigen::Matrix3d local;
  local << axis, around, axis.cross(around);
  // The same three in space.
  const Vec3 around_space(-base::sin(step.turn / 2.0), base::cos(step.turn / 2.0), 0.0);
  Eigen::Matrix3d space;
  space << Vec3::UnitZ(), around_space, Vec3::UnitZ().cross(around_space);
  const Eigen::Matrix3d to_space = space * local.transpose();
  Frame frame;
  frame.origin_mm = Vec3(rho_mm, 0.0, 0.0);
  frame.ahead = to_space.col(0);
  frame.inward = to_space.col(1);
  frame.normal = to_space.col(2);
  return frame.rolled(phi);
}

// Distance of the arc from the helix between two joints, measured square to the helix on its
// cylinder and along the radius.
double helix_deviation_mm(const HelixStep& step, const Frame& start, double rho_mm) {
  constexpr int kSamples = 32;
  double worst_mm = 0.0;
  for (int i = 1; i < kSamples; ++i) {
    const Vec3 p_mm = start.swept(step.radius_mm, step.bend * (i / double{kSamples})).origin_mm;
    const double around_rad = std::atan2(p_mm.y(), p_mm.x());
    const double rise_per_rad = step.rise_mm / step.turn.rad();
    const double above_mm = p_mm.z() - rise_per_rad * around_rad;
    const double square_mm = above_mm * rho_mm / std::hypot(rho_mm, rise_per_rad);
    worst_mm = std::max(worst_mm, std::hypot(std::hypot(p_mm.x(), p_mm.y()) - rho_mm, square_mm));
  }
  return worst_mm;
}

// Neighbouring turns, unrolled, are pitch * c / sqrt(c² + pitch²) apart, c = 2 pi rho.
Refusal refuse_touching_turns(const HelixShape& helix, double rho_mm) {
  if (helix.turns_ratio <= 1.0) return std::nullopt;
  const double c_mm = 2.0 * std::numbers::pi * rho_mm;
  const double size_mm = helix.drawn.size_mm;
  if (helix.pitch_mm > 0.0 &&
      helix.pitch_mm * c_mm / std::hypot(c_mm, helix.pitch_mm) >= size_mm - kFit_mm) {
    return std::nullopt;
  }
  const double least_mm =
      size_mm > 0.0 ? size_mm * c_mm / std::sqrt(c_mm * c_mm - size_mm * size_mm) : 0.01;
  return does_not_fit("pitch", helix.pitch_mm, "lets neighbouring turns run into each other",
                      {at_least("pitch", least_mm)});
}

}  // namespace

Result<Shape> make_helix(const HelixShape& helix) {
  constexpr double kMostTurns = 1000.0;
  if (auto bad =
          first_of({refuse_unless_positive("radius", helix.radius_mm),
                    refuse_if_negative("pitch", helix.pitch_mm),
                    refuse_unless_whole("arcs per turn", helix.arcs_per_turn, 8, 360),
                    refuse_if_negative("lead", helix.lead_mm),
                    refuse_if_negative("tail", helix.tail_mm), refuse_unless_drawn(helix.drawn)})) {
    return *bad;
  }
  if (!(helix.turns_ratio >= 0.01 && helix.turns_ratio <= kMostTurns)) {
    return Failure{"shape.number", "turns",
                   fmt::format("{} turns cannot be made", base::print_number(helix.turns_ratio)),
                   "give 0.01 to 1000 turns"};
  }
  const double rho_mm = helix.radius_mm + to_centre_mm(helix.drawn);
  // The inside of the coil is a point where rho is half the tube.
  if (rho_mm - helix.drawn.size_mm / 2.0 < kFit_mm) {
    const double short_mm = helix.drawn.size_mm / 2.0 - rho_mm;
    return does_not_fit("radius", helix.radius_mm, "leaves no hole within the coil",
                        {at_least("radius", helix.radius_mm + short_mm + 0.01)});
  }
  if (auto bad = refuse_touching_turns(helix, rho_mm)) return *bad;
  // Steeper than 87° to the plane of a turn its arcs are shallower than any bend.
  const double steepest_mm = 20.0 * 2.0 * std::numbers::pi * rho_mm;
  if (helix.pitch_mm > steepest_mm + kFit_mm) {
    return does_not_fit("pitch", helix.pitch_mm, "makes a twisted straight of the coil",
                        {at_most("pitch", steepest_mm)});
  }

  const HelixStep step = helix_step(helix, rho_mm);
  Frame start = helix_start(step, rho_mm);
  const double deviation_mm = helix_deviation_mm(step, start, rho_mm);
  start = start.advanced(-helix.lead_mm);
  std::vector<BendRow> rows(static_cast<std::size_t>(step.num_steps),
                            {0.0, step.rotation, step.bend, step.radius_mm});
  rows.front().straight_mm = helix.lead_mm;
  rows.front().rotation = Angle();
  Shape shape = shape_of(std::move(rows), helix.tail_mm, start);
  if (helix.left_handed) {
    shape.table = shape.table.mirrored();
    for (Vec3* axis : {&shape.start.origin_mm, &shape.start.ahead, &shape.start.inward}) {
      axis->y() = -axis->y();
    }
    shape.start.normal = shape.start.ahead.cross(shape.start.inward);
  }
  const double h_mm = helix.pitch_mm / (2.0 * std::numbers::pi);
  const double per_rad_mm = std::hypot(rho_mm, h_mm);
  shape.lengths = {{"bend radius", per_rad_mm * per_rad_mm / rho_mm},
                   {"length per turn", 2.0 * std::numbers::pi * per_rad_mm},
                   {"deviation", deviation_mm}};
  shape.angles = {{"twist per turn", Angle::radians(2.0 * std::numbers::pi * h_mm / per_rad_mm)}};
  return shape;
}

}  // namespace bight::geometry
