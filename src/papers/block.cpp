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

std::string part_line(const part::Part& part, const Canvas& canvas, double size_pt,
                      double width_mm) {
  std::string rest;
  if (!part.revision.empty()) rest += "  ·  rev " + part.revision;
  if (part.hand != part::Hand::kSingle) rest += "  ·  " + part::letters(part.hand);
  const TextStyle style{size_pt, true};
  std::string name = part.name;
  std::string text = name + rest;
  while (!name.empty() && canvas.measure(text, style).width_mm > width_mm) {
    // A whole character goes: its last byte and the bytes that continue it.
    while (!name.empty() && (static_cast<unsigned char>(name.back()) & 0xC0U) == 0x80U) {
      name.pop_back();
    }
    if (!name.empty()) name.pop_back();
    text = name + "…" + rest;
  }
  return text;
}

}  // namespace bight::papers
