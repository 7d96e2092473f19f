// Whether a bender still does what is keyed in: zero and scale of its angle and of its rotation,
// slip in the clamp, from a few bends that are known, and how these have moved from check to check.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "running/capability.h"
#include "running/moment.h"

namespace bight::running {

// What was keyed in, and what the machine did.
struct ScaleReading {
  base::Angle keyed;
  // Bend: read at the arm under load, or the finished angle with its springback put back.
  // Rotation: between the planes of two bends, which springback does not move.
  base::Angle done;
};

// Where the readings of one check may lie. Common practice, no source: a good bender repeats to a
// tenth or two of a degree, and drawings ask for half a degree.
struct CheckLimits {
  base::Angle zero = base::Angle::degrees(0.25);
  double scale_ratio = 0.003;  // 0.27° of 90°
  double slip_mm = 0.5;
};

// One visit to the machine.
struct MachineCheck {
  Moment at;
  std::string who;
  base::Angle error = base::Angle::degrees(0.2);  // of one reading, in 95 of 100
  double slip_error_mm = 0.3;                     // likewise
  std::vector<ScaleReading> bends;
  std::vector<ScaleReading> rotations;
  std::vector<double> slips_mm;  // how far the tube moved in the clamp
};

// kOpen: the interval lies across the limit; more readings decide.
enum class Fitness { kGood, kOff, kOpen };
std::string_view word(Fitness fitness);  // "good", "off", "open"

struct CheckedValue {
  double value = 0.0;
  Interval interval;  // 90 %
  double limit = 0.0;
  Fitness fitness = Fitness::kOpen;
  std::size_t count = 0;  // readings it rests on
};

// The machine goes by keyed · (1 + scale) + zero.
struct ScaleCheck {
  CheckedValue zero_deg;
  // Absent where all were keyed within kApart of each other: then zero is the error there, and
  // which of the two it is nobody can tell.
  std::optional<CheckedValue> scale_ratio;
  double scatter_deg = 0.0;  // one sigma of a reading: the gauge's, or more where readings say so
  bool from_gauge = false;   // it is the gauge's
};
inline constexpr double kScaleApart_deg = 20.0;

struct CheckResult {
  Moment at;
  std::string who;
  std::optional<ScaleCheck> angle, rotation;
  std::optional<CheckedValue> slip_mm;
  Fitness fitness = Fitness::kGood;  // the worst of them
};

// By straight lines through the readings (learning/least_squares.h). The scatter is the gauge's, or
// that of the readings about the line where it is larger; then Student's t takes the normal's
// place. Failure codes: check.nothing (no reading), check.number (not finite, errors or limits not
// above zero).
base::Result<CheckResult> check_machine(const MachineCheck& check, const CheckLimits& limits = {});

// How one value moves with time, by a straight line through the checks.
struct CheckTrend {
  std::string what;        // "angle zero", "angle scale", "rotation zero", "rotation scale", "slip"
  std::string unit;        // "deg", "ratio", "mm"
  double per_month = 0.0;  // of 30 days
  Interval interval;       // 90 %
  // Days from the last check until the line meets the limit; only where it moves for certain and
  // outwards, and has not met it.
  std::optional<double> days_left;
  std::size_t count = 0;
};
// For each value that at least three checks on different days hold.
std::vector<CheckTrend> trends_of(const std::vector<CheckResult>& results);

}  // namespace bight::running
