// The judging functions, one per form of rule. Only rule_check.cpp and rule_book.cpp use them.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "rules/bend_facts.h"
#include "rules/rule_book.h"

namespace bight::rules {

// What a form finds, before marks and words are put on it.
struct Evaluation {
  double value = 0.0;
  double limit = 0.0;
  bool at_least = false;
  std::string outside;     // why the rule does not speak here; empty when it does
  std::string exempt;      // why the rule asks for nothing; empty otherwise
  bool no_number = false;  // the rule gives a word, not a number
  std::string subject;     // what the value is, "flattening (Dmax - Dmin)/D"
  stock::Provenance provenance = stock::Provenance::kUnconfirmed;
};

using Form = base::Result<Evaluation> (*)(const Rule& rule, const BendFacts& facts);

// A form and what each row of its rules must carry.
struct KnownForm {
  std::string_view name;
  Form judge;
  bool needs_limit;
  bool needs_from;  // rows are the corners of a line, rising
};

// nullptr for an unknown name.
const KnownForm* find_form(std::string_view name);

// The fact, or rules.missing with its name in `where`; rules.fact when not positive and finite.
base::Result<double> positive_fact(const std::optional<double>& fact, std::string_view name);
// The same without a sign condition, and for the other types of fact.
base::Result<double> finite_fact(const std::optional<double>& fact, std::string_view name);
base::Result<base::Angle> angle_fact(const std::optional<base::Angle>& fact, std::string_view name);
base::Result<bool> yes_fact(const std::optional<bool>& fact, std::string_view name);
base::Result<std::string> text_fact(const std::string& fact, std::string_view name);

// R / D of the bend, with the nominal diameter of pipe where it is given.
base::Result<double> d_of_bend_fact(const BendFacts& facts);

// The first row of a variant (or of none) whose range holds a measure; nullptr: outside range.
const RuleRow* row_at(const Rule& rule, std::string_view variant, double measure);

// An evaluation that says the rule does not speak.
Evaluation outside_range(std::string subject, std::string why);

// forms_shape.cpp
base::Result<Evaluation> ovality_of_nominal(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> ovality_of_mean(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> roundness_by_radius(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> least_diameter(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> round_ratio(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> seam(const Rule& rule, const BendFacts& facts);

// forms_wall.cpp
base::Result<Evaluation> wall_before(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> wall_after_share(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> wall_loss(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> tema_wall(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> iacs_allowance(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> pressure_wall(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> wall_factor(const Rule& rule, const BendFacts& facts);

// forms_radius.cpp
base::Result<Evaluation> radius_over_od(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> radius_by_wall(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> radius_en1090(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> radius_error(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> copper_metric_radius(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> copper_inch_radius(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> conduit_radius(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> aircraft_radius(const Rule& rule, const BendFacts& facts);

// forms_strain.cpp
base::Result<Evaluation> outer_strain(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> strain_of_elongation(const Rule& rule, const BendFacts& facts);

// forms_tolerance.cpp
base::Result<Evaluation> total_bend(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> angle_tolerance(const Rule& rule, const BendFacts& facts);
base::Result<Evaluation> length_tolerance(const Rule& rule, const BendFacts& facts);

}  // namespace bight::rules
