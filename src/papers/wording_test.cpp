#include "papers/wording.h"

#include <gtest/gtest.h>

namespace bight::papers {
namespace {

using base::Angle;

base::LengthStyle inch(base::LengthStyle::Form form) {
  base::LengthStyle style;
  style.unit = base::LengthUnit::kInch;
  style.form = form;
  style.decimals = 3;
  return style;
}

const Wording kMetric{{}};
const Wording kDecimalInch{inch(base::LengthStyle::Form::kDecimal)};
const Wording kFraction{inch(base::LengthStyle::Form::kFraction)};

// Lengths come in the sheet's style without a unit; sizes of stock stay decimal.
TEST(Wording, Lengths) {
  EXPECT_EQ(kMetric.length(366.65001), "366.7");
  EXPECT_EQ(kMetric.unit(), "mm");
  EXPECT_EQ(kDecimalInch.length(381.0), "15.000");
  EXPECT_EQ(kFraction.length(38.1), "1-1/2");
  EXPECT_EQ(kFraction.unit(), "in");
  EXPECT_EQ(kMetric.length_with_unit(1528.4), "1528.4 mm");
  EXPECT_EQ(kFraction.size(1.651), "0.065");
  EXPECT_EQ(kMetric.size(1.651), "1.65");
  EXPECT_EQ(kMetric.size(40.0), "40");
  EXPECT_EQ(kMetric.band({1526.0, 1528.4, 1531.2}), "1526.0 – 1531.2");
  EXPECT_EQ(kFraction.rounding(), "to the nearest 1/16 in");
  EXPECT_EQ(kMetric.rounding(), "to 0.1 mm");
}

// Angles carry their sign where it matters, with a minus that is seen; nought has none.
TEST(Wording, Angles) {
  EXPECT_EQ(kMetric.angle(Angle::degrees(90)), "90.0°");
  EXPECT_EQ(kMetric.signed_angle(Angle::degrees(90)), "+90.0°");
  EXPECT_EQ(kMetric.signed_angle(Angle::degrees(-35.24)), "−35.2°");
  EXPECT_EQ(kMetric.signed_angle(Angle()), "0.0°");
  EXPECT_EQ(kMetric.signed_angle(Angle::degrees(0.01)), "0.0°");
  EXPECT_EQ(kMetric.set_band({Angle::degrees(92.1), Angle::degrees(93), Angle::degrees(93.4)}),
            "92.1 – 93.4°");
  // A keypad that takes hundredths is given hundredths.
  const Wording fine({}, Angle::degrees(0.01));
  EXPECT_EQ(fine.set_angle(Angle::degrees(93.456)), "93.46°");
  EXPECT_EQ(kMetric.set_angle(Angle::degrees(93.456)), "93.5°");
}

// 1 lbf·ft is 1.355 817 9 N·m and 1 lb 0.453 592 37 kg (NIST SP 811, 2008, appendix B.8; from
// memory).
TEST(Wording, MassAndTorque) {
  EXPECT_EQ(kMetric.torque(812000.0), "812 N·m");
  EXPECT_EQ(kFraction.torque(1355.8179 * 600.0), "600 lbf·ft");
  EXPECT_EQ(kMetric.mass(2.314), "2.31 kg");
  EXPECT_EQ(kDecimalInch.mass(0.45359237 * 5.0), "5.00 lb");
}

// The true size of every kind of stock.
TEST(Wording, Sections) {
  EXPECT_EQ(section_words(*stock::Section::round_tube(38.1, 1.65), kMetric),
            "OD 38.1 × wall 1.65 mm");
  EXPECT_EQ(section_words(*stock::Section::round_tube(38.1, 1.651), kFraction),
            "OD 1.5 × wall 0.065 in");
  EXPECT_EQ(section_words(*stock::Section::round_bar(20), kMetric), "solid round 20 mm");
  EXPECT_EQ(section_words(*stock::Section::rect_tube(40, 20, 2, 4), kMetric),
            "40 deep at bend 1 × 20 wide, wall 2 mm, corners R 4");
  EXPECT_EQ(section_words(*stock::Section::rect_bar(50, 10), kMetric),
            "solid, 50 deep at bend 1 × 10 wide, mm");
}

TEST(Wording, Words) {
  EXPECT_EQ(end_letter(planning::End::kB), "B");
  EXPECT_EQ(other(planning::End::kB), planning::End::kA);
  EXPECT_EQ(side_words(planning::MarkSide::kTowardsA), "towards A");
  EXPECT_EQ(tolerance_words({1.5, Angle::degrees(0.5)}, kMetric), "±1.5 mm, ±0.5°");
  EXPECT_EQ(tolerance_words({std::nullopt, Angle::degrees(1)}, kMetric), "±1.0°");
  EXPECT_EQ(tolerance_words({}, kMetric), "");
}

}  // namespace
}  // namespace bight::papers
