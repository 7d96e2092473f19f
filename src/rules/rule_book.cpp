#include "rules/rule_book.h"

#include <fmt/format.h>

#include <utility>

#include "rules/forms.h"
#include "stock/table.h"

namespace bight::rules {

base::Result<RuleBook> RuleBook::built_in() {
  BIGHT_TRY(const base::CsvTable table, stock::built_in_table("acceptance_rules.csv"));
  return read(table);
}

base::Result<RuleBook> RuleBook::read(const base::CsvTable& table) {
  RuleBook book;
  for (std::size_t i = 0; i < table.num_rows(); ++i) {
    stock::TableRow cells(table, i);
    Rule rule{cells.text("id"),      cells.text("form"),   cells.text("code"),
              cells.text("edition"), cells.text("clause"), cells.text("title"),
              cells.text("unit"),    cells.text("source"), {}};
    RuleRow row{cells.text("variant"), cells.optional_positive("from"),
                cells.optional_positive("to"), cells.optional_positive("limit"),
                cells.mark("mark", stock::NumberKind::kMinimum)};
    const KnownForm* form = find_form(rule.form);
    if (form == nullptr) {
      cells.refuse("form", fmt::format("\"{}\" is no form of rule", rule.form),
                   "one of the forms in docs/theory/acceptance.md");
    }
    const bool continues = !book.rules_.empty() && book.rules_.back().id == rule.id;
    if (!continues && book.find(rule.id) != nullptr) {
      cells.refuse("id", fmt::format("rule {} stands in two places", rule.id),
                   "the rows of one rule together");
    }
    if (continues &&
        (book.rules_.back().form != rule.form || book.rules_.back().unit != rule.unit)) {
      cells.refuse("form", fmt::format("the rows of {} disagree", rule.id),
                   "one form and one unit for a rule");
    }
    if (form != nullptr && form->needs_limit && !row.limit) {
      cells.refuse("limit", fmt::format("rule {} has no limit here", rule.id), "a limit");
    }
    const bool rises = !continues || (row.from && book.rules_.back().rows.back().from < row.from);
    if (form != nullptr && form->needs_from && (!row.from || !rises)) {
      cells.refuse("from", fmt::format("the line of rule {} must rise", rule.id),
                   "the corners of the line, lowest first");
    }
    BIGHT_TRY([[maybe_unused]] const auto read, cells.status());
    if (!continues) book.rules_.push_back(std::move(rule));
    book.rules_.back().rows.push_back(std::move(row));
  }
  return book;
}

const Rule* RuleBook::find(std::string_view id) const {
  for (const Rule& rule : rules_) {
    if (rule.id == id) return &rule;
  }
  return nullptr;
}

}  // namespace bight::rules
