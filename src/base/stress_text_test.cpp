#include "base/stress_text.h"

#include <gtest/gtest.h>

namespace bight::base {
namespace {

std::string code_of_stress(std::string_view text) {
  const Result<double> read = parse_stress_mpa(text);
  return read.ok() ? "ok" : read.failure().code;
}

// NIST SP 811 (2008), appendix B.8: 1 psi is 6.894757 E+03 Pa, 1 ksi 6.894757 E+06 Pa.
TEST(StressText, PoundsAndInchesAsTheGuideGivesThem) {
  EXPECT_NEAR(kKsi_mpa, 6.894757, 5e-7);
  EXPECT_NEAR(*parse_stress_mpa("36 ksi"), 36 * 6.894757, 36 * 5e-7);
  EXPECT_NEAR(*parse_stress_mpa("30000psi"), 30 * 6.894757, 30 * 5e-7);
  EXPECT_NEAR(*parse_stress_mpa("29 Msi"), 29000 * 6.894757, 29000 * 5e-7);
}

TEST(StressText, UnitsOfTheMetre) {
  EXPECT_EQ(*parse_stress_mpa("250"), 250.0);
  EXPECT_EQ(*parse_stress_mpa(" 250 MPa "), 250.0);
  EXPECT_EQ(*parse_stress_mpa("250 N/mm2"), 250.0);
  EXPECT_EQ(*parse_stress_mpa("250N/mm²"), 250.0);
  EXPECT_EQ(*parse_stress_mpa("205 GPa"), 205000.0);
  EXPECT_EQ(*parse_stress_mpa("205", 1e3), 205000.0);
  EXPECT_EQ(*parse_stress_mpa("2.1e5"), 210000.0);
  EXPECT_EQ(*parse_stress_mpa("250,5 MPa", 1.0, DecimalMark::kComma), 250.5);
}

TEST(StressText, WhatIsNoStrengthIsRefused) {
  EXPECT_EQ(code_of_stress("36 kips"), "stress.unit");
  EXPECT_EQ(code_of_stress("4O0"), "stress.unit");
  EXPECT_EQ(code_of_stress("strong"), "number.text");
  EXPECT_EQ(code_of_stress(""), "number.text");
  EXPECT_EQ(code_of_stress("250,5 MPa"), "number.comma");
}

}  // namespace
}  // namespace bight::base
