// Whether a bend needs a mandrel or wiper, from published boundaries kept in an editable table.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.h"
#include "base/result.h"
#include "stock/provenance.h"

namespace bight::mechanics {

// kMandrel: the source does not say whether a plug will do or balls are needed.
enum class ToolNeed { kNone, kMandrel, kPlug, kBalls, kWiper };

// "none", "mandrel", … as written in the table.
std::string_view word(ToolNeed need);

struct ToolingFacts {
  double wall_factor_ratio = 0.0;  // W = D / t
  double d_of_bend_ratio = 0.0;    // k = R / D
  std::string family;              // of the metal, as data/metals.csv names it; empty if unknown
};

// What one rule of the table says about a bend. It is advice: no row of it stops a job.
struct ToolAdvice {
  std::string rule;
  ToolNeed need = ToolNeed::kNone;    // kNone when the bend is within the rule
  std::optional<double> limit_ratio;  // wall factor up to which the rule asks for nothing
  bool exceeded = false;              // wall factor above the limit
  bool between_anchors = true;        // false: the limit is carried on beyond what was published
  std::string message;                // a sentence with the numbers
  std::string source;
  stock::Provenance provenance = stock::Provenance::kUnconfirmed;
};

// The table of rules. The shop may replace the built-in one by its own file of the same columns:
// rule, family, d_of_bend, wall_factor_most, need, advice, source, mark.
class ToolingTable {
 public:
  // The built-in data/tooling_table.csv.
  static base::Result<ToolingTable> built_in();
  // Failure codes: csv.*, table.value (a number or word that cannot be, rows of one rule that
  // disagree or do not rise in d_of_bend), table.mark.
  static base::Result<ToolingTable> read(const base::CsvTable& table);

  // What every rule for this metal says, in the table's order: exceeded rules, rules kept, and
  // standing advice (no limit). A metal of unknown family is asked about with rules for any metal
  // only. Failure codes: tooling.facts (a ratio not positive and finite).
  base::Result<std::vector<ToolAdvice>> advise(const ToolingFacts& facts) const;

 private:
  struct Anchor {
    double d_of_bend_ratio = 0.0;
    double wall_factor_ratio = 0.0;
  };
  struct Rule {
    std::string name;
    std::string family;
    std::optional<double> wall_factor_ratio;  // one limit at any bend
    std::vector<Anchor> anchors;              // or a line over D of bend
    ToolNeed need = ToolNeed::kNone;
    std::string advice;
    std::string source;
    stock::Provenance provenance = stock::Provenance::kUnconfirmed;
  };

  static base::Status add(std::vector<Rule>& rules, const base::CsvTable& table, std::size_t row);
  static ToolAdvice judged(const Rule& rule, const ToolingFacts& facts);

  std::vector<Rule> rules_;
};

}  // namespace bight::mechanics
