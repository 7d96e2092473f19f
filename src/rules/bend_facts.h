// What is known about one bend, or one measured part, when a rule is asked about it.
#pragma once

#include <optional>
#include <string>

#include "base/angle.h"

namespace bight::rules {

// Every fact is optional; a rule that lacks one names it. Nothing here is derived: give what was
// drawn, ordered, computed or measured, and say so on the sheet.
struct BendFacts {
  // The tube as ordered.
  std::optional<double> od_mm;                // outside diameter
  std::optional<double> od_measured_mm;       // average measured before bending
  std::optional<double> nominal_diameter_mm;  // of pipe, where a code counts R in NPD; tube: OD
  std::optional<double> wall_mm;              // nominal
  std::optional<double> wall_before_mm;       // least wall before bending
  std::optional<bool> schedule_40_or_heavier;
  std::string metal_family;                    // as data/metals.csv names it
  std::optional<double> elongation_min_ratio;  // specified minimum A, 0.30 = 30 %

  // The bend.
  std::optional<double> clr_mm;           // centreline radius
  std::optional<double> radius_error_mm;  // measured less wanted
  std::optional<bool> mandrel_used;
  std::optional<base::Angle> seam_off_neutral;  // weld seam from the nearer neutral side, 0..90°

  // Measured after bending.
  std::optional<double> d_max_mm;
  std::optional<double> d_min_mm;
  std::optional<double> wall_after_mm;  // least

  // Design under pressure.
  std::optional<double> required_wall_mm;  // of straight tube for the pressure (tm, t0, t1)
  std::optional<double> pressure_mpa;
  std::optional<double> allowable_mpa;  // S E W
  std::optional<double> y_ratio;        // temperature coefficient y
  double allowance_mm = 0.0;            // corrosion, threads

  // Conduit and copper by trade name.
  std::string conduit_trade_size;         // "1/2", "1-1/4"
  std::optional<bool> one_shot;           // one-shot or full-shoe bender
  std::optional<base::Angle> total_bend;  // between pull points, every bend counted
  std::optional<double> copper_nominal_in;
  char copper_type = '\0';    // 'K', 'L', 'M'
  std::string copper_temper;  // "annealed", "drawn"

  // Dimensions with a general tolerance.
  std::optional<double> length_mm;
  std::optional<double> length_error_mm;
  std::optional<double> shorter_leg_mm;
  std::optional<base::Angle> angle_error;
};

}  // namespace bight::rules
