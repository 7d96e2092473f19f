#include "app/inputs.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <regex>

namespace bight::app {
namespace {

// Without a folder or the environment variable, the demo shop that travels inside the program.
TEST(Inputs, DemoShopIsInside) {
  unsetenv("BIGHT_SHOP");
  const base::Result<workshop::Shop> shop = load_shop("");
  ASSERT_TRUE(shop.ok()) << shop.failure().text();
  EXPECT_EQ(shop->name, "Fenwater Rail & Frame");
  setenv("BIGHT_SHOP", "no/such/folder", 1);
  EXPECT_FALSE(load_shop("").ok());
  unsetenv("BIGHT_SHOP");
}

TEST(Inputs, UnitsBecomeStyles) {
  using base::LengthUnit;
  EXPECT_EQ(style_of("", LengthUnit::kInch).unit, LengthUnit::kInch);
  EXPECT_EQ(style_of("mm", LengthUnit::kInch).unit, LengthUnit::kMillimetre);
  EXPECT_EQ(style_of("in/32", LengthUnit::kMillimetre).denominator, 32);
  EXPECT_EQ(style_of("in/32", LengthUnit::kMillimetre).form, base::LengthStyle::Form::kFraction);
  EXPECT_EQ(style_of("in", LengthUnit::kMillimetre).decimals, 3);
}

TEST(Inputs, TodayIsADate) {
  EXPECT_TRUE(std::regex_match(today(), std::regex(R"(\d{4}-\d{2}-\d{2})"))) << today();
}

}  // namespace
}  // namespace bight::app
