// Torque and power at the bend die, and the speed a motor can hold.
#pragma once

#include <optional>
#include <string>

#include "base/result.h"
#include "stock/section.h"

namespace bight::mechanics {

// What the tooling adds to the bending moment. Leave a force out when nobody has measured it.
struct ToolForces {
  double mandrel_n = 0.0;                // drag on the mandrel, acts at the centreline
  double wiper_n = 0.0;                  // drag on the wiper, acts at the inside of the bend
  double pressure_friction_ratio = 0.0;  // coefficient at a fixed pressure die; 0 when it follows
  // Distance from the tangent point to the middle of the pressure die's contact.
  double pressure_arm_mm = 0.0;
};

// Torque on the die shaft.
struct DieTorque {
  double low_nmm = 0.0;
  double likely_nmm = 0.0;
  double high_nmm = 0.0;
  double pressure_die_n = 0.0;  // reaction, M / arm; 0 when no arm is known
  std::string basis;
};

// Without tool forces T = 1.3 to 1.5 M (common practice, no source); likely 1.4.
DieTorque die_torque(double moment_nmm);

// T = M + F_m R + F_w (R - D/2) + mu N (R + D/2), N = M/a; equilibrium about the die shaft. The
// band is the one of the moment alone, +-10 %. Failure code: torque.input (a negative force, or a
// friction coefficient without an arm).
base::Result<DieTorque> die_torque(double moment_nmm, double radius_mm, double height_mm,
                                   const ToolForces& forces);

// A bender's drive.
struct Drive {
  double rated_torque_nmm = 0.0;  // at the die shaft
  double power_w = 0.0;           // at the motor shaft
  double efficiency_ratio = 0.8;  // motor shaft to die shaft
  double max_speed_rpm = 0.0;     // of the die shaft
};

// What the drive can do with a torque.
struct SpeedLimit {
  bool overload = false;     // the torque is beyond the drive at any speed
  double max_rpm = 0.0;      // 0 on overload
  double advised_rpm = 0.0;  // slower for heavy or solid stock
  std::string limited_by;    // "machine", "power", "torque" or "stock"
  double power_w = 0.0;      // at the motor, at max_rpm
  std::string advice;        // a sentence; empty when the drive's full speed is fine
};

// Fastest die speed at which the drive holds the torque, P = T omega / efficiency. Solid stock or
// a wall factor below 10 is advised at half of it (the trade bends larger, heavy-walled or solid
// stock slower, and answers an overload by slowing down: common practice, no source).
// Failure code: torque.input (a drive without torque, power or speed; efficiency not in (0, 1]).
base::Result<SpeedLimit> speed_limit(const stock::Section& section, const DieTorque& torque,
                                     const Drive& drive);

// Power at the motor for a torque at a speed.
double motor_power_w(double torque_nmm, double speed_rpm, double efficiency_ratio);

// Force at the end of a hand lever.
double lever_force_n(double torque_nmm, double lever_mm);

}  // namespace bight::mechanics
