#include "stock/stock_answer.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "stock/size_match.h"

namespace bight::stock {
namespace {

const SizeTables& tables() {
  static const SizeTables built_in = *SizeTables::built_in();
  return built_in;
}

StockAnswer listed(std::string_view designation) {
  const auto row = std::find_if(tables().sizes.begin(), tables().sizes.end(),
                                [&](const SizeRow& r) { return r.designation == designation; });
  EXPECT_NE(row, tables().sizes.end()) << designation;
  return listed_answer(tables(), *row);
}

bool says(const StockAnswer& answer, StockNote::Kind kind, std::string_view text) {
  return std::any_of(answer.notes.begin(), answer.notes.end(), [&](const StockNote& note) {
    return note.kind == kind && note.text.find(text) != std::string::npos;
  });
}

std::vector<std::string> standards(const StockAnswer& answer) {
  std::vector<std::string> names;
  for (const SizeTolerance& tolerance : answer.tolerances) names.push_back(tolerance.standard);
  return names;
}

using Names = std::vector<std::string>;

// Each family has the tolerances of the standards it is delivered to.
TEST(StockAnswer, Tolerances) {
  EXPECT_EQ(standards(listed("NPS 2 Sch 40 pipe")), (Names{"ASTM A53", "ASTM A999"}));
  EXPECT_EQ(standards(listed("NPS 2 Sch 40S pipe")), (Names{"ASTM A999"}));
  EXPECT_EQ(standards(listed("DN 40 medium pipe EN 10255")), (Names{"EN 10255"}));
  EXPECT_EQ(standards(listed("1/2 in copper tube type L")),
            (Names{"ASTM B88, annealed", "ASTM B88, drawn"}));
  EXPECT_EQ(standards(listed("40 x 40 x 3 SHS EN 10219-2")), (Names{"EN 10219-2"}));
  EXPECT_EQ(standards(listed("48.3 x 3.2 CHS EN 10210-2")), (Names{"EN 10210-2"}));
  EXPECT_EQ(standards(listed("3/4 EMT conduit")), Names{});
  const StockAnswer hydraulic = listed("20 x 2 hydraulic tube EN 10305-4");
  ASSERT_EQ(hydraulic.tolerances.size(), 1u);
  EXPECT_NEAR(*hydraulic.tolerances[0].od_minus_mm, 0.08, 1e-12);
  EXPECT_NEAR(*hydraulic.tolerances[0].wall_minus_mm, 0.2, 1e-12);
  const StockAnswer inch = listed_answer(tables(), mechanical_tubes(tables(), 38.1, 1.651).front());
  EXPECT_EQ(standards(inch), (Names{"ASTM A513 type 5", "ASTM A513 type 1a", "ASTM A269"}));
  const StockAnswer pair = listed_answer(tables(), *preferred_tube(tables(), 25, 2));
  EXPECT_EQ(standards(pair), (Names{"EN 10216-1", "EN 10305-1, cold drawn"}));
}

// Bend radii somebody printed go with the size they were printed for.
TEST(StockAnswer, Radii) {
  const StockAnswer emt = listed("3/4 EMT conduit");
  ASSERT_EQ(emt.radii.size(), 2u);
  EXPECT_NEAR(emt.radii[0].radius_mm.value, 114.3, 1e-9);
  EXPECT_NEAR(emt.radii[1].radius_mm.value, 127.0, 1e-9);
  const StockAnswer copper = listed("15 x 1 copper tube EN 1057 R250");
  ASSERT_EQ(copper.radii.size(), 1u);
  EXPECT_DOUBLE_EQ(copper.radii[0].radius_mm.value, 55);
  EXPECT_TRUE(listed("15 x 1 copper tube ASTM B88M type B").radii.empty());
  EXPECT_TRUE(listed("22 x 1 copper tube EN 1057 any temper").radii.empty());
}

// What a person must know is said: unconfirmed numbers, schedules that differ by an S, corners.
TEST(StockAnswer, Notes) {
  using Kind = StockNote::Kind;
  EXPECT_TRUE(says(listed("1 RMC conduit"), Kind::kWarning, "the wall is unconfirmed"));
  EXPECT_TRUE(says(listed("40 x 20 x 2 RHS EN 10219-2"), Kind::kWarning,
                   "outside size and wall are unconfirmed"));
  EXPECT_FALSE(says(listed("NPS 2 Sch 40 pipe"), Kind::kWarning, "unconfirmed"));
  EXPECT_TRUE(says(listed("NPS 12 Sch 40S pipe"), Kind::kWarning,
                   "schedule 40S has a wall of 9.53 mm here, schedule 40 one of 10.31 mm"));
  EXPECT_TRUE(says(listed("NPS 12 Sch 40 pipe"), Kind::kWarning, "schedule 40S one of 9.53 mm"));
  EXPECT_FALSE(says(listed("NPS 2 Sch 40S pipe"), Kind::kWarning, "schedule"));
  EXPECT_FALSE(says(listed("NPS 2 XS pipe"), Kind::kWarning, "schedule"));
  EXPECT_TRUE(says(listed("40 x 40 x 3 SHS EN 10219-2"), Kind::kFact,
                   "outer corner radius 6 mm, the middle of 4.8 to 7.2 mm"));
  EXPECT_TRUE(
      says(listed_answer(tables(), *preferred_tube(tables(), 25, 2)), Kind::kFact, "series 2"));
  EXPECT_TRUE(says(listed_answer(tables(), mechanical_tubes(tables(), 38.1, 1.651).front()),
                   Kind::kFact, "the wall is 16 BWG"));
}

// A size as typed has no standard, and tolerances only if it is a diameter of precision tube.
TEST(StockAnswer, Unlisted) {
  const StockAnswer precision =
      unlisted_answer(tables(), *Section::round_tube(25, 1.5), std::nullopt);
  EXPECT_FALSE(precision.listed);
  EXPECT_TRUE(precision.size.standard.empty());
  EXPECT_EQ(precision.size.designation, "25 x 1.5");
  EXPECT_EQ(precision.size.outside_mm.source, "as typed");
  ASSERT_EQ(precision.tolerances.size(), 1u);
  EXPECT_NEAR(*precision.tolerances[0].od_plus_mm, 0.08, 1e-12);
  EXPECT_NEAR(*precision.tolerances[0].wall_minus_mm, 0.15, 1e-12);
  EXPECT_TRUE(
      unlisted_answer(tables(), *Section::round_tube(25.3, 1.5), std::nullopt).tolerances.empty());
  EXPECT_TRUE(unlisted_answer(tables(), *Section::round_bar(25), std::nullopt).tolerances.empty());
  EXPECT_EQ(both_units(38.1), "38.1 mm (1-1/2 in)");
  EXPECT_EQ(both_units(22), "22 mm (0.8661 in)");
}

}  // namespace
}  // namespace bight::stock
