#include "app/inputs.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
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

std::string table_of(const std::string& text) {
  const std::string path = ::testing::TempDir() + "inputs_test.csv";
  std::ofstream(path) << text;
  return path;
}

// Options answer the reader's questions; what nobody asks is refused.
TEST(Inputs, OptionsAnswerQuestions) {
  InputArguments arguments;
  arguments.path = table_of("X,Y\n0,0\n150,0\n150,130\n");
  const auto open = read_input(arguments);
  ASSERT_TRUE(open.ok()) << open.failure().text();
  EXPECT_EQ(open->questions.at(0).code, "ask.units");
  arguments.answers = {"units=in"};
  arguments.radius = "50 mm";
  const auto read = read_input(arguments);
  ASSERT_TRUE(read.ok()) << read.failure().text();
  EXPECT_NEAR(read->line->table.rows()[0].straight_mm, 150 * 25.4 - 50, 1e-9);
  arguments.answers = {"weather=fair"};
  EXPECT_EQ(read_input(arguments).failure().code, "ask.unknown");
  arguments.answers = {"units"};
  EXPECT_EQ(read_input(arguments).failure().code, "ask.unknown");
  arguments.answers = {};
  arguments.join = "a mile";
  EXPECT_EQ(read_input(arguments).failure().code, "ask.length");
}

// Where a whole part is needed, questions are failures with the options that answer them.
TEST(Inputs, QuestionsBecomeFailures) {
  InputArguments arguments;
  arguments.path = table_of("X,Y\n0,0\n150,0\n150,130\n");
  const auto part = read_part_input(arguments);
  ASSERT_FALSE(part.ok());
  EXPECT_EQ(part.failure().code, "ask.units");
  EXPECT_NE(part.failure().remedy.find("--answer units=mm"), std::string::npos);
  arguments.answers = {"ask.units=mm"};
  arguments.radius = "50";
  EXPECT_EQ(read_part_input(arguments).failure().code, "input.tube");
  arguments.tube.size = "25 x 1.5";
  arguments.tube.material = "304L annealed";
  EXPECT_TRUE(read_part_input(arguments).ok());
}

}  // namespace
}  // namespace bight::app
