#include "rules/general_tolerance.h"

#include <gtest/gtest.h>

namespace bight::rules {
namespace {

TEST(GeneralTolerance, PublishedAngles) {
  // Proves the 300 mm leg: ISO 13920-B ±45′, ISO 2768-m ±10′ (table pages of both, read).
  const auto iso13920 = angle_tolerance_of("ISO 13920", "B", 300);
  ASSERT_TRUE(iso13920.ok() && *iso13920);
  EXPECT_NEAR((*iso13920)->plus_minus.deg() * 60, 45, 1e-9);
  const auto iso2768 = angle_tolerance_of("ISO 2768-1", "m", 300);
  ASSERT_TRUE(iso2768.ok() && *iso2768);
  EXPECT_NEAR((*iso2768)->plus_minus.deg() * 60, 10, 1e-9);
}

TEST(GeneralTolerance, PublishedLengths) {
  // Proves ISO 13920-B lengths ±2 (30-400), ±3, ±4, ±6, ±8 (to 8000) (table page, read), and that a
  // size on a limit belongs to the lower range.
  for (const auto& [length_mm, expected] : {std::pair{50.0, 2.0},
                                            {400.0, 2.0},
                                            {400.1, 3.0},
                                            {1000.0, 3.0},
                                            {2000.0, 4.0},
                                            {3999.0, 6.0},
                                            {8000.0, 8.0}}) {
    EXPECT_DOUBLE_EQ((*length_tolerance_of("ISO 13920", "B", length_mm))->plus_minus_mm, expected);
  }
}

TEST(GeneralTolerance, NothingWhereTheStandardIsSilent) {
  // Proves that no value is made up.
  EXPECT_FALSE(length_tolerance_of("ISO 2768-1", "m", 5000)->has_value());
  EXPECT_FALSE(length_tolerance_of("ISO 13920", "Q", 500)->has_value());
  EXPECT_FALSE(length_tolerance_of("ISO 13920", "B", 2)->has_value());
}

TEST(GeneralTolerance, RecalledCellsAreUnconfirmed) {
  // Proves the mark of a recalled cell.
  EXPECT_EQ((*angle_tolerance_of("ISO 2768-1", "m", 500))->provenance,
            stock::Provenance::kUnconfirmed);
  EXPECT_NE((*angle_tolerance_of("ISO 2768-1", "m", 300))->provenance,
            stock::Provenance::kUnconfirmed);
}

}  // namespace
}  // namespace bight::rules
