#include "service/metal_sums.h"

#include <fmt/format.h>

#include <optional>
#include <string>

namespace bight::service {

using planning::Plan;

namespace {

constexpr const char* kAtLeast = ", at the least";
constexpr const char* kAtMost = ", at the most";

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
  sum.inputs.push_back({"T", "most torque it takes", metal.torque.high_nmm * 1e-3, "N·m"});
  return sum;
}

// The outside of the bend: likely, least, most.
std::vector<Sum> wall_sums(const planning::MetalForecast& metal, const stock::Section& section,
                           const std::string& at) {
  std::vector<Sum> sums;
  if (!section.hollow() || metal.wall_outer.likely_mm <= 0.0) return sums;
  const auto wall = [&](const char* key, const std::string& extent, double left_mm) {
    sums.push_back({at + "wall_outer_mm." + key,
                    "wall at the outside in die " + metal.die + extent,
                    left_mm,
                    "mm",
                    "t * w",
                    {{"t", "wall of the straight tube", section.wall_mm(), "mm"},
                     {"w", "share of the wall that is left", left_mm / section.wall_mm(), ""}},
                    "the metal keeps its volume: what stretches along the bend grows thinner; " +
                        metal.wall_outer.reason});
  };
  wall("likely", "", metal.wall_outer.likely_mm);
  wall("low", kAtLeast, metal.wall_outer.low_mm);
  wall("high", kAtMost, metal.wall_outer.high_mm);
  return sums;
}

std::vector<Sum> roundness_sums(const planning::MetalForecast& metal, double size_mm,
                                const std::string& at) {
  std::vector<Sum> sums;
  if (!metal.ovality) return sums;
  const auto oval = [&](const char* key, const std::string& extent, double off_ratio) {
    sums.push_back({at + "ovality_pct." + key,
                    "out of round in die " + metal.die + extent,
                    100.0 * off_ratio,
                    "%",
                    "100 * d / D",
                    {{"d", "largest less smallest diameter under load", off_ratio * size_mm, "mm"},
                     {"D", "diameter", size_mm, "mm"}},
                    metal.ovality->reason});
  };
  oval("likely", "", metal.ovality->likely_ratio);
  oval("low", kAtLeast, metal.ovality->low_ratio);
  oval("high", kAtMost, metal.ovality->high_ratio);
  return sums;
}

}  // namespace

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
  for (Sum& sum : wall_sums(metal, section, at)) sums.push_back(std::move(sum));
  for (Sum& sum : roundness_sums(metal, size_mm, at)) sums.push_back(std::move(sum));
  if (const std::optional<Sum> speed = speed_sum(plan, metal, at)) sums.push_back(*speed);
  return sums;
}

Sum law_sum(const Plan& plan, std::size_t index) {
  const planning::UsedDie& used = plan.dies[index];
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

}  // namespace bight::service
