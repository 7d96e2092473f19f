#include "app/bench_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "exchange/part_toml.h"
#include "exchange/shop_toml.h"
#include "geometry/centreline.h"
#include "planning/planner.h"

namespace bight::app {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

planning::Plan demo_plan() {
  const std::string folder = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater";
  const exchange::PartFile file = *exchange::read_part_file(folder + "/parts/rack-upright.toml");
  return *planning::plan(file.part, *exchange::read_shop_folder(folder));
}

// Old and new values side by side, what was left and why, in the unit asked for.
TEST(BenchText, Correction) {
  const planning::Plan plan = demo_plan();
  exchange::MeasuredPiece piece;
  piece.measured.name = "first piece";
  piece.measured.bends.resize(2);
  piece.measured.bends[0].angle = base::Angle::degrees(88.6);
  piece.measured.bends[0].set = base::Angle::degrees(93.0);
  piece.measured.bends[1].straight_mm = plan.bent_table.straight_mm(1) + 2.5;
  const auto found = planning::correct_piece(plan, piece.measured);
  ASSERT_TRUE(found.ok());
  const std::string text = correction_text(plan, *found, piece, {}, false);
  for (const char* part : {"first piece", "KEY IN", "88.60°", "93.00°", "+1.4", "-2.50",
                           "not measured", "corrected", "cut length"}) {
    EXPECT_THAT(text, HasSubstr(part));
  }
  base::LengthStyle inch;
  inch.unit = base::LengthUnit::kInch;
  inch.decimals = 3;
  EXPECT_THAT(correction_text(plan, *found, piece, inch, false), HasSubstr("-0.0984"));
}

// Story 17: fixed at end A the end is 4.2 off and outside, under the best fit all is within: both
// stand there, and the question which was agreed.
TEST(BenchText, BothAlignmentsWhenTheyDisagree) {
  stock::Material metal;
  metal.name = "test steel";
  const auto table =
      *geometry::BendTable::make({{440, base::Angle(), base::Angle::degrees(90), 60}}, 340);
  const part::Part part{.name = "flat part",
                        .section = *stock::Section::round_tube(25, 1.5),
                        .material = metal,
                        .table = table};
  exchange::MeasuredPiece piece;
  const std::vector<geometry::Vec3> drawn = geometry::corner_points_mm(table);
  for (const geometry::Vec3& p : drawn) piece.measured.points_mm.emplace_back(p);
  const geometry::Vec3 leg = (drawn[2] - drawn[1]).normalized();
  *piece.measured.points_mm[2] += 4.2 * leg;
  inspection::Agreement agreement;
  agreement.corner_mm = agreement.end_mm = 3.0;
  const auto found = inspection::inspect(part, table, piece.measured, agreement);
  ASSERT_TRUE(found.ok());
  const std::string text = inspection_text(part, *found, agreement, piece, {}, false);
  for (const char* said : {"(agreed): outside", "by best fit", "4.20", "0.65", "1.86", "2.47",
                           "ask which was agreed", "Bight certifies nothing"}) {
    EXPECT_THAT(text, HasSubstr(said));
  }
}

}  // namespace
}  // namespace bight::app
