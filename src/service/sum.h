// A number of the plan and how it comes about.
#pragma once

#include <string>
#include <vector>

#include "planning/plan.h"

namespace bight::service {

// The formula with the inputs' values gives the value. docs/formats/openapi.yaml, Arithmetic.
struct Sum {
  std::string key;    // path in the plan's document: "steps[0].set_angle_deg"
  std::string title;  // what it is, in words
  double value = 0.0;
  std::string unit;
  std::string formula;
  std::vector<planning::Term> inputs;
  std::string source;
};

}  // namespace bight::service
