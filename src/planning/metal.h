// What the metal does in each die of a plan: walls, roundness, wrinkles, cracks, tooling, speed.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "mechanics/spread.h"
#include "mechanics/tooling_need.h"
#include "mechanics/torque.h"
#include "part/part.h"
#include "workshop/shop.h"

namespace bight::planning {

// One tube in one die set, from the bending engine and the trade's own quotients. Everything here
// is a forecast; the first bend is measured.
struct MetalForecast {
  std::string die;
  double wall_factor_ratio = 0.0;          // W = size / wall
  double d_of_bend_ratio = 0.0;            // k = die radius / size
  double outer_strain_ratio = 0.0;         // engineering, outermost fibre
  std::optional<double> uniform_ratio;     // strain at which the tensile test necks
  std::optional<double> elongation_ratio;  // total, from the metal
  double stretch_ratio = 0.0;              // of the centreline
  double neutral_shift_mm = 0.0;           // towards the inside
  double springback_ratio = 0.0;           // calculated share of the angle
  mechanics::LengthSpread wall_outer;
  mechanics::LengthSpread wall_inner;
  std::optional<mechanics::RatioSpread> ovality;  // absent when it may collapse, or not round
  std::string ovality_message;
  std::optional<double> wrinkle_quotient_ratio;  // W / k
  std::string wrinkle_message;
  std::vector<mechanics::ToolAdvice> tooling;  // rules exceeded
  std::optional<double> nose_mm;               // mandrel nose diameter
  std::optional<double> nose_advance_mm;       // start value ahead of the tangent
  std::optional<double> difficulty_ratio;      // trade number, up to 7 relatively simple
  mechanics::DieTorque torque;
  std::optional<mechanics::SpeedLimit> speed;
  std::vector<part::Finding> findings;
};

// Forecast for the part's section, standing as it does in this die, bent by angle_most at most.
// Failure codes: those of mechanics::predict_bend and stock::flow_curve.
base::Result<MetalForecast> forecast_metal(const part::Part& part, const stock::Section& section,
                                           const workshop::DieSet& die,
                                           const workshop::Bender& bender, base::Angle angle_most);

}  // namespace bight::planning
