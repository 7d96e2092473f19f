// What several commands read in the same way: a part, a shop, units.
#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>

#include "base/length.h"
#include "base/result.h"
#include "exchange/part_toml.h"
#include "planning/planner.h"
#include "workshop/shop.h"

namespace bight::app {

// The shop folder of this name; empty: the folder in the environment variable BIGHT_SHOP, else the
// demo shop that travels inside the program.
base::Result<workshop::Shop> load_shop(const std::string& folder);

// Options shared by plan and sheet.
struct PlanArguments {
  std::string part;
  std::string shop;
  std::string bender;
  std::string die;
  std::string from = "A";
  std::string units;  // empty: as the part file says
  bool mirror = false;
};
void add_plan_options(CLI::App& command, PlanArguments& arguments);

// Length style for a unit: millimetres to 0.1, inches to 0.001.
base::LengthStyle style_of(base::LengthUnit unit);
// "mm", "in" or "in/16", "in/32", "in/64"; the part's own unit when empty.
base::LengthStyle style_of(const std::string& units, base::LengthUnit part_unit);

// Today's date where the program runs, "2026-01-31".
std::string today();

struct MadePlan {
  planning::Plan plan;
  base::LengthStyle style;
};
base::Result<MadePlan> make_plan(const PlanArguments& arguments);

}  // namespace bight::app
