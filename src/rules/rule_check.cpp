#include "rules/rule_check.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "rules/forms.h"

namespace bight::rules {
namespace {

// A value on its limit meets it in spite of rounding.
constexpr double kRounding_ratio = 1e-9;

std::string with_unit(double value, std::string_view unit) {
  if (unit == "ratio") return fmt::format("{:.2f} %", 100 * value);
  if (unit == "deg") return fmt::format("{:.2f}°", value);
  if (unit == "D") return fmt::format("{:.2f} D", value);
  return fmt::format("{:.2f} {}", value, unit);
}

void judge(RuleCheck& check, const Evaluation& found) {
  check.at_least = found.at_least;
  check.value = found.value;
  check.limit = found.limit;
  check.margin = found.at_least ? found.value - found.limit : found.limit - found.value;
  const bool met = check.margin >= -kRounding_ratio * std::abs(found.limit);
  check.verdict = met ? Verdict::kMet : Verdict::kNotMet;
  check.message = fmt::format(
      "{}: {} {}, {} {}", word(check.verdict), found.subject, with_unit(found.value, check.unit),
      found.at_least ? "needed at least" : "allowed at most", with_unit(found.limit, check.unit));
  if (found.provenance == stock::Provenance::kUnconfirmed) {
    check.verdict = Verdict::kUnconfirmed;
    check.message =
        fmt::format("unconfirmed: {} {}; the limit {} is recalled, not read", found.subject,
                    with_unit(found.value, check.unit), with_unit(found.limit, check.unit));
  }
}

}  // namespace

std::string_view word(Verdict verdict) {
  switch (verdict) {
    case Verdict::kMet:
      return "met";
    case Verdict::kNotMet:
      return "not met";
    case Verdict::kUnconfirmed:
      return "unconfirmed";
    case Verdict::kOutsideRange:
      return "outside range";
  }
  return "unconfirmed";
}

base::Result<RuleCheck> check_rule(const RuleBook& book, std::string_view id,
                                   const BendFacts& facts) {
  const Rule* rule = book.find(id);
  if (rule == nullptr) {
    return base::Failure{"rules.unknown", std::string(id),
                         fmt::format("there is no acceptance rule \"{}\"", id),
                         "one of the rules in data/acceptance_rules.csv"};
  }
  BIGHT_TRY(const Evaluation found, find_form(rule->form)->judge(*rule, facts));
  RuleCheck check;
  check.rule_id = rule->id;
  check.code = rule->code;
  check.edition = rule->edition;
  check.clause = rule->clause;
  check.title = rule->title;
  check.unit = rule->unit;
  check.source = rule->source;
  check.provenance = found.provenance;
  if (!found.outside.empty()) {
    check.verdict = Verdict::kOutsideRange;
    check.message = fmt::format("outside range: {}", found.outside);
  } else if (!found.exempt.empty()) {
    check.verdict = Verdict::kMet;
    check.message = fmt::format("met: {}", found.exempt);
  } else if (found.no_number) {
    check.value = found.value;
    check.message = fmt::format("unconfirmed: {} {}; the rule gives no number", found.subject,
                                with_unit(found.value, check.unit));
  } else {
    judge(check, found);
  }
  return check;
}

base::Result<RuleCheck> check_rule(std::string_view id, const BendFacts& facts) {
  BIGHT_TRY(const RuleBook book, RuleBook::built_in());
  return check_rule(book, id, facts);
}

base::Result<std::vector<RuleCheck>> check_rules(const RuleBook& book,
                                                 const std::vector<std::string>& ids,
                                                 const BendFacts& facts) {
  std::vector<RuleCheck> checks;
  for (const std::string& id : ids) {
    BIGHT_TRY(RuleCheck check, check_rule(book, id, facts));
    checks.push_back(std::move(check));
  }
  return checks;
}

}  // namespace bight::rules
