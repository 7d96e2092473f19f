// Strengths as people type them: MPa, ksi and their kin.
#pragma once

#include <string_view>

#include "base/number.h"
#include "base/result.h"

namespace bight::base {

// 1 psi is 0.45359237 kg under 9.80665 m/s² on 25.4 mm squared, exactly (international yard and
// pound agreement, 1959; standard gravity, 3rd CGPM, 1901).
inline constexpr double kPsi_mpa = 0.45359237 * 9.80665 / (25.4 * 25.4);
inline constexpr double kKsi_mpa = 1000.0 * kPsi_mpa;

// The stress in MPa. Reads a number with MPa, N/mm2, N/mm², GPa, kN/mm2, kN/mm², ksi, psi or Msi
// after it; without a unit it counts `bare_mpa` each. Capitals do not matter.
// Failure codes: those of parse_number, stress.unit (an unknown unit).
Result<double> parse_stress_mpa(std::string_view text, double bare_mpa = 1.0,
                                DecimalMark mark = DecimalMark::kPoint);

}  // namespace bight::base
