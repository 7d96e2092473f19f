// Holding a bend against a published rule.
//
// Nothing is certified here. The figures were read at second hand unless a rule says otherwise; the
// edition in the contract governs, and a certificate quotes that. Every check carries the sentence.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "rules/bend_facts.h"
#include "rules/rule_book.h"

namespace bight::rules {

enum class Verdict {
  kMet,
  kNotMet,
  kUnconfirmed,   // the rule's figure is recalled, or it gives none: shown, never decides
  kOutsideRange,  // the rule does not speak about this bend
};

// "met", "not met", "unconfirmed", "outside range".
std::string_view word(Verdict verdict);

inline constexpr std::string_view kNoCertificate =
    "compared with a published figure read at second hand; this certifies nothing, the edition in "
    "the contract governs";

// value, limit and margin are in `unit`; margin is the room left, negative when there is none. All
// three are 0 when the verdict is kOutsideRange, and where the rule exempts the bend.
struct RuleCheck {
  std::string rule_id;
  std::string code;
  std::string edition;
  std::string clause;
  std::string title;
  Verdict verdict = Verdict::kUnconfirmed;
  bool at_least = false;  // the value must not be below the limit; otherwise not above
  double value = 0.0;
  double limit = 0.0;
  double margin = 0.0;
  std::string unit;
  std::string message;  // a sentence with the numbers
  std::string source;
  stock::Provenance provenance = stock::Provenance::kUnconfirmed;
  std::string_view notice = kNoCertificate;
};

// A value on its limit meets it (to 1e-9 of the limit, for rounding).
// Failure codes: rules.unknown (no rule of this id), rules.missing (`where` names the fact the rule
// needs), rules.fact (a fact that cannot be).
base::Result<RuleCheck> check_rule(const RuleBook& book, std::string_view id,
                                   const BendFacts& facts);
// The same with the built-in book.
base::Result<RuleCheck> check_rule(std::string_view id, const BendFacts& facts);

// Every rule a part names, in its order; the first failure ends it.
base::Result<std::vector<RuleCheck>> check_rules(const RuleBook& book,
                                                 const std::vector<std::string>& ids,
                                                 const BendFacts& facts);

}  // namespace bight::rules
