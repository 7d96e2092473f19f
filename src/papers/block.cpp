#include "papers/block.h"

#include "papers/ruled.h"

namespace bight::papers {

double Group::height_mm() const {
  double total_mm = kTitleBar_mm;
  for (const Block& row : rows) total_mm += row.height_mm;
  return total_mm;
}

std::string die_key(const planning::Plan& plan, const std::string& die) {
  for (std::size_t i = 0; i < plan.dies.size(); ++i) {
    if (plan.dies[i].die.name == die) return "D" + std::to_string(i + 1);
  }
  return "?";
}

std::string part_line(const part::Part& part) {
  std::string text = part.name;
  if (!part.revision.empty()) text += "  ·  rev " + part.revision;
  if (part.hand != part::Hand::kSingle) text += "  ·  " + part::letters(part.hand);
  return text;
}

}  // namespace bight::papers
