// A plan and a part as text for a terminal.
#pragma once

#include <string>

#include "base/length.h"
#include "planning/plan.h"

namespace bight::app {

// The centreline alone: lengths, bend table, corners, developed length.
std::string line_text(const geometry::BendTable& table, const geometry::Frame& start,
                      const base::LengthStyle& style);
std::string part_text(const part::Part& part, const base::LengthStyle& style);
// "stop, bend 2: …" with what to try and who says so; empty without findings.
std::string findings_text(const std::vector<part::Finding>& findings, bool colour);
std::string plan_text(const planning::Plan& plan, const base::LengthStyle& style, bool colour);

}  // namespace bight::app
