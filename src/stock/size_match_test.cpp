#include "stock/size_match.h"

#include <gtest/gtest.h>

#include <cmath>

namespace bight::stock {
namespace {

const SizeTables& tables() {
  static const SizeTables built_in = *SizeTables::built_in();
  return built_in;
}

bool everything(const SizeRow&) { return true; }

// A pipe is found by the measures of either of its tables, 48.3 x 3.68 and 1.9 x 0.145 in, and not
// by measures next to them.
TEST(SizeMatch, RoundTubesInBothUnits) {
  const auto metric = round_tubes(tables(), 48.3, 3.68, everything);
  const auto inch = round_tubes(tables(), 48.26, 3.683, everything);
  ASSERT_EQ(metric.size(), 3u);  // schedules 40, STD and 40S
  ASSERT_EQ(inch.size(), 3u);
  EXPECT_EQ(inch[0].designation, metric[0].designation);
  EXPECT_TRUE(round_tubes(tables(), 48.3, 3.7, everything).empty());
  EXPECT_TRUE(round_tubes(tables(), 48.2, 3.68, everything).empty());
  EXPECT_GT(round_tubes(tables(), 48.3, std::nullopt, everything).size(), 12u);
}

// Rectangular tube is found either way round and comes as it was asked for.
TEST(SizeMatch, BoxTubesEitherWayRound) {
  const auto hard = box_tubes(tables(), 40, 20, 2, everything);
  const auto easy = box_tubes(tables(), 20, 40, 2, everything);
  ASSERT_EQ(hard.size(), easy.size());
  ASSERT_EQ(hard.size(), 1u);
  EXPECT_DOUBLE_EQ(easy[0].section.height_mm(), 20);
  EXPECT_DOUBLE_EQ(easy[0].outside_mm.value, 20);
  EXPECT_EQ(easy[0].section.turned(), hard[0].section);
  EXPECT_EQ(easy[0].designation, hard[0].designation);
  EXPECT_TRUE(box_tubes(tables(), 40, 20, 2.1, everything).empty());
}

// Inch tube: only whole sixteenths, and only walls that ASTM A513 names for that range.
TEST(SizeMatch, MechanicalTubes) {
  const auto one = mechanical_tubes(tables(), 38.1, 1.65);
  ASSERT_EQ(one.size(), 1u);
  EXPECT_EQ(one[0].designation, "1-1/2 x 0.065 in tube ASTM A513");
  EXPECT_NEAR(one[0].section.wall_mm(), 1.651, 1e-9);
  EXPECT_EQ(mechanical_tubes(tables(), 38.1, std::nullopt).size(), 7u);
  EXPECT_TRUE(mechanical_tubes(tables(), 38.1, 1.6).empty());
  EXPECT_TRUE(mechanical_tubes(tables(), 38.0, std::nullopt).empty());
  EXPECT_TRUE(mechanical_tubes(tables(), 6.35, std::nullopt).empty());  // below 3/8 in
}

TEST(SizeMatch, PreferredTube) {
  const auto pair = preferred_tube(tables(), 31.8, 2.6);
  ASSERT_TRUE(pair.has_value());
  EXPECT_EQ(pair->number, 2);
  EXPECT_EQ(pair->designation, "31.8 x 2.6 tube EN 10220");
  EXPECT_FALSE(preferred_tube(tables(), 31.8, 2.5).has_value());
  EXPECT_FALSE(preferred_tube(tables(), 33.0, 2.6).has_value());
  EXPECT_FALSE(preferred_tube(tables(), 10.2, 10).has_value());  // no bore
}

// The nearest sizes: nearest first by brute force over the whole table, no section twice, a listed
// size nearest to itself, and the outside size ahead of the wall.
TEST(SizeMatch, NearestSizes) {
  const auto near = nearest_sizes(tables(), *Section::round_tube(22, 1.3), everything);
  ASSERT_EQ(near.size(), 5u);
  EXPECT_EQ(near[0].section, *Section::round_tube(22, 1.2));
  for (std::size_t i = 0; i < near.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) EXPECT_NE(near[i].section, near[j].section);
  }
  for (const SizeRow& row : tables().sizes) {
    if (row.family != SizeFamily::kTubeHydraulic) continue;
    EXPECT_EQ(nearest_sizes(tables(), row.section, everything, 1).front().section, row.section);
  }
  const auto box = nearest_sizes(tables(), *Section::rect_tube(21, 40, 2, 3), everything, 1);
  EXPECT_NEAR(box.front().section.height_mm(), 20, 1e-9);
  const auto one_family = [](const SizeRow& row) { return row.family == SizeFamily::kConduit; };
  for (const SizeRow& row : nearest_sizes(tables(), *Section::round_tube(22, 1.3), one_family)) {
    EXPECT_EQ(row.family, SizeFamily::kConduit);
  }
  EXPECT_TRUE(nearest_sizes(tables(), *Section::round_bar(20), everything).empty());
}

TEST(SizeMatch, GaugesAndWords) {
  EXPECT_DOUBLE_EQ(find_gauge(tables(), "SWG", "16")->wall_mm.value, 1.626);
  EXPECT_FALSE(find_gauge(tables(), "BWG", "37").has_value());
  EXPECT_FALSE(find_gauge(tables(), "XWG", "16").has_value());
  EXPECT_EQ(gauge_words(tables(), 1.65), "16 BWG");
  EXPECT_EQ(gauge_words(tables(), 1.6), "");
  EXPECT_EQ(inch_words(38.1), "1-1/2");
  EXPECT_EQ(inch_words(25.4), "1");
  EXPECT_EQ(inch_words(1.651), "0.065");
  EXPECT_EQ(inch_words(50.0), "1.969");
}

}  // namespace
}  // namespace bight::stock
