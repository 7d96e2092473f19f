// A measured section of a bend against published rules: roundness, flattening, wall.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "inspection/measured.h"
#include "mechanics/ovality_measure.h"
#include "part/part.h"
#include "rules/rule_check.h"

namespace bight::inspection {

struct SectionJudgement {
  std::size_t bend = 0;                                 // 1-based
  std::optional<mechanics::OvalityMeasures> roundness;  // when both diameters were read
  std::optional<double> wall_loss_ratio;                // when the wall was read
  std::vector<rules::RuleCheck> checks;  // those of the rules asked for that these readings answer
};

// Every measured section of the piece. `rule_ids` beside the part's own rules; a rule that needs
// what was not read is passed over. radii_mm: of the finished bends.
// Failure codes: ovality.size, rules.unknown, rules.fact, section.hollow (diameters or walls of a
// solid or angular section, which these rules do not speak of).
base::Result<std::vector<SectionJudgement>> judge_sections(
    const part::Part& part, const Measured& measured, const std::vector<double>& radii_mm,
    const std::vector<std::string>& rule_ids);

}  // namespace bight::inspection
