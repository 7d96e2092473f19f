// What is looked at before the first piece is bent.
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "planning/plan.h"

namespace bight::planning {

struct ChecklistItem {
  std::string id;    // stable, without spaces: "die-match"
  std::string text;  // what to look at, with the plan's numbers
  std::string source;
  bool safety = false;  // about people
};

struct Checklist {
  std::vector<ChecklistItem> items;  // in the order they are gone through
  std::vector<std::string> cautions;
};

// From the plan's facts: only what it uses is asked for. Lengths are worded in the style.
Checklist checklist_of(const Plan& plan, const base::LengthStyle& style = {});

}  // namespace bight::planning
