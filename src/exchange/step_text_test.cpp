#include "exchange/step_text.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <regex>

namespace bight::exchange {
namespace {

// ISO 10303-21:2016 table 2: REAL = [sign] digit {digit} "." {digit} ["E" [sign] digit {digit}].
// (From memory; the form is what published files show.)
TEST(StepText, RealsHaveTheFormAndTheValue) {
  const std::regex form(R"([+-]?\d+\.\d*(E[+-]?\d+)?)");
  std::mt19937_64 random(7);
  std::vector<double> values = {0.0, -0.0, 1.0, -2.5, 0.1, 1e-5, 1e22, 1e300, 5e-324, 25.4};
  for (int i = 0; i < 2000; ++i) {
    values.push_back(std::ldexp(static_cast<double>(random() % 2000001) - 1e6,
                                static_cast<int>(random() % 200) - 100));
  }
  for (const double value : values) {
    const std::string text = step_real(value);
    EXPECT_TRUE(std::regex_match(text, form)) << text;
    EXPECT_EQ(std::strtod(text.c_str(), nullptr), value) << text;
  }
}

// Strings: quotes and backslashes doubled, other scripts as hexadecimal groups, rubbish replaced.
TEST(StepText, StringsAreEncoded) {
  EXPECT_EQ(step_string("plain 7"), "'plain 7'");
  EXPECT_EQ(step_string("it's a \\"), "'it''s a \\\\'");
  EXPECT_EQ(step_string("ß"), "'\\X2\\00DF\\X0\\'");
  EXPECT_EQ(step_string("\xF0\x9F\x94\xA7"), "'\\X4\\0001F527\\X0\\'");
  EXPECT_EQ(step_string("a\nb\x7F"), "'ab'");
  EXPECT_EQ(step_string("\xFFz\xC3"), "'?z?'");
}

// Instances are numbered from 1 and lengths go out in the file's unit.
TEST(StepText, NumbersInstancesAndScales) {
  StepText text(25.4);
  EXPECT_EQ(text.point({25.4, 0.0, -50.8}), "#1");
  EXPECT_EQ(text.direction({1.0, 0.0, 0.0}), "#2");
  EXPECT_EQ(text.data(), "#1=CARTESIAN_POINT('',(1.,0.,-2.));\n#2=DIRECTION('',(1.,0.,0.));\n");
  EXPECT_EQ(step_list({"#1", "#2"}), "(#1,#2)");
}

}  // namespace
}  // namespace bight::exchange
