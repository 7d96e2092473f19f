#include "exchange/table_write.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "exchange/sample_lines_test_util.h"
#include "exchange/table_read.h"
#include "geometry/centreline.h"

namespace bight::exchange {
namespace {

using geometry::BendTable;

Line read_back(const std::string& text) {
  const auto reading = read_table(text, "written");
  EXPECT_TRUE(reading.ok()) << reading.failure().text();
  EXPECT_TRUE(reading.ok() && reading->questions.empty()) << text;
  return *reading->line;
}

// A table as a customer gets it.
TEST(TableWrite, WritesBends) {
  const BendTable table =
      *BendTable::make({{62, base::Angle(), base::Angle::degrees(90), 36.5},
                        {41, base::Angle::degrees(90), base::Angle::degrees(45), 36.5}},
                       71);
  EXPECT_EQ(bends_csv(table),
            "bend,straight [mm],rotation relative [deg],bend angle [deg],CLR [mm]\n"
            "1,62,0,90,36.5\n2,41,90,45,36.5\nlast,71\n");
  EXPECT_EQ(corners_csv(*BendTable::make({{50, base::Angle(), base::Angle::degrees(90), 50}}, 50),
                        geometry::Frame(), {base::LengthUnit::kMillimetre, '\t'}),
            "point\tX [mm]\tY [mm]\tZ [mm]\tCLR [mm]\nA\t0\t0\t0\t\n1\t100\t0\t0\t50\n"
            "B\t100\t100\t0\t\n");
}

// Whatever the table, reading its CSV gives it back to a billionth, in either unit, unasked.
RC_GTEST_PROP(TableWriteProperty, BendsReadBack, ()) {
  const BendTable table = *sample::any_table();
  const bool inch = *rc::gen::arbitrary<bool>();
  const TableStyle style = {inch ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre,
                            *rc::gen::element(',', '\t')};
  const Line line = read_back(bends_csv(table, style));
  RC_ASSERT(line.table.num_bends() == table.num_bends());
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    const geometry::BendRow& a = table.rows()[i];
    const geometry::BendRow& b = line.table.rows()[i];
    RC_ASSERT(std::abs(a.straight_mm - b.straight_mm) < 5e-8);
    RC_ASSERT(std::abs(a.angle.deg() - b.angle.deg()) < 5e-9);
    RC_ASSERT(std::abs((a.rotation - b.rotation).wrapped().deg()) < 5e-9);
    RC_ASSERT(std::abs(a.radius_mm - b.radius_mm) < 5e-8);
  }
}

// Points and radii give the same centreline back, at its ends and in its length.
RC_GTEST_PROP(TableWriteProperty, CornersReadBack, ()) {
  const BendTable table = *sample::any_table();
  geometry::Frame start;
  start.origin_mm = {10, -20, 30};
  const Line line = read_back(corners_csv(table, start));
  const auto a = geometry::lay_out(table, start);
  const auto b = geometry::lay_out(line.table, line.start);
  RC_ASSERT((a.start_mm() - b.start_mm()).norm() < 1e-6);
  RC_ASSERT((a.end_mm() - b.end_mm()).norm() < 1e-5);
  RC_ASSERT(std::abs(a.length_mm() - b.length_mm()) < 1e-5);
}

}  // namespace
}  // namespace bight::exchange
