// What bight clear prints: every step's smallest distance, in words.
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "planning/clearing.h"

namespace bight::app {

// Steps in order, what comes nearest and when, what stops, and what was not compared.
std::string clear_text(const planning::Plan& plan, const planning::Clearing& clearing,
                       const std::vector<planning::StepAnswer>& answers,
                       const base::LengthStyle& style, bool colour);

}  // namespace bight::app
