#include "service/plan_arithmetic.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "exchange/json_numbers.h"
#include "planning/bent_shape.h"
#include "planning/straights.h"

namespace bight::service {

using exchange::tidy;
using planning::Plan;
using Json = nlohmann::ordered_json;

namespace {

struct Input {
  std::string symbol;
  std::string meaning;
  double value = 0.0;
  std::string unit;
};

struct Sum {
  std::string key;
  std::string title;
  double value = 0.0;
  std::string unit;
  std::string formula;
  std::vector<Input> inputs;
  std::string source;
};

Json sum_json(const Sum& sum) {
  Json inputs = Json::array();
  for (const Input& input : sum.inputs) {
    inputs.push_back({{"symbol", input.symbol},
                      {"meaning", input.meaning},
                      {"value", tidy(input.value)},
                      {"unit", input.unit}});
  }
  return {{"key", sum.key},      {"title", sum.title},     {"value", tidy(sum.value)},
          {"unit", sum.unit},    {"formula", sum.formula}, {"inputs", inputs},
          {"source", sum.source}};
}

const planning::UsedDie& die_of(const Plan& plan, const planning::Step& step) {
  return *std::find_if(plan.dies.begin(), plan.dies.end(),
                       [&](const planning::UsedDie& used) { return used.die.name == step.die; });
}

Sum set_angle_sum(const Plan& plan, const planning::Step& step, const std::string& at) {
  const planning::SpringbackLaw& law = die_of(plan, step).law;
  return {at + "set_angle_deg",
          fmt::format("set angle of bend {}", step.bend),
          step.set_angle.likely.deg(),
          "deg",
          "(angle + a) / (1 - b)",
          {{"angle", "wanted bend angle", step.angle.deg(), "deg"},
           {"a", "springback, constant part", law.constant.deg(), "deg"},
           {"b", "springback, share of the set angle", law.proportional_ratio, ""}},
          law.basis};
}

Sum arc_sum(const Plan& plan, const planning::Step& step, const std::string& at) {
  const double full_mm = step.radius_after_release_mm * step.angle.rad();
  return {at + "arc_mm",
          fmt::format("tube used by bend {}", step.bend),
          step.arc_mm,
          "mm",
          "k * R * angle * pi / 180",
          {{"R", "centreline radius after release", step.radius_after_release_mm, "mm"},
           {"angle", "wanted bend angle", step.angle.deg(), "deg"},
           {"k", "share of the drawn arc that the blank gives", step.arc_mm / full_mm, ""}},
          plan.blank.basis};
}

Sum radius_sum(const Plan& plan, const planning::Step& step, const std::string& at) {
  const planning::UsedDie& used = die_of(plan, step);
  const double b = std::max(0.0, used.law.proportional_ratio);
  const double value_mm = step.radius_after_release_mm;
  Sum sum{at + "radius_after_release_mm",
          fmt::format("radius of bend {} after release", step.bend),
          value_mm,
          "mm",
          "R_die / (1 - b)",
          {{"R_die", "radius of the die", used.die.radius_mm, "mm"},
           {"b", "springback, share of the set angle", b, ""}},
          "the neutral fibre keeps its length (derived)"};
  if (std::abs(used.die.radius_mm / (1.0 - b) - value_mm) <= 1e-6) return sum;
  sum.formula = "R_die * g";
  sum.inputs[1] = {"g", "growth of the radius, measured", value_mm / used.die.radius_mm, ""};
  sum.source = "trial bends whose radius was measured";
  return sum;
}

// What the blank has ahead of the part at end A.
double ahead_mm(const Plan& plan) {
  const planning::Blank& blank = plan.blank;
  return blank.front == planning::End::kA ? blank.grip_front_mm + blank.trim_front_mm
                                          : blank.grip_back_mm + blank.trim_back_mm;
}

double arc_of_bend_mm(const Plan& plan, std::size_t bend) {
  for (const planning::Step& step : plan.steps) {
    if (step.bend == bend + 1) return step.arc_mm;
  }
  return 0.0;
}

std::vector<Sum> mark_sums(const Plan& plan, const planning::Step& step, const std::string& at) {
  double straights_mm = 0.0;
  double arcs_mm = 0.0;
  for (std::size_t i = 0; i < step.bend; ++i) {
    straights_mm += plan.bent_table.straight_mm(i);
    if (i + 1 < step.bend) arcs_mm += arc_of_bend_mm(plan, i);
  }
  // With end B ahead the bend starts where it ends seen from A.
  if (step.front == planning::End::kB) arcs_mm += step.arc_mm;
  return {{at + "mark_mm",
           fmt::format("mark of bend {} from end A", step.bend),
           step.mark_mm,
           "mm",
           "e + s + l",
           {{"e", "grip and trim at end A", ahead_mm(plan), "mm"},
            {"s", "straights before the mark", straights_mm, "mm"},
            {"l", "tube used by bends before the mark", arcs_mm, "mm"}},
           "lengths along the blank (derived)"},
          {at + "mark_from_b_mm",
           fmt::format("mark of bend {} from end B", step.bend),
           step.mark_from_b_mm,
           "mm",
           "L - m",
           {{"L", "cut length", plan.blank.cut.likely_mm, "mm"},
            {"m", "mark from end A", step.mark_mm, "mm"}},
           "lengths along the blank (derived)"}};
}

Sum cut_sum(const Plan& plan) {
  double straights_mm = plan.bent_table.last_straight_mm();
  double arcs_mm = 0.0;
  for (std::size_t i = 0; i < plan.bent_table.num_bends(); ++i) {
    straights_mm += plan.bent_table.straight_mm(i);
    arcs_mm += arc_of_bend_mm(plan, i);
  }
  const planning::Blank& blank = plan.blank;
  return {"blank.cut_length_mm",
          "cut length",
          blank.cut.likely_mm,
          "mm",
          "s + l + g + t",
          {{"s", "all straights", straights_mm, "mm"},
           {"l", "tube used by all bends", arcs_mm, "mm"},
           {"g", "grip added at both ends", blank.grip_front_mm + blank.grip_back_mm, "mm"},
           {"t", "spare cut off at both ends", blank.trim_front_mm + blank.trim_back_mm, "mm"}},
          blank.basis};
}

// How much a bend takes from each straight beside it because its radius is not the drawn one.
double give_mm(const Plan& plan, std::size_t bend) {
  const geometry::BendRow& drawn = plan.part.table.rows()[bend];
  const double more_mm = plan.bent_table.rows()[bend].radius_mm - drawn.radius_mm;
  return drawn.angle > planning::kHoldReachAbove ? more_mm : more_mm * base::tan(drawn.angle / 2.0);
}

// Where bends ahead are not made yet, the straight runs on through them.
Sum long_straight_sum(const Plan& plan, const planning::Step& step, const planning::Run& run,
                      const std::string& at) {
  double straights_mm = plan.bent_table.straight_mm(run.first);
  double arcs_mm = 0.0;
  for (std::size_t i = run.first; i < run.last; ++i) {
    straights_mm += plan.bent_table.straight_mm(i + 1);
    arcs_mm += arc_of_bend_mm(plan, i);
  }
  return {
      at + "straight_mm",
      fmt::format("tube ahead of bend {}, straight as yet", step.bend),
      step.straight_mm,
      "mm",
      "s + l",
      {{"s", fmt::format("straights {} to {}", run.first + 1, run.last + 1), straights_mm, "mm"},
       {"l", "tube of the bends between, not made yet", arcs_mm, "mm"}},
      "lengths along the blank (derived)"};
}

Sum straight_sum(const Plan& plan, const planning::Step& step, const planning::Run& run,
                 const std::string& at) {
  if (run.first != run.last) return long_straight_sum(plan, step, run, at);
  const std::size_t index = run.first;
  const std::size_t bends = plan.bent_table.num_bends();
  return {at + "straight_mm",
          fmt::format("straight {} ahead of bend {}", index + 1, step.bend),
          step.straight_mm,
          "mm",
          "d - p - q",
          {{"d", "straight as drawn", plan.part.table.straight_mm(index), "mm"},
           {"p", "taken by the larger radius of the bend before it",
            index > 0 ? give_mm(plan, index - 1) : 0.0, "mm"},
           {"q", "taken by the larger radius of the bend behind it",
            index < bends ? give_mm(plan, index) : 0.0, "mm"}},
          "corners stay where the drawing puts them (derived)"};
}

// By the drive's power or, where that is enough, by the bender's own fastest turn.
std::optional<Sum> speed_sum(const Plan& plan, const planning::MetalForecast& metal,
                             const std::string& at) {
  if (!metal.speed || metal.speed->max_rpm <= 0.0 || !plan.bender) return std::nullopt;
  const mechanics::SpeedLimit& speed = *metal.speed;
  Sum sum{at + "speed.advised_rpm",
          "fastest turn of the die " + metal.die,
          speed.advised_rpm,
          "rpm",
          "h * n",
          {{"h", "share for heavy walls, solid stock or a torque near the limit",
            speed.advised_rpm / speed.max_rpm, ""}},
          speed.advice.empty() ? "the bender's own speed, its motor holds it" : speed.advice};
  if (speed.max_rpm == plan.bender->speed_max_rpm) {
    sum.inputs.push_back({"n", "fastest turn of the bender", speed.max_rpm, "rpm"});
    return sum;
  }
  sum.formula = "h * 60 * P * e / (2 * pi * T)";
  sum.inputs.push_back({"P", "power of the motor", plan.bender->power_w.value_or(0.0), "W"});
  sum.inputs.push_back(
      {"e", "share of it that reaches the die", mechanics::Drive{}.efficiency_ratio, ""});
  sum.inputs.push_back({"T", "most torque it takes", metal.torque.high_nmm * 1e-3, "N m"});
  return sum;
}

Sum law_sum(const planning::UsedDie& used, std::size_t index) {
  constexpr double set_deg = 90.0;
  const double a_deg = used.law.constant.deg();
  const double b_ratio = used.law.proportional_ratio;
  return {fmt::format("springbacks[{}].a_deg", index),
          "springback in die " + used.die.name + ", the part that every bend loses",
          a_deg,
          "deg",
          "s - b * set",
          {{"s", "springback at that set angle", a_deg + b_ratio * set_deg, "deg"},
           {"b", "springback, share of the set angle", b_ratio, ""},
           {"set", "set angle", set_deg, "deg"}},
          used.law.basis};
}

// Of a bend beside the one it is turned from; none for others, and for the first.
std::optional<Sum> turn_sum(const Plan& plan, const planning::Step& step, const std::string& at) {
  if (!step.rotation_from) return std::nullopt;
  const std::size_t from = *step.rotation_from;
  const std::size_t later = std::max(step.bend, from);
  if (later - std::min(step.bend, from) != 1) return std::nullopt;
  const double drawn_deg = plan.bent_table.rows()[later - 1].rotation.deg();
  const double turn_deg = step.rotation.deg();
  const double sign = drawn_deg * turn_deg < 0.0 ? -1.0 : 1.0;
  if (std::abs(sign * drawn_deg - turn_deg) > 1e-6) return std::nullopt;
  return Sum{at + "rotation_deg",
             fmt::format("turn of the tube before bend {}", step.bend),
             turn_deg,
             "deg",
             "n * r",
             {{"r", fmt::format("rotation of bend {} in the bend table", later), drawn_deg, "deg"},
              {"n", "-1 where this bender or this order of bends turns it round", sign, ""}},
             "planes of the two bends (derived)"};
}

// What the metal does in the die set of that place in the plan.
std::vector<Sum> metal_sums(const Plan& plan, std::size_t index) {
  const planning::MetalForecast& metal = plan.metal[index];
  const double radius_mm = plan.dies[index].die.radius_mm;
  const stock::Section& section = plan.part.section;
  const std::string at = fmt::format("metal[{}].", index);
  std::vector<Sum> sums;
  if (section.hollow()) {
    sums.push_back({at + "wall_factor",
                    "wall factor in die " + metal.die,
                    metal.wall_factor_ratio,
                    "",
                    "D / t",
                    {{"D", "size of the tube", metal.wall_factor_ratio * section.wall_mm(), "mm"},
                     {"t", "wall", section.wall_mm(), "mm"}},
                    "definition of the trade"});
  }
  sums.push_back({at + "d_of_bend",
                  "D of bend in die " + metal.die,
                  metal.d_of_bend_ratio,
                  "",
                  "R_die / D",
                  {{"R_die", "radius of the die", radius_mm, "mm"},
                   {"D", "size across the bend", radius_mm / metal.d_of_bend_ratio, "mm"}},
                  "definition of the trade"});
  sums.push_back({at + "torque_nm.likely",
                  "torque at the die " + metal.die,
                  metal.torque.likely_nmm * 1e-3,
                  "N m",
                  "(low + high) / 2",
                  {{"low", "least it takes", metal.torque.low_nmm * 1e-3, "N m"},
                   {"high", "most it takes", metal.torque.high_nmm * 1e-3, "N m"}},
                  metal.torque.basis});
  const double size_mm = radius_mm / metal.d_of_bend_ratio;
  sums.push_back(
      {at + "outer_strain",
       "strain at the outside in die " + metal.die,
       metal.outer_strain_ratio,
       "",
       "(D / 2 + z) / (R_die - z)",
       {{"D", "size across the bend", size_mm, "mm"},
        {"R_die", "radius of the die", radius_mm, "mm"},
        {"z", "fibre that keeps its length, inside the centreline", metal.neutral_shift_mm, "mm"}},
       "plane sections stay plane; the fibre by equilibrium of the bent section"});
  if (section.hollow() && metal.wall_outer.likely_mm > 0.0) {
    sums.push_back({at + "wall_outer_mm.likely",
                    "wall at the outside in die " + metal.die,
                    metal.wall_outer.likely_mm,
                    "mm",
                    "t * w",
                    {{"t", "wall of the straight tube", section.wall_mm(), "mm"},
                     {"w", "share of the wall that is left",
                      metal.wall_outer.likely_mm / section.wall_mm(), ""}},
                    "the metal keeps its volume: what stretches along the bend grows thinner; " +
                        metal.wall_outer.reason});
  }
  if (metal.ovality) {
    sums.push_back({at + "ovality_pct.likely",
                    "out of round in die " + metal.die,
                    100.0 * metal.ovality->likely_ratio,
                    "%",
                    "100 * d / D",
                    {{"d", "largest less smallest diameter under load",
                      metal.ovality->likely_ratio * size_mm, "mm"},
                     {"D", "diameter", size_mm, "mm"}},
                    metal.ovality->reason});
  }
  if (const std::optional<Sum> speed = speed_sum(plan, metal, at)) sums.push_back(*speed);
  return sums;
}

}  // namespace

std::vector<double> arcs_mm(const Plan& plan) {
  std::vector<double> all_mm;
  for (std::size_t i = 0; i < plan.bent_table.num_bends(); ++i) {
    all_mm.push_back(arc_of_bend_mm(plan, i));
  }
  return all_mm;
}

Json arithmetic_json(const Plan& plan) {
  Json list = Json::array();
  if (plan.steps.empty()) return list;
  list.push_back(sum_json(cut_sum(plan)));
  const double per_m_kg = plan.part.section.mass_kg_per_m(plan.part.material.density_kg_per_m3);
  list.push_back(sum_json({"mass_kg",
                           "mass of the blank",
                           plan.mass_kg,
                           "kg",
                           "m * L / 1000",
                           {{"m", "mass of a metre", per_m_kg, "kg/m"},
                            {"L", "cut length", plan.blank.cut.likely_mm, "mm"}},
                           "section and density (derived)"}));
  for (std::size_t i = 0; i < std::min(plan.metal.size(), plan.dies.size()); ++i) {
    for (const Sum& sum : metal_sums(plan, i)) list.push_back(sum_json(sum));
  }
  for (std::size_t i = 0; i < plan.dies.size(); ++i) {
    list.push_back(sum_json(law_sum(plan.dies[i], i)));
  }
  const std::vector<planning::Beside> beside =
      planning::straights_beside(plan.bent_table, arcs_mm(plan), plan.order.bends);
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const planning::Step& step = plan.steps[i];
    const std::string at = fmt::format("steps[{}].", i);
    list.push_back(sum_json(set_angle_sum(plan, step, at)));
    list.push_back(sum_json(arc_sum(plan, step, at)));
    list.push_back(sum_json(radius_sum(plan, step, at)));
    if (const std::optional<Sum> turn = turn_sum(plan, step, at)) list.push_back(sum_json(*turn));
    list.push_back(sum_json(straight_sum(plan, step, beside[i].ahead, at)));
    for (const Sum& sum : mark_sums(plan, step, at)) list.push_back(sum_json(sum));
  }
  return list;
}

}  // namespace bight::service
