#include "inspection/agreed.h"

#include <gtest/gtest.h>

#include "inspection/sample_part_test_util.h"

namespace bight::inspection {
namespace {

using base::Angle;

part::Part any_part() { return sample::part(25, 1.5, {sample::row(100, 0, 90)}, 100); }

// The part's own tolerance stands until the piece's file or the person says otherwise, the last
// word counts, and rules add up.
TEST(Agreed, TheLastPlaceCounts) {
  part::Part part = any_part();
  part.tolerance = {1.5, Angle::degrees(0.5)};
  Agreed file;
  file.length_mm = 2.0;
  file.end_mm = 3.0;
  file.align = AlignBy::kBestFit;
  file.rules = {"first"};
  Agreed person;
  person.end_mm = 4.0;
  person.guard_band = true;
  person.rules = {"first", "second"};
  const auto agreed = agreement_of(part, 5, {file, person});
  ASSERT_TRUE(agreed.ok());
  EXPECT_EQ(agreed->length_mm, 2.0);
  EXPECT_EQ(agreed->angle->deg(), 0.5);
  EXPECT_EQ(agreed->end_mm, 4.0);
  EXPECT_EQ(agreed->align, AlignBy::kBestFit);
  EXPECT_TRUE(agreed->guard_band);
  EXPECT_EQ(agreed->rules, (std::vector<std::string>{"first", "second"}));
  EXPECT_FALSE(agreed->corner_mm);
}

// Points go by the names the report prints.
TEST(Agreed, PointsByName) {
  EXPECT_EQ(point_index("A", 5), 0u);
  EXPECT_EQ(point_index("end B", 5), 4u);
  EXPECT_EQ(point_index("corner 3", 5), 3u);
  EXPECT_EQ(point_index("1", 5), 1u);
  for (const char* none : {"0", "4", "C", "", "1x", "-1"}) {
    EXPECT_FALSE(point_index(none, 5)) << none;
  }
  for (std::size_t i = 0; i < 5; ++i) EXPECT_EQ(point_index(point_name(i, 5), 5), i);
  Agreed agreed;
  agreed.align = AlignBy::kDatumPoints;
  agreed.datum_points = {"A", "2", "B"};
  EXPECT_EQ(agreement_of(any_part(), 5, {agreed})->datum_points,
            (std::vector<std::size_t>{0, 2, 4}));
}

// What cannot have been agreed is refused.
TEST(Agreed, Refusals) {
  Agreed few;
  few.align = AlignBy::kDatumPoints;
  few.datum_points = {"A", "A", "B"};
  EXPECT_EQ(agreement_of(any_part(), 5, {few}).failure().code, "agreed.point");
  Agreed none;
  none.datum_points = {"A", "7", "B"};
  EXPECT_EQ(agreement_of(any_part(), 5, {none}).failure().code, "agreed.point");
  Agreed zero;
  zero.corner_mm = 0.0;
  EXPECT_EQ(agreement_of(any_part(), 5, {zero}).failure().code, "agreed.limit");
}

}  // namespace
}  // namespace bight::inspection
