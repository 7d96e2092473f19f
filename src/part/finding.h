// What a plan has to say about itself.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bight::part {

enum class Severity { kNote, kCaution, kStop };

// "note", "caution", "stop".
std::string_view word(Severity severity);

// One fact about a part or plan, with what to do about it.
struct Finding {
  Severity severity = Severity::kNote;
  std::string code;                       // stable; docs/formats/codes.md lists them all
  std::optional<std::size_t> bend;        // 1-based bend number counted from end A
  std::string message;                    // a sentence with the numbers in the user's units
  std::string remedy;                     // what would mend it; empty for a plain note
  std::string source;                     // who says so
  std::map<std::string, double> numbers;  // the same numbers for programs, unit in the name
};

bool any_stop(const std::vector<Finding>& findings);
// Stops first, then cautions, then notes; bends in order within each.
void sort_by_weight(std::vector<Finding>& findings);

}  // namespace bight::part
