#include "mechanics/tooling_need.h"

#include <gtest/gtest.h>

#include <string>

namespace bight::mechanics {
namespace {

std::vector<ToolAdvice> advise(double wall_factor, double d_of_bend, std::string family) {
  const auto table = ToolingTable::built_in();
  EXPECT_TRUE(table.ok());
  return *table->advise({wall_factor, d_of_bend, std::move(family)});
}

const ToolAdvice& by_rule(const std::vector<ToolAdvice>& all, std::string_view name) {
  for (const ToolAdvice& advice : all) {
    if (advice.rule == name) return advice;
  }
  ADD_FAILURE() << "no rule " << name;
  return all.front();
}

TEST(ToolingNeed, ThresholdTwentyIsAdvice) {
  // Proves W 19 needs nothing by the rule, W 21 a mandrel, with the words "in most instances"
  // (trade encyclopaedia, read).
  const auto below = advise(19, 4, "");
  const auto above = advise(21, 4, "");
  EXPECT_EQ(by_rule(below, "wall factor 20").need, ToolNeed::kNone);
  EXPECT_EQ(by_rule(above, "wall factor 20").need, ToolNeed::kMandrel);
  EXPECT_NE(by_rule(above, "wall factor 20").message.find("in most instances"), std::string::npos);
}

TEST(ToolingNeed, SteelAnchors) {
  // Proves the three lines of the mill handbook 2018, p. 90, Table 38: W 20 at 2 D, 30 at 3 D, 50
  // at 4.5 D, straight between, quotient kept outside and said to be.
  const auto limit = [](double d_of_bend) {
    return *by_rule(advise(25, d_of_bend, "carbon steel"), "plain bend of precision steel tube")
                .limit_ratio;
  };
  EXPECT_DOUBLE_EQ(limit(2), 20);
  EXPECT_DOUBLE_EQ(limit(3), 30);
  EXPECT_DOUBLE_EQ(limit(4.5), 50);
  EXPECT_DOUBLE_EQ(limit(2.5), 25);
  EXPECT_DOUBLE_EQ(limit(1.5), 15);
  EXPECT_NEAR(limit(9), 100, 1e-9);
  const auto outside = advise(25, 1.5, "carbon steel");
  const ToolAdvice& advice = by_rule(outside, "plain bend of precision steel tube");
  EXPECT_FALSE(advice.between_anchors);
  EXPECT_EQ(advice.need, ToolNeed::kMandrel);
  EXPECT_NE(advice.message.find("carried on"), std::string::npos);
}

TEST(ToolingNeed, ExampleOfTheChart) {
  // Proves 38.1 x 1.6 on R 114.3: wall factor 23.8 at 3.0 D (trade article on the chart's method,
  // read): one rule asks for a mandrel, the steel line does not; both are shown.
  const auto all = advise(38.1 / 1.6, 114.3 / 38.1, "carbon steel");
  EXPECT_EQ(by_rule(all, "wall factor 20").need, ToolNeed::kMandrel);
  EXPECT_NE(by_rule(all, "wall factor 20").message.find("23.8 at 3.00 D"), std::string::npos);
  EXPECT_FALSE(by_rule(all, "plain bend of precision steel tube").exceeded);
  EXPECT_EQ(by_rule(all, "wiper").need, ToolNeed::kWiper);  // standing advice, conditional
  EXPECT_FALSE(by_rule(all, "wiper").limit_ratio.has_value());
}

TEST(ToolingNeed, CopperAtTwoDiameters) {
  // Proves wall factor 15 for copper at 2 D (trade page on copper tube, read).
  EXPECT_FALSE(by_rule(advise(15, 2, "copper"), "copper without a mandrel").exceeded);
  EXPECT_TRUE(by_rule(advise(15.1, 2, "copper"), "copper without a mandrel").exceeded);
  for (const ToolAdvice& advice : advise(15.1, 2, "carbon steel")) {
    EXPECT_NE(advice.rule, "copper without a mandrel");
  }
}

TEST(ToolingNeed, ShopTable) {
  // Proves that a shop's own rows are read, and that a recalled one is called unconfirmed.
  const auto csv = base::CsvTable::parse(
      "rule,family,d_of_bend,wall_factor_most,need,advice,source,mark\n"
      "ours,copper,1.5,30,balls,two balls,trial of last spring,RULE\n"
      "heard,,,40,wiper,fit it,heard,MEMORY\n",
      "ours.csv");
  const auto table = ToolingTable::read(*csv);
  ASSERT_TRUE(table.ok());
  const auto all = table->advise({41, 1.5, "copper"});
  ASSERT_EQ(all->size(), 2u);
  EXPECT_EQ((*all)[0].need, ToolNeed::kBalls);
  EXPECT_EQ((*all)[1].message.rfind("unconfirmed", 0), 0u);
}

TEST(ToolingNeed, RefusesBadTablesAndFacts) {
  // Proves the failure codes.
  const auto code = [](std::string rows) {
    const auto csv = base::CsvTable::parse(
        "rule,family,d_of_bend,wall_factor_most,need,advice,source,mark\n" + rows, "t.csv");
    return ToolingTable::read(*csv).failure().code;
  };
  EXPECT_EQ(code("a,,,20,magnet,x,y,RULE\n"), "table.value");
  EXPECT_EQ(code("a,,2,,plug,x,y,RULE\n"), "table.value");
  EXPECT_EQ(code("a,,2,20,plug,x,y,RULE\na,,2,30,plug,x,y,RULE\n"), "table.value");
  EXPECT_EQ(code("a,,2,20,plug,x,y,RULE\na,,3,30,balls,x,y,RULE\n"), "table.value");
  EXPECT_EQ(code("a,,,20,plug,x,y,SURE\n"), "table.mark");
  EXPECT_EQ(code("a,,,-20,plug,x,y,RULE\n"), "table.value");
  EXPECT_EQ(ToolingTable::built_in()->advise({0, 2, ""}).failure().code, "tooling.facts");
}

}  // namespace
}  // namespace bight::mechanics
