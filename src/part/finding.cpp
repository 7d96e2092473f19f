#include "part/finding.h"

#include <algorithm>

namespace bight::part {

std::string_view word(Severity severity) {
  switch (severity) {
    case Severity::kNote:
      return "note";
    case Severity::kCaution:
      return "caution";
    case Severity::kStop:
      return "stop";
  }
  return "note";
}

bool any_stop(const std::vector<Finding>& findings) {
  return std::any_of(findings.begin(), findings.end(),
                     [](const Finding& f) { return f.severity == Severity::kStop; });
}

void sort_by_weight(std::vector<Finding>& findings) {
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    if (a.severity != b.severity) return a.severity > b.severity;
    return a.bend.value_or(0) < b.bend.value_or(0);
  });
}

}  // namespace bight::part
