#include "mechanics/torque.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/positive.h"

namespace bight::mechanics {

using base::positive;

namespace {

using std::numbers::pi;

// Common practice, no source.
constexpr double kLowFactor_ratio = 1.3;
constexpr double kHighFactor_ratio = 1.5;
// The moment's own band when every tool force is known: strength tolerance of stock.
constexpr double kMomentBand_ratio = 0.10;
constexpr double kHeavyWallFactor_ratio = 10.0;
constexpr double kHeavySpeed_ratio = 0.5;

double rad_per_s(double rpm) { return rpm * 2.0 * pi / 60.0; }

base::Failure bad(const char* where, double value, const char* remedy) {
  return {"torque.input", where, fmt::format("{} is out of range", value), remedy};
}

bool not_negative(double value) { return std::isfinite(value) && value >= 0.0; }
}  // namespace

DieTorque die_torque(double moment_nmm) {
  return {kLowFactor_ratio * moment_nmm, 0.5 * (kLowFactor_ratio + kHighFactor_ratio) * moment_nmm,
          kHighFactor_ratio * moment_nmm, 0.0,
          "1.3 to 1.5 times the bending moment (common practice, no source)"};
}

base::Result<DieTorque> die_torque(double moment_nmm, double radius_mm, double height_mm,
                                   const ToolForces& forces) {
  if (!not_negative(forces.mandrel_n)) return bad("mandrel", forces.mandrel_n, "a force in N");
  if (!not_negative(forces.wiper_n)) return bad("wiper", forces.wiper_n, "a force in N");
  if (!not_negative(forces.pressure_friction_ratio)) {
    return bad("friction", forces.pressure_friction_ratio, "a coefficient, 0.05 to 0.3");
  }
  if (!not_negative(forces.pressure_arm_mm) ||
      (forces.pressure_friction_ratio > 0.0 && forces.pressure_arm_mm == 0.0)) {
    return bad("arm", forces.pressure_arm_mm,
               "the distance from tangent point to the middle of the pressure die");
  }
  DieTorque out;
  if (forces.pressure_arm_mm > 0.0) out.pressure_die_n = moment_nmm / forces.pressure_arm_mm;
  out.likely_nmm =
      moment_nmm + forces.mandrel_n * radius_mm + forces.wiper_n * (radius_mm - height_mm / 2.0) +
      forces.pressure_friction_ratio * out.pressure_die_n * (radius_mm + height_mm / 2.0);
  out.low_nmm = (1.0 - kMomentBand_ratio) * out.likely_nmm;
  out.high_nmm = (1.0 + kMomentBand_ratio) * out.likely_nmm;
  out.basis = "moment and tool forces about the die shaft";
  return out;
}

double motor_power_w(double torque_nmm, double speed_rpm, double efficiency_ratio) {
  return torque_nmm / 1000.0 * rad_per_s(speed_rpm) / efficiency_ratio;
}

double lever_force_n(double torque_nmm, double lever_mm) { return torque_nmm / lever_mm; }

base::Result<SpeedLimit> speed_limit(const stock::Section& section, const DieTorque& torque,
                                     const Drive& drive) {
  if (!positive(drive.rated_torque_nmm)) {
    return bad("rated torque", drive.rated_torque_nmm, "the torque at the die shaft");
  }
  if (!positive(drive.power_w)) return bad("power", drive.power_w, "the motor's power in W");
  if (!positive(drive.max_speed_rpm)) return bad("speed", drive.max_speed_rpm, "a speed in 1/min");
  if (!positive(drive.efficiency_ratio) || drive.efficiency_ratio > 1.0) {
    return bad("efficiency", drive.efficiency_ratio, "a share above 0 and up to 1");
  }
  SpeedLimit out;
  if (torque.high_nmm > drive.rated_torque_nmm) {
    out.limited_by = "torque";
    out.overload = torque.likely_nmm > drive.rated_torque_nmm;
    out.advice = fmt::format(
        "{:.0f} N m asked for at most, {:.0f} N m rated: {}", torque.high_nmm / 1000.0,
        drive.rated_torque_nmm / 1000.0,
        out.overload ? "a stronger bender, or a larger radius" : "bend slowly and watch the drive");
    if (out.overload) return out;
  }
  const double by_power_rpm =
      drive.power_w * drive.efficiency_ratio / (torque.high_nmm / 1000.0) * 60.0 / (2.0 * pi);
  out.max_rpm = std::min(drive.max_speed_rpm, by_power_rpm);
  if (out.limited_by.empty()) {
    out.limited_by = by_power_rpm < drive.max_speed_rpm ? "power" : "machine";
  }
  out.advised_rpm = out.max_rpm;
  const bool heavy = !section.hollow() || section.wall_factor_ratio() < kHeavyWallFactor_ratio;
  if (heavy || out.limited_by == "torque") {
    out.advised_rpm = kHeavySpeed_ratio * out.max_rpm;
    if (out.limited_by == "machine") out.limited_by = "stock";
    if (out.advice.empty()) {
      out.advice = "heavy-walled or solid stock: go slower; on overload slow down";
    }
  } else if (out.limited_by == "power") {
    out.advice = "the motor cannot hold its full speed; on overload slow down";
  }
  out.power_w = motor_power_w(torque.high_nmm, out.max_rpm, drive.efficiency_ratio);
  return out;
}

}  // namespace bight::mechanics
