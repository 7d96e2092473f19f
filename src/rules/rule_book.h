// The published rules as data: who says what, where, and how well that is known.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.h"
#include "base/result.h"
#include "stock/provenance.h"

namespace bight::rules {

// One row of a rule: a range and its limit. What the range measures and what the limit means is
// said by the rule's form (docs/theory/acceptance.md).
struct RuleRow {
  std::string variant;  // metal family, class, or a condition; empty: any
  std::optional<double> from;
  std::optional<double> to;
  std::optional<double> limit;
  stock::Provenance provenance = stock::Provenance::kUnconfirmed;
};

struct Rule {
  std::string id;       // short and stable: what a part names
  std::string form;     // the function that judges it
  std::string code;     // body and standard
  std::string edition;  // as far as the source says
  std::string clause;
  std::string title;
  std::string unit;    // of value and limit: mm, ratio, D (multiples of diameter), deg
  std::string source;  // where it was read
  std::vector<RuleRow> rows;
};

class RuleBook {
 public:
  // data/acceptance_rules.csv.
  static base::Result<RuleBook> built_in();
  // Failure codes: csv.*, table.mark, table.value (an unknown form, an id met again apart from its
  // rule, rows of one rule that disagree on form or unit, a limit or corner that is not there).
  static base::Result<RuleBook> read(const base::CsvTable& table);

  const std::vector<Rule>& all() const { return rules_; }
  // nullptr when there is none of this id.
  const Rule* find(std::string_view id) const;

 private:
  std::vector<Rule> rules_;
};

}  // namespace bight::rules
