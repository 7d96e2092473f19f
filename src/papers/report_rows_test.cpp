#include "papers/report_rows.h"

#include <gtest/gtest.h>

#include "papers/printed_test_util.h"

namespace bight::papers {
namespace {

// A digit finer than a set-up sheet, decimal even where the sheet prints fractions; a sign only on
// what is not nought as printed.
TEST(ReportRows, Wording) {
  base::LengthStyle style;
  const ReportWording mm(style);
  EXPECT_EQ(mm.value(4.2, "mm"), "4.20");
  EXPECT_EQ(mm.signed_value(4.2, "mm"), "+4.20");
  EXPECT_EQ(mm.signed_value(-4.2, "mm"), "−4.20");
  EXPECT_EQ(mm.signed_value(0.001, "mm"), "0.00");
  EXPECT_EQ(mm.signed_value(-0.001, "mm"), "0.00");
  EXPECT_EQ(mm.value(0.25, "deg"), "0.25°");
  EXPECT_EQ(mm.signed_value(-0.25, "deg"), "−0.25°");
  EXPECT_EQ(mm.value(std::optional<double>(), "mm"), "");
  style.unit = base::LengthUnit::kInch;
  style.form = base::LengthStyle::Form::kFraction;
  style.denominator = 16;
  EXPECT_EQ(ReportWording(style).value(25.4, "mm"), "1.0000");
}

// Cells keep to their columns, long ones made smaller.
TEST(ReportRows, CellsKeepToTheirColumns) {
  const Group group =
      table_group("TABLE", {{"what", 2.0, Align::kLeft}, {"first", 1.0}, {"second", 1.0}},
                  {{{"a rather long name of a reading", "1234.56", "−1234.56"}, true},
                   {{"short", "", "1"}, false}});
  ASSERT_EQ(group.rows.size(), 3u);
  const std::string pdf = printed::drawn([&](Canvas& canvas) {
    double y_mm = 10.0;
    for (const Block& row : group.rows) {
      row.draw(canvas, {10.0, y_mm, 90.0, row.height_mm});
      y_mm += row.height_mm;
    }
  });
  printed::expect_tidy(pdf);
  printed::expect_within(pdf, {10.0, 10.0, 90.0, 20.0});
}

}  // namespace
}  // namespace bight::papers
