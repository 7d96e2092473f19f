#include "base/result.h"

#include <gtest/gtest.h>

namespace bight::base {
namespace {

Result<int> half(int value) {
  if (value % 2 != 0) return Failure{"test.odd", "value", "3 is odd", "give an even number"};
  return value / 2;
}

Result<int> quarter(int value) {
  BIGHT_TRY(const int once, half(value));
  BIGHT_TRY(const int twice, half(once));
  return twice;
}

TEST(Result, CarriesValueOrFailure) {
  EXPECT_EQ(*half(8), 4);
  EXPECT_FALSE(half(3).ok());
  EXPECT_EQ(half(3).failure().text(), "value: 3 is odd (give an even number)");
}

// BIGHT_TRY hands the first failure up unchanged.
TEST(Result, TryReturnsFirstFailure) {
  EXPECT_EQ(*quarter(8), 2);
  EXPECT_EQ(quarter(6).failure().code, "test.odd");
}

TEST(ResultDeathTest, ReadingTheAbsentSideIsABug) {
  EXPECT_DEATH(static_cast<void>(half(3).value()), "ok\\(\\)");
}

TEST(Failure, TextLeavesOutWhatIsEmpty) {
  EXPECT_EQ((Failure{"a.b", "", "no file", ""}).text(), "no file");
}

}  // namespace
}  // namespace bight::base
