#include "exchange/dxf_document.h"

#include <gtest/gtest.h>

#include "exchange/dxf_entities.h"

namespace bight::exchange {
namespace {

// What is written is read back where it was, arcs of any plane too. tests/dxf_test.py has another
// library read and audit such files.
TEST(DxfDocument, ReadsBack) {
  DxfDocument document({{"A", 1, true}, {"B", 5, false}});
  document.line("A", {1, 2, 3}, {4, 5, 6.5});
  const geometry::Vec3 axis = geometry::Vec3(1, 2, 2) / 3.0;
  const geometry::Vec3 arm = geometry::Vec3(2, 1, -2) / 3.0 * 40.0;
  document.arc("B", {10, 20, 30}, axis, geometry::Vec3(10, 20, 30) + arm,
               base::Angle::degrees(200));
  document.polyline("B", {{0, 0}, {5, 0}, {5, 5}}, true);
  document.text("B", {0, 0}, 2.5, "90\xC2\xB0 \xE2\x8C\x80\nline");
  const std::string bytes = document.bytes();
  EXPECT_NE(bytes.find("90\\U+00B0 \\U+2300 line"), std::string::npos);
  const auto drawing = read_dxf_drawing(bytes, "f");
  ASSERT_TRUE(drawing.ok()) << drawing.failure().text();
  EXPECT_EQ(drawing->unit_code, 4);
  EXPECT_EQ(drawing->version, "AC1015");
  EXPECT_TRUE(drawing->complete);
  ASSERT_EQ(drawing->curves.size(), 3u);
  EXPECT_LT((drawing->curves[0].pieces[0].end - geometry::Vec3(4, 5, 6.5)).norm(), 1e-9);
  const DxfPiece& arc = drawing->curves[1].pieces[0];
  EXPECT_LT((arc.start - geometry::Vec3(10, 20, 30) - arm).norm(), 1e-7);
  EXPECT_LT((arc.nhat_axis - axis).norm(), 1e-8);
  EXPECT_NEAR(arc.angle.deg(), 200.0, 1e-7);
  EXPECT_TRUE(drawing->curves[2].closed);
  EXPECT_EQ(drawing->passed_over.at("TEXT"), 1);
}

}  // namespace
}  // namespace bight::exchange
