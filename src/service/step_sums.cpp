#include "service/step_sums.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "planning/bent_shape.h"
#include "planning/straights.h"

namespace bight::service {

using planning::Plan;

namespace {

const planning::UsedDie& die_of(const Plan& plan, const planning::Step& step) {
  return *std::find_if(plan.dies.begin(), plan.dies.end(),
                       [&](const planning::UsedDie& used) { return used.die.name == step.die; });
}

std::vector<Sum> set_angle_sums(const Plan& plan, const planning::Step& step,
                                const std::string& at) {
  const planning::SpringbackLaw& law = die_of(plan, step).law;
  const double set_deg = step.set_angle.likely.deg();
  const double kept_ratio = 1.0 - law.proportional_ratio;
  const planning::Term share{"b", "springback, share of the set angle", law.proportional_ratio, ""};
  const auto edge = [&](const char* key, const char* extent, base::Angle value, const char* formula,
                        const char* meaning) {
    const double missed_deg = std::abs(value.deg() - set_deg) * kept_ratio;
    return Sum{at + key,
               fmt::format("set angle of bend {}, {}", step.bend, extent),
               value.deg(),
               "deg",
               formula,
               {{"set", "set angle", set_deg, "deg"}, {"m", meaning, missed_deg, "deg"}, share},
               "nine of ten bends lie within; " + law.basis};
  };
  return {{at + "set_angle_deg",
           fmt::format("set angle of bend {}", step.bend),
           set_deg,
           "deg",
           "(angle + a) / (1 - b)",
           {{"angle", "wanted bend angle", step.angle.deg(), "deg"},
            {"a", "springback, constant part", law.constant.deg(), "deg"},
            share},
           law.basis},
          edge("set_low_deg", "at the least", step.set_angle.low, "set - m / (1 - b)",
               "a bend may go too far by this"),
          edge("set_high_deg", "at the most", step.set_angle.high, "set + m / (1 - b)",
               "a bend may fall short by this")};
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

// Cut length with its band.
std::vector<Sum> cut_sums(const Plan& plan) {
  double straights_mm = plan.bent_table.last_straight_mm();
  double arcs_mm = 0.0;
  for (std::size_t i = 0; i < plan.bent_table.num_bends(); ++i) {
    straights_mm += plan.bent_table.straight_mm(i);
    arcs_mm += arc_of_bend_mm(plan, i);
  }
  const planning::Blank& blank = plan.blank;
  const auto sum = [&](const std::string& key, const std::string& extent, double value_mm) {
    const double bends_mm = arcs_mm + value_mm - blank.cut.likely_mm;
    return Sum{
        "blank." + key,
        "cut length" + extent,
        value_mm,
        "mm",
        "s + l + g + t",
        {{"s", "all straights", straights_mm, "mm"},
         {"l", "tube used by all bends" + extent, bends_mm, "mm"},
         {"g", "grip added at both ends", blank.grip_front_mm + blank.grip_back_mm, "mm"},
         {"t", "spare cut off at both ends", blank.trim_front_mm + blank.trim_back_mm, "mm"}},
        blank.basis};
  };
  return {sum("cut_length_mm", "", blank.cut.likely_mm),
          sum("cut_length_low_mm", ", at the least", blank.cut.low_mm),
          sum("cut_length_high_mm", ", at the most", blank.cut.high_mm)};
}

Sum mass_sum(const Plan& plan) {
  const double per_m_kg = plan.part.section.mass_kg_per_m(plan.part.material.density_kg_per_m3);
  return {"mass_kg",
          "mass of the blank",
          plan.mass_kg,
          "kg",
          "m * L",
          {{"m", "mass for its length", per_m_kg, "kg/m"},
           {"L", "cut length", plan.blank.cut.likely_mm * 1e-3, "m"}},
          "section and density (derived)"};
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

// The reading of the wheel: on from the step before, or from the wheel's zero.
Sum wheel_sum(const Plan& plan, std::size_t index, const std::string& at) {
  const planning::Step& step = plan.steps[index];
  const workshop::Bender& bender = *plan.bender;
  const bool on = index > 0 && !step.wheel_reset;
  const double from_deg = on ? plan.steps[index - 1].wheel.deg() : bender.wheel_zero.deg();
  const double sign = bender.wheel_counts_backwards != bender.rotation_sign_flipped ? -1.0 : 1.0;
  const double sum_deg = from_deg + sign * step.rotation.deg();
  return {
      at + "wheel_deg",
      fmt::format("wheel for bend {}", step.bend),
      step.wheel.deg(),
      "deg",
      "w + n * r - 360 * k",
      {{"w", on ? "wheel in the step before" : "this bender's wheel at its zero", from_deg, "deg"},
       {"r", "turn of the tube before this bend", step.rotation.deg(), "deg"},
       {"n", "-1 where this wheel counts against the turn", sign, ""},
       {"k", "whole turns taken off", std::round((sum_deg - step.wheel.deg()) / 360.0), ""}},
      "the shop's data of the bender"};
}

// Of a step that comes near anything.
std::optional<Sum> clearance_sum(const planning::Step& step, const std::string& at) {
  if (!step.clearing || !step.clearing->nearest()) return std::nullopt;
  const clearance::Nearest& nearest = *step.clearing->nearest();
  const double low_mm = step.clearing->low_mm;
  return Sum{
      at + "clearance_mm",
      fmt::format("clearance of bend {}, to {}", step.bend, nearest.body),
      low_mm,
      "mm",
      "d - e",
      {{"d", "smallest distance seen in the whole movement", nearest.high_mm, "mm"},
       {"e", "nearer by no more than this between two looks", nearest.high_mm - low_mm, "mm"}},
      fmt::format("bound on how far the tube moves between two looks (derived); nearest at "
                  "{:.1f}° of the die",
                  nearest.angle.deg())};
}

// How far the seam lies from the neutral side of the bend that has it worst.
Sum seam_sum(const Plan& plan) {
  const planning::Seam& seam = *plan.seam;
  std::vector<base::Angle> outsides = plan.bent_table.absolute_rotations();
  const base::Angle at_twelve = outsides[seam.bend - 1];
  for (base::Angle& outside : outsides) outside = outside - at_twelve;
  const double seam_deg = seam.clock.deg();
  const auto off_deg = [&](base::Angle outside) {
    return std::abs(90.0 - std::abs(std::remainder(seam_deg - outside.deg(), 360.0)));
  };
  const auto worst =
      std::max_element(outsides.begin(), outsides.end(),
                       [&](base::Angle a, base::Angle b) { return off_deg(a) < off_deg(b); });
  const double outside_deg = seam_deg - std::remainder(seam_deg - worst->deg(), 360.0);
  return {
      "seam.off_neutral_deg",
      "weld seam, from the neutral side of the bend that has it worst",
      seam.off_neutral.deg(),
      "deg",
      "abs(90 - abs(c - o))",
      {{"c",
        fmt::format("seam, seen from end A with the outside of bend {} at 12 o'clock", seam.bend),
        seam_deg, "deg"},
       {"o", fmt::format("outside of bend {} on the same clock", worst - outsides.begin() + 1),
        outside_deg, "deg"}},
      "of all places the one whose worst bend is nearest to neutral, to half a degree (derived)"};
}

}  // namespace

std::vector<double> arcs_mm(const Plan& plan) {
  std::vector<double> all_mm;
  for (std::size_t i = 0; i < plan.bent_table.num_bends(); ++i) {
    all_mm.push_back(arc_of_bend_mm(plan, i));
  }
  return all_mm;
}

std::vector<Sum> blank_sums(const Plan& plan) {
  std::vector<Sum> sums = cut_sums(plan);
  sums.push_back(mass_sum(plan));
  return sums;
}

std::vector<Sum> step_sums(const Plan& plan, std::size_t index) {
  const planning::Step& step = plan.steps[index];
  const std::string at = fmt::format("steps[{}].", index);
  const planning::Beside beside =
      planning::straights_beside(plan.bent_table, arcs_mm(plan), plan.order.bends)[index];
  std::vector<Sum> sums = set_angle_sums(plan, step, at);
  sums.push_back(arc_sum(plan, step, at));
  sums.push_back(radius_sum(plan, step, at));
  if (std::optional<Sum> turn = turn_sum(plan, step, at)) sums.push_back(*std::move(turn));
  sums.push_back(wheel_sum(plan, index, at));
  sums.push_back(straight_sum(plan, step, beside.ahead, at));
  for (Sum& sum : mark_sums(plan, step, at)) sums.push_back(std::move(sum));
  if (std::optional<Sum> near = clearance_sum(step, at)) sums.push_back(*std::move(near));
  return sums;
}

std::vector<Sum> check_sums(const Plan& plan) {
  std::vector<Sum> sums;
  for (std::size_t i = 0; i < plan.checks.size(); ++i) {
    const planning::CheckDimension& check = plan.checks[i];
    sums.push_back({fmt::format("checks[{}].value_mm", i), check.label, check.value_mm, "mm",
                    check.formula, check.terms, "shape of the bent part (derived)"});
  }
  if (plan.seam) sums.push_back(seam_sum(plan));
  return sums;
}

}  // namespace bight::service
