#include "mechanics/three_roll.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "base/positive.h"

namespace bight::mechanics {
using base::positive;

namespace {

using base::Failure;
using base::Result;

// Steps of the quadrature over curvature; the law may have a kink at yield, so the rule is the
// midpoint one and its error falls with the square of this number (1e-6 at 600).
constexpr int kShapeSteps = 600;
constexpr int kBisections = 90;
constexpr int kNewtonSteps = 60;
constexpr double kContactTolerance_ratio = 1e-10;  // of the roll spacing

Result<base::Done> checked_rolls(const RollMachine& machine) {
  if (positive(machine.bottom_spacing_mm) && positive(machine.bottom_diameter_mm) &&
      positive(machine.top_diameter_mm) && machine.bottom_spacing_mm > machine.bottom_diameter_mm) {
    return base::Done{};
  }
  return Failure{
      "roll.machine", "",
      fmt::format("rolls {} and {} mm at spacing {} mm cannot stand beside each other",
                  machine.bottom_diameter_mm, machine.top_diameter_mm, machine.bottom_spacing_mm),
      "give positive diameters and a spacing wider than one bottom roll"};
}

Result<base::Done> checked_rolls(const RollBar& bar) {
  if (positive(bar.depth_mm) && positive(bar.stiffness_nmm2) && bar.moment_nmm) {
    return base::Done{};
  }
  return Failure{"roll.bar", "", "the bar has no depth, stiffness or moment law",
                 "give a section and a material"};
}

Failure bad_radius(double radius_mm, std::string why) {
  return Failure{"roll.radius", "", fmt::format("radius {:.6g} mm {}", radius_mm, why),
                 "give a centreline radius the machine can reach"};
}

// Curvature a bar keeps when let go from kappa.
double released_per_mm(const RollBar& bar, double kappa_per_mm) {
  return kappa_per_mm - bar.moment_nmm(kappa_per_mm) / bar.stiffness_nmm2;
}

double curvature_per_mm(std::optional<double> clr_mm) { return clr_mm ? 1.0 / *clr_mm : 0.0; }

// Moment of a bar that comes in with curvature kappa0 from an earlier pass: elastic until it meets
// the virgin law again (fibres remember the highest stress they have carried).
double reloading_moment_nmm(const RollBar& bar, double kappa0_per_mm, double kappa_per_mm) {
  const double elastic_nmm = bar.stiffness_nmm2 * (kappa_per_mm - kappa0_per_mm);
  if (kappa0_per_mm == 0) return bar.moment_nmm(kappa_per_mm);
  return std::min(elastic_nmm, bar.moment_nmm(kappa_per_mm));
}

// Half of the bar between a bottom and the top contact, per unit lever arm, as a table over the
// fraction m = M / Mmax: curvature where the moment is that fraction.
struct LoadingPath {
  std::vector<double> fraction_ratio;  // rising from 0 to 1
  std::vector<double> kappa_per_mm;    // rising
};

LoadingPath entry_path(const RollBar& bar, double kappa0_per_mm, double kappa_per_mm) {
  LoadingPath path;
  const double most_nmm = reloading_moment_nmm(bar, kappa0_per_mm, kappa_per_mm);
  for (int step = 0; step <= kShapeSteps; ++step) {
    const double share_ratio = static_cast<double>(step) / kShapeSteps;
    const double here_per_mm = kappa0_per_mm + (kappa_per_mm - kappa0_per_mm) * share_ratio;
    path.kappa_per_mm.push_back(here_per_mm);
    path.fraction_ratio.push_back(
        step == kShapeSteps ? 1.0
                            : reloading_moment_nmm(bar, kappa0_per_mm, here_per_mm) / most_nmm);
  }
  return path;
}

LoadingPath exit_path(double released_kappa_per_mm, double kappa_per_mm) {
  LoadingPath path;
  for (int step = 0; step <= kShapeSteps; ++step) {
    const double share_ratio = static_cast<double>(step) / kShapeSteps;
    path.fraction_ratio.push_back(share_ratio);
    path.kappa_per_mm.push_back(released_kappa_per_mm +
                                (kappa_per_mm - released_kappa_per_mm) * share_ratio);
  }
  return path;
}

// First-order offset of the bottom contact, Int kappa x dx over the span, written as
// (a²/2) (kappa_i - Int m² dkappa).
double first_order_offset_mm(const LoadingPath& path, double span_mm) {
  double squared_per_mm = 0.0;
  for (std::size_t i = 1; i < path.kappa_per_mm.size(); ++i) {
    const double low_ratio = path.fraction_ratio[i - 1];
    const double high_ratio = path.fraction_ratio[i];
    // Exact for a law that is straight within the step.
    const double mean_square_ratio =
        (low_ratio * low_ratio + low_ratio * high_ratio + high_ratio * high_ratio) / 3;
    squared_per_mm += mean_square_ratio * (path.kappa_per_mm[i] - path.kappa_per_mm[i - 1]);
  }
  return span_mm * span_mm / 2 * (path.kappa_per_mm.back() - squared_per_mm);
}

// Where the bottom contact lies, seen from the top contact with its tangent as x axis.
struct Side {
  double along_mm = 0.0;
  double rise_mm = 0.0;
  double slope_rad = 0.0;
};

// Starts at the bottom contact with its own tangent as axis xi and the lever arm L = xi at the top
// contact. d(sin psi) = kappa d(xi) because d(xi) = cos psi ds, so the slope needs no step error
// of its own. Fails (nullopt) when the bar would stand on end.
std::optional<Side> side_shape(const LoadingPath& path, double arm_mm) {
  double sine_ratio = 0.0;
  double eta_mm = 0.0;
  for (std::size_t i = 1; i < path.kappa_per_mm.size(); ++i) {
    const double step_mm = arm_mm * (path.fraction_ratio[i] - path.fraction_ratio[i - 1]);
    const double middle_per_mm = (path.kappa_per_mm[i] + path.kappa_per_mm[i - 1]) / 2;
    const double middle_sine_ratio =
        sine_ratio + step_mm / 2 * (path.kappa_per_mm[i - 1] + middle_per_mm) / 2;
    sine_ratio += step_mm * middle_per_mm;
    if (!(std::abs(sine_ratio) < 1)) return std::nullopt;
    eta_mm += step_mm * middle_sine_ratio / std::sqrt(1 - middle_sine_ratio * middle_sine_ratio);
  }
  const double cosine_ratio = std::sqrt(1 - sine_ratio * sine_ratio);
  return Side{arm_mm * cosine_ratio + eta_mm * sine_ratio,
              arm_mm * sine_ratio - eta_mm * cosine_ratio, std::asin(sine_ratio)};
}

struct RollPoint {
  double x_mm = 0.0;
  double y_mm = 0.0;
};

double distance_mm(RollPoint a, RollPoint b) {
  return std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm);
}

// Centre of the bottom roll that touches the bar at the end of a side; sign -1 entry, +1 exit.
RollPoint roll_centre(const Side& side, double offset_mm, double sign_ratio) {
  return {sign_ratio * (side.along_mm + offset_mm * std::sin(side.slope_rad)),
          side.rise_mm - offset_mm * std::cos(side.slope_rad)};
}

struct Contact {
  Side entry;
  Side exit;
  double entry_arm_mm = 0.0;
  double exit_arm_mm = 0.0;
  double position_mm = 0.0;
};

// Residuals of the two conditions on the lever arms: the bottom rolls stand 2a apart, and the top
// roll stands on the line midway between them.
std::optional<std::array<double, 2>> contact_residual(const RollMachine& machine,
                                                      const RollBar& bar, const LoadingPath& in,
                                                      const LoadingPath& out, Contact& contact) {
  const auto entry = side_shape(in, contact.entry_arm_mm);
  const auto exit = side_shape(out, contact.exit_arm_mm);
  if (!entry || !exit) return std::nullopt;
  contact.entry = *entry;
  contact.exit = *exit;
  const double offset_mm = machine.bottom_diameter_mm / 2 + bar.to_bottom_roll_mm();
  const RollPoint top{0.0, machine.top_diameter_mm / 2 + bar.to_top_roll_mm()};
  const RollPoint left = roll_centre(*entry, offset_mm, -1);
  const RollPoint right = roll_centre(*exit, offset_mm, +1);
  const double left_mm = distance_mm(top, left);
  const double right_mm = distance_mm(top, right);
  const double half_mm = distance_mm(left, right) / 2;
  const double mean_mm = (left_mm + right_mm) / 2;
  const double height_mm = std::sqrt(std::max(0.0, mean_mm * mean_mm - half_mm * half_mm));
  contact.position_mm =
      (machine.bottom_diameter_mm + machine.top_diameter_mm) / 2 + bar.depth_mm - height_mm;
  return std::array<double, 2>{2 * half_mm - machine.bottom_spacing_mm, left_mm - right_mm};
}

// Newton with numeric derivatives on the two lever arms, started at half the spacing.
std::optional<Contact> solve_contact(const RollMachine& machine, const RollBar& bar,
                                     const LoadingPath& in, const LoadingPath& out) {
  const double half_mm = machine.bottom_spacing_mm / 2;
  const double tolerance_mm = kContactTolerance_ratio * machine.bottom_spacing_mm;
  Contact contact;
  contact.entry_arm_mm = contact.exit_arm_mm = half_mm;
  // A tight bar would stand on end over the full span: start where both sides exist.
  auto residual = contact_residual(machine, bar, in, out, contact);
  for (int halving = 0; !residual && halving < 12; ++halving) {
    contact.entry_arm_mm *= 0.8;
    contact.exit_arm_mm *= 0.8;
    residual = contact_residual(machine, bar, in, out, contact);
  }
  for (int step = 0; residual && step < kNewtonSteps; ++step) {
    const auto [spacing_mm, balance_mm] = *residual;
    if (std::abs(spacing_mm) < tolerance_mm && std::abs(balance_mm) < tolerance_mm) return contact;
    const double nudge_mm = 1e-6 * half_mm;
    Contact moved = contact;
    moved.entry_arm_mm += nudge_mm;
    const auto by_entry = contact_residual(machine, bar, in, out, moved);
    moved = contact;
    moved.exit_arm_mm += nudge_mm;
    const auto by_exit = contact_residual(machine, bar, in, out, moved);
    if (!by_entry || !by_exit) return std::nullopt;
    const double a = ((*by_entry)[0] - spacing_mm) / nudge_mm;
    const double b = ((*by_exit)[0] - spacing_mm) / nudge_mm;
    const double c = ((*by_entry)[1] - balance_mm) / nudge_mm;
    const double d = ((*by_exit)[1] - balance_mm) / nudge_mm;
    const double determinant = a * d - b * c;
    if (determinant == 0) return std::nullopt;
    double entry_step_mm = (d * spacing_mm - b * balance_mm) / determinant;
    double exit_step_mm = (a * balance_mm - c * spacing_mm) / determinant;
    const double longest_mm = std::max(std::abs(entry_step_mm), std::abs(exit_step_mm));
    const double damping_ratio = std::min(1.0, 0.2 * half_mm / longest_mm);
    const Contact before = contact;
    double share_ratio = damping_ratio;
    do {
      contact.entry_arm_mm = before.entry_arm_mm - share_ratio * entry_step_mm;
      contact.exit_arm_mm = before.exit_arm_mm - share_ratio * exit_step_mm;
      residual = contact_residual(machine, bar, in, out, contact);
      share_ratio /= 2;
    } while (!residual && share_ratio > 1e-4);
  }
  return std::nullopt;
}

Result<RollPass> pass_at_curvature(const RollMachine& machine, const RollBar& bar,
                                   double kappa_per_mm, double kappa0_per_mm) {
  RollPass pass;
  pass.loaded_clr_mm = 1 / kappa_per_mm;
  pass.moment_nmm = reloading_moment_nmm(bar, kappa0_per_mm, kappa_per_mm);
  const double kept_per_mm = kappa_per_mm - pass.moment_nmm / bar.stiffness_nmm2;
  const auto contact = solve_contact(machine, bar, entry_path(bar, kappa0_per_mm, kappa_per_mm),
                                     exit_path(kept_per_mm, kappa_per_mm));
  if (!contact) {
    return Failure{"roll.no-solution", "",
                   fmt::format("loaded radius {:.1f} mm does not rest on rolls {:.1f} mm apart",
                               pass.loaded_clr_mm, machine.bottom_spacing_mm),
                   "a closer roll spacing or a larger radius"};
  }
  pass.position_mm = contact->position_mm;
  // Rounding leaves a trace of curvature in a bar that stayed elastic.
  const bool straight = kept_per_mm <= 1e-9 * kappa_per_mm;
  pass.released_clr_mm = straight ? std::numeric_limits<double>::infinity() : 1 / kept_per_mm;
  pass.released_band = {pass.released_clr_mm / (1 + kRolledRadiusBand_ratio), pass.released_clr_mm,
                        pass.released_clr_mm * (1 + kRolledRadiusBand_ratio),
                        "analytic three-roll models and finite elements differ by about 15 % in "
                        "radius until the machine has been calibrated by logged passes"};
  pass.entry_arm_mm = contact->entry_arm_mm;
  pass.exit_arm_mm = contact->exit_arm_mm;
  pass.entry_force_n = pass.moment_nmm / contact->entry_arm_mm;
  pass.exit_force_n = pass.moment_nmm / contact->exit_arm_mm;
  pass.top_force_n = pass.entry_force_n * std::cos(contact->entry.slope_rad) +
                     pass.exit_force_n * std::cos(contact->exit.slope_rad);
  pass.entry_slope = base::Angle::radians(contact->entry.slope_rad);
  pass.exit_slope = base::Angle::radians(contact->exit.slope_rad);
  pass.flat_mm = machine.bottom_spacing_mm / 2;
  return pass;
}

Result<base::Done> checked_incoming(std::optional<double> incoming_clr_mm) {
  if (!incoming_clr_mm || positive(*incoming_clr_mm)) return base::Done{};
  return bad_radius(*incoming_clr_mm, "is not a radius to start from");
}

}  // namespace

Result<double> loaded_clr_mm(const RollBar& bar, double released_clr_mm) {
  BIGHT_TRY([[maybe_unused]] const auto bar_ok, checked_rolls(bar));
  if (!positive(released_clr_mm)) return bad_radius(released_clr_mm, "is not a radius");
  const double wanted_per_mm = 1 / released_clr_mm;
  double high_per_mm = wanted_per_mm;
  for (int doubling = 0; released_per_mm(bar, high_per_mm) < wanted_per_mm; ++doubling) {
    high_per_mm *= 2;
    if (doubling == 60) return bad_radius(released_clr_mm, "springs back fully");
  }
  double low_per_mm = 0.0;
  for (int step = 0; step < kBisections; ++step) {
    const double middle_per_mm = (low_per_mm + high_per_mm) / 2;
    (released_per_mm(bar, middle_per_mm) < wanted_per_mm ? low_per_mm : high_per_mm) =
        middle_per_mm;
  }
  return 1 / high_per_mm;
}

Result<double> circle_travel_mm(const RollMachine& machine, const RollBar& bar,
                                double loaded_radius_mm) {
  BIGHT_TRY([[maybe_unused]] const auto machine_ok, checked_rolls(machine));
  const double half_mm = machine.bottom_spacing_mm / 2;
  const double outer_mm =
      loaded_radius_mm + bar.to_bottom_roll_mm() + machine.bottom_diameter_mm / 2;
  const double inner_mm = loaded_radius_mm - bar.to_top_roll_mm() - machine.top_diameter_mm / 2;
  if (!positive(loaded_radius_mm) || !(bar.depth_mm > 0) || outer_mm <= half_mm || inner_mm < 0) {
    return bad_radius(loaded_radius_mm, "does not reach both bottom rolls around the top roll");
  }
  return (machine.bottom_diameter_mm + machine.top_diameter_mm) / 2 + bar.depth_mm -
         (std::sqrt((outer_mm - half_mm) * (outer_mm + half_mm)) - inner_mm);
}

Result<RollDeflection> roll_deflection(const RollMachine& machine, const RollBar& bar,
                                       double loaded_radius_mm,
                                       std::optional<double> incoming_clr_mm) {
  BIGHT_TRY([[maybe_unused]] const auto machine_ok, checked_rolls(machine));
  BIGHT_TRY([[maybe_unused]] const auto bar_ok, checked_rolls(bar));
  BIGHT_TRY([[maybe_unused]] const auto incoming_ok, checked_incoming(incoming_clr_mm));
  const double kappa0_per_mm = curvature_per_mm(incoming_clr_mm);
  if (!positive(loaded_radius_mm) || 1 / loaded_radius_mm <= kappa0_per_mm) {
    return bad_radius(loaded_radius_mm, "does not bend the bar further");
  }
  const double kappa_per_mm = 1 / loaded_radius_mm;
  const double moment_nmm = reloading_moment_nmm(bar, kappa0_per_mm, kappa_per_mm);
  const double half_mm = machine.bottom_spacing_mm / 2;
  return RollDeflection{
      first_order_offset_mm(entry_path(bar, kappa0_per_mm, kappa_per_mm), half_mm),
      first_order_offset_mm(exit_path(kappa_per_mm - moment_nmm / bar.stiffness_nmm2, kappa_per_mm),
                            half_mm)};
}

Result<RollPass> roll_to_radius(const RollMachine& machine, const RollBar& bar,
                                double released_clr_mm, std::optional<double> incoming_clr_mm) {
  BIGHT_TRY([[maybe_unused]] const auto machine_ok, checked_rolls(machine));
  BIGHT_TRY([[maybe_unused]] const auto incoming_ok, checked_incoming(incoming_clr_mm));
  BIGHT_TRY(const double loaded_mm, loaded_clr_mm(bar, released_clr_mm));
  if (loaded_mm < machine.top_diameter_mm / 2 + bar.to_top_roll_mm()) {
    return bad_radius(released_clr_mm, "is smaller than the top roll allows");
  }
  if (incoming_clr_mm && released_clr_mm >= *incoming_clr_mm) {
    return bad_radius(released_clr_mm, "is wider than the bar already is; rolls cannot open it");
  }
  return pass_at_curvature(machine, bar, 1 / loaded_mm, curvature_per_mm(incoming_clr_mm));
}

Result<RollPass> roll_at_position(const RollMachine& machine, const RollBar& bar,
                                  double position_mm, std::optional<double> incoming_clr_mm) {
  BIGHT_TRY([[maybe_unused]] const auto machine_ok, checked_rolls(machine));
  BIGHT_TRY([[maybe_unused]] const auto bar_ok, checked_rolls(bar));
  BIGHT_TRY([[maybe_unused]] const auto incoming_ok, checked_incoming(incoming_clr_mm));
  const double kappa0_per_mm = curvature_per_mm(incoming_clr_mm);
  const double tightest_per_mm = 1 / (machine.top_diameter_mm / 2 + bar.to_top_roll_mm());
  if (!positive(position_mm) || kappa0_per_mm >= tightest_per_mm) {
    return Failure{"roll.position", "",
                   fmt::format("top roll position {} mm is not past touching", position_mm),
                   "give the travel from just touching a straight bar"};
  }
  // A hair of bending, so that the moment is never zero.
  double low_per_mm = kappa0_per_mm + 1e-9 * (tightest_per_mm - kappa0_per_mm);
  double high_per_mm = tightest_per_mm;
  const auto touching = pass_at_curvature(machine, bar, low_per_mm, kappa0_per_mm);
  if (!touching.ok()) return touching;
  if (touching->position_mm > position_mm) {
    return Failure{"roll.position", "",
                   fmt::format("the bent bar is first touched at {:.2f} mm, not at {:.2f} mm",
                               touching->position_mm, position_mm),
                   "go further in than the pass before"};
  }
  for (int step = 0; step < kBisections / 2; ++step) {
    const double middle_per_mm = (low_per_mm + high_per_mm) / 2;
    const auto pass = pass_at_curvature(machine, bar, middle_per_mm, kappa0_per_mm);
    // A bar that would leave the rolls stands too far in.
    const bool too_far = !pass.ok() || pass->position_mm > position_mm;
    (too_far ? high_per_mm : low_per_mm) = middle_per_mm;
  }
  auto pass = pass_at_curvature(machine, bar, low_per_mm, kappa0_per_mm);
  if (pass.ok() && !(std::abs(pass->position_mm - position_mm) < 1e-3)) {
    return Failure{"roll.no-solution", "",
                   fmt::format("no bent shape fits the top roll at {:.2f} mm", position_mm),
                   "a smaller travel; the bar meets the rolls elsewhere"};
  }
  return pass;
}

Result<std::vector<RollPass>> plan_passes(const RollMachine& machine, const RollBar& bar,
                                          double released_clr_mm, int num_passes,
                                          std::optional<double> incoming_clr_mm) {
  if (num_passes < 1 || num_passes > 50) {
    return Failure{"roll.passes", "", fmt::format("{} passes is not a plan", num_passes),
                   "1 to 50 passes"};
  }
  BIGHT_TRY([[maybe_unused]] const auto incoming_ok, checked_incoming(incoming_clr_mm));
  if (!positive(released_clr_mm)) return bad_radius(released_clr_mm, "is not a radius");
  const double start_per_mm = curvature_per_mm(incoming_clr_mm);
  const double gain_per_mm = 1 / released_clr_mm - start_per_mm;
  std::vector<RollPass> passes;
  for (int index = 1; index <= num_passes; ++index) {
    const double kept_per_mm = start_per_mm + gain_per_mm * index / num_passes;
    BIGHT_TRY(RollPass pass, roll_to_radius(machine, bar, 1 / kept_per_mm, incoming_clr_mm));
    incoming_clr_mm = pass.released_clr_mm;
    passes.push_back(std::move(pass));
  }
  return passes;
}

}  // namespace bight::mechanics
