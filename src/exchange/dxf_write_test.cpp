#include "exchange/dxf_write.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "exchange/dxf_read.h"
#include "exchange/sample_lines_test_util.h"
#include "geometry/centreline.h"
#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::exchange {
namespace {

// Any part's centreline is read back unasked, with its place, to a millionth of a millimetre.
RC_GTEST_PROP(DxfWriteProperty, CentrelineReadsBack, ()) {
  const geometry::BendTable table = *sample::any_table();
  geometry::Frame start;
  start.origin_mm = {100, -50, 25};
  start = start.rolled(base::Angle::degrees(*rc::gen::inRange(0, 360)));
  const auto reading = read_dxf(dxf_centreline(table, start), "f.dxf");
  RC_ASSERT(reading.ok());
  RC_ASSERT(reading->questions.empty());
  const geometry::BendTable& back = reading->line->table;
  RC_ASSERT(back.num_bends() == table.num_bends());
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    RC_ASSERT(std::abs(back.straight_mm(i) - table.straight_mm(i)) < 1e-5);
    RC_ASSERT(std::abs((back.rows()[i].rotation - table.rows()[i].rotation).wrapped().deg()) <
              1e-4);
    RC_ASSERT(std::abs((back.rows()[i].angle - table.rows()[i].angle).deg()) < 1e-6);
  }
  const auto a = geometry::lay_out(table, start);
  const auto b = geometry::lay_out(back, reading->line->start);
  RC_ASSERT((a.end_mm() - b.end_mm()).norm() < 1e-4);
}

// The strip is the blank's length by its perimeter, with one mark for each bend where the plan has
// it.
TEST(DxfWrite, StripHoldsTheMarks) {
  const auto plan = planning::plan(planning::sample::u_part(), planning::sample::shop());
  ASSERT_TRUE(plan.ok());
  ASSERT_EQ(plan->steps.size(), 2u);
  const auto drawing = read_dxf_drawing(dxf_strip(*plan), "f");
  ASSERT_TRUE(drawing.ok());
  std::vector<double> marks_mm;
  for (const DxfCurve& curve : drawing->curves) {
    if (curve.layer == "MARKS") marks_mm.push_back(curve.pieces[0].start.x());
    if (curve.layer == "BLANK") {
      EXPECT_NEAR(curve.pieces[0].end.x(), plan->blank.cut.likely_mm, 1e-6);
      EXPECT_NEAR(curve.pieces[1].end.y(), 38.1 * M_PI, 1e-6);
    }
  }
  ASSERT_EQ(marks_mm.size(), 2u);
  EXPECT_NEAR(marks_mm[0], plan->steps[0].mark_mm, 1e-6);
  EXPECT_NEAR(marks_mm[1], plan->steps[1].mark_mm, 1e-6);
}

// Views stand side by side and never on one another.
TEST(DxfWrite, ViewsStandApart) {
  const FlatView view{"from above", {{{-5, -5}, {95, -5}, {95, 20}}}, {{{0, 0}, {90, 0}}}};
  const auto drawing = read_dxf_drawing(dxf_views({view, view, {"empty", {}, {}}}), "f");
  ASSERT_TRUE(drawing.ok());
  ASSERT_EQ(drawing->curves.size(), 4u);
  EXPECT_EQ(drawing->curves[0].pieces[0].start, geometry::Vec3(0, 0, 0));
  EXPECT_GT(drawing->curves[2].pieces[0].start.x(), 100.0);
  EXPECT_EQ(drawing->passed_over.at("TEXT"), 2);
}

}  // namespace
}  // namespace bight::exchange
