#include "rules/forms.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <utility>

namespace bight::rules {
namespace {

using base::Failure;
using base::Result;

Failure missing(std::string_view name) {
  return Failure{"rules.missing", std::string(name), fmt::format("the rule needs the {}", name),
                 "give it, or leave the rule out"};
}

}  // namespace

const KnownForm* find_form(std::string_view name) {
  static constexpr std::array<KnownForm, 26> kForms{{
      {"ovality_of_nominal", ovality_of_nominal, true, false},
      {"ovality_of_mean", ovality_of_mean, true, false},
      {"roundness_by_radius", roundness_by_radius, true, false},
      {"least_diameter", least_diameter, true, false},
      {"round_ratio", round_ratio, true, false},
      {"seam", seam, false, false},
      {"wall_before", wall_before, true, true},
      {"wall_after_share", wall_after_share, true, false},
      {"wall_loss", wall_loss, true, false},
      {"tema_wall", tema_wall, false, false},
      {"iacs_allowance", iacs_allowance, true, false},
      {"pressure_wall", pressure_wall, false, false},
      {"wall_factor", wall_factor, true, false},
      {"radius_over_od", radius_over_od, true, false},
      {"radius_by_wall", radius_by_wall, true, true},
      {"radius_en1090", radius_en1090, true, false},
      {"radius_error", radius_error, true, false},
      {"copper_metric_radius", copper_metric_radius, false, false},
      {"copper_inch_radius", copper_inch_radius, false, false},
      {"conduit_radius", conduit_radius, false, false},
      {"aircraft_radius", aircraft_radius, false, false},
      {"outer_strain", outer_strain, true, false},
      {"strain_of_elongation", strain_of_elongation, true, false},
      {"total_bend", total_bend, true, false},
      {"angle_tolerance", angle_tolerance, false, false},
      {"length_tolerance", length_tolerance, false, false},
  }};
  for (const KnownForm& form : kForms) {
    if (form.name == name) return &form;
  }
  return nullptr;
}

Result<double> finite_fact(const std::optional<double>& fact, std::string_view name) {
  if (!fact) return missing(name);
  if (!std::isfinite(*fact)) {
    return Failure{"rules.fact", std::string(name), fmt::format("the {} is not a number", name),
                   "give a finite number"};
  }
  return *fact;
}

Result<double> positive_fact(const std::optional<double>& fact, std::string_view name) {
  BIGHT_TRY(const double value, finite_fact(fact, name));
  if (value <= 0) {
    return Failure{"rules.fact", std::string(name), fmt::format("the {} is {}", name, value),
                   "give a number above zero"};
  }
  return value;
}

Result<base::Angle> angle_fact(const std::optional<base::Angle>& fact, std::string_view name) {
  if (!fact) return missing(name);
  if (!std::isfinite(fact->rad())) {
    return Failure{"rules.fact", std::string(name), fmt::format("the {} is not a number", name),
                   "give a finite angle"};
  }
  return *fact;
}

Result<bool> yes_fact(const std::optional<bool>& fact, std::string_view name) {
  if (!fact) return missing(name);
  return *fact;
}

Result<std::string> text_fact(const std::string& fact, std::string_view name) {
  if (fact.empty()) return missing(name);
  return fact;
}

Result<double> d_of_bend_fact(const BendFacts& facts) {
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  const bool pipe = facts.nominal_diameter_mm.has_value();
  BIGHT_TRY(const double diameter_mm,
            positive_fact(pipe ? facts.nominal_diameter_mm : facts.od_mm, "outside diameter"));
  return clr_mm / diameter_mm;
}

const RuleRow* row_at(const Rule& rule, std::string_view variant, double measure) {
  for (const RuleRow& row : rule.rows) {
    if (!row.variant.empty() && row.variant != variant) continue;
    if (row.from && measure < *row.from) continue;
    if (row.to && measure > *row.to) continue;
    return &row;
  }
  return nullptr;
}

Evaluation outside_range(std::string subject, std::string why) {
  Evaluation evaluation;
  evaluation.subject = std::move(subject);
  evaluation.outside = std::move(why);
  return evaluation;
}

}  // namespace bight::rules
