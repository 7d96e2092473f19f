#include "exchange/dxf_blocks.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

// Rows and columns of an insert repeat its block at their steps, turned with it.
TEST(DxfBlocks, InsertsInRowsAndColumns) {
  DxfBlocks blocks;
  blocks.begin("B", geometry::Vec3::Zero());
  DxfCurve curve;
  curve.layer = "L";
  DxfPiece piece;
  piece.end = {1, 0, 0};
  curve.pieces = {piece};
  blocks.add(curve);
  blocks.end();
  DxfInsert insert;
  insert.block = "B";
  insert.turn = base::Angle::degrees(90);
  insert.num_columns = 2;
  insert.num_rows = 3;
  insert.step = {10, 100, 0};
  blocks.insert(insert);
  std::map<std::string, int> passed_over;
  const auto curves = blocks.inserted(100, "f", passed_over);
  ASSERT_TRUE(curves.ok());
  ASSERT_EQ(curves->size(), 6u);
  const DxfCurve& last = curves->back();
  EXPECT_EQ(last.layer, "L");
  EXPECT_LT((last.pieces[0].start - geometry::Vec3(-200, 10, 0)).norm(), 1e-9);
  EXPECT_LT((last.pieces[0].end - geometry::Vec3(-200, 11, 0)).norm(), 1e-9);
  EXPECT_EQ(num_pieces(*curves), 6u);
  EXPECT_EQ(blocks.inserted(5, "f", passed_over).failure().code, "dxf.many");
}

}  // namespace
}  // namespace bight::exchange
