#include "planning/sticks.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

SticksRequest job_of(double cut_mm, int pieces, int spare = 0) {
  SticksRequest r;
  r.cut_mm = cut_mm;
  r.pieces = pieces;
  r.spare = spare;
  r.kerf_mm = 3.0;
  r.stick_mm = 6000.0;
  r.proven = true;
  return r;
}

// Numbers worked by hand from pieces, kerf and stick (common practice, no source).
TEST(Sticks, CountsByHand) {
  const SticksPlan plan = plan_sticks(job_of(1530, 24, 2)).value();
  EXPECT_EQ(plan.needed, 26);
  EXPECT_EQ(plan.per_stick, 3);
  EXPECT_EQ(plan.to_buy, 9);  // 54 m
  EXPECT_NEAR(plan.rest_mm, 6000 - 3 * 1533, 1e-9);
  EXPECT_NEAR(plan.last_rest_mm, 6000 - 2 * 1533, 1e-9);
  EXPECT_TRUE(plan.findings.empty());
  EXPECT_EQ(plan_sticks(job_of(1185, 5)).value().per_stick, 5);  // 5 * 1185 + 4 * 3 = 5937
}

// Five of 1205 need 5 * 1205 + 4 * 3 = 6037: 37 too much, 7.4 a piece.
TEST(Sticks, SaysWhenALittleLessGivesOneMore) {
  SticksRequest r = job_of(1205, 10);
  r.allowance_mm = 20.0;
  const SticksPlan plan = plan_sticks(r).value();
  EXPECT_EQ(plan.per_stick, 4);
  ASSERT_TRUE(plan.over_mm);
  EXPECT_NEAR(*plan.over_mm, 7.4, 1e-9);
  ASSERT_EQ(plan.findings.size(), 1u);
  EXPECT_EQ(plan.findings[0].code, "sticks.almost");
  EXPECT_NE(plan.findings[0].remedy.find("trimmed"), std::string::npos);
  r.allowance_mm = 5.0;
  EXPECT_EQ(plan_sticks(r).value().findings[0].remedy.find("trimmed"), std::string::npos);
  r.cut_mm = 1400;  // 4 a stick; a fifth would need 202.4 mm less of each
  EXPECT_FALSE(plan_sticks(r).value().over_mm);
}

TEST(Sticks, ExactFitNeedsNoLastCut) {
  EXPECT_EQ(plan_sticks(job_of((6000.0 - 3 * 3.0) / 4, 4)).value().per_stick, 4);
}

TEST(Sticks, TakesTheLeastLengthFromTheRack) {
  SticksRequest r = job_of(1000, 3);
  r.rack = {{"A", "", 6000, 4}, {"A", "", 2100, 1}, {"A", "", 1200, 5}};
  const SticksPlan plan = plan_sticks(r).value();
  EXPECT_EQ(plan.to_buy, 0);
  EXPECT_EQ(plan.from_rack[0].taken, 0);
  EXPECT_EQ(plan.from_rack[1].taken, 1);
  EXPECT_EQ(plan.from_rack[1].pieces, 2);
  EXPECT_EQ(plan.from_rack[2].taken, 1);
  EXPECT_NEAR(plan.last_rest_mm, 197.0, 1e-9);
  EXPECT_TRUE(plan.findings.empty());
}

TEST(Sticks, BuysWhatTheRackLacksAndMindsTheHeats) {
  SticksRequest r = job_of(1530, 10);
  r.rack = {{"S118", "", 6000, 1}, {"S121", "", 3200, 1}, {"S121", "", 900, 7}};
  r.proven = false;
  const SticksPlan plan = plan_sticks(r).value();
  EXPECT_EQ(plan.from_rack[0].pieces, 3);
  EXPECT_EQ(plan.from_rack[1].pieces, 2);
  EXPECT_EQ(plan.from_rack[2].taken, 0);
  EXPECT_EQ(plan.to_buy, 2);
  ASSERT_EQ(plan.findings.size(), 2u);
  EXPECT_EQ(plan.findings[0].code, "sticks.unproven");
  EXPECT_EQ(plan.findings[1].code, "sticks.heats");
}

TEST(Sticks, OneHeatBeforeTheLeastLength) {
  SticksRequest r = job_of(1000, 7);
  r.rack = {{"S118", "", 6000, 3}, {"S121", "", 2100, 1}, {"S130", "", 7200, 1}};
  SticksPlan plan = plan_sticks(r).value();  // 6000 and 2100 together would be 8100 of two heats
  EXPECT_EQ(plan.from_rack[2].taken, 1);
  EXPECT_EQ(plan.from_rack[0].taken + plan.from_rack[1].taken, 0);
  EXPECT_TRUE(plan.findings.empty());
  r.heat = "S118";  // that of the trial bends
  plan = plan_sticks(r).value();
  EXPECT_EQ(plan.from_rack[0].taken, 2);
  EXPECT_TRUE(plan.findings.empty());
  r.heat = "S121";  // not enough of it: another, and a word about it
  plan = plan_sticks(r).value();
  EXPECT_EQ(plan.from_rack[2].taken, 1);
  EXPECT_EQ(plan.findings.at(0).code, "sticks.heats");
}

TEST(Sticks, APieceLongerThanTheStick) {
  EXPECT_EQ(plan_sticks(job_of(6001, 1)).value().findings.at(0).code, "sticks.short");
  SticksRequest r = job_of(6500, 2);
  r.rack = {{"", "", 7000, 2}};
  const SticksPlan plan = plan_sticks(r).value();
  EXPECT_EQ(plan.from_rack[0].pieces, 2);
  EXPECT_TRUE(plan.findings.empty());
  r.pieces = 3;  // the third can come from nowhere
  EXPECT_TRUE(part::any_stop(plan_sticks(r).value().findings));
}

// Every choice of sticks tried: none is shorter than the one taken.
TEST(Sticks, NoChoiceIsShorter) {
  std::mt19937 random(7);
  int compared = 0;
  for (int round = 0; round < 300; ++round) {
    SticksRequest r = job_of(400 + static_cast<double>(random() % 1500), 1 + int(random() % 12));
    for (int i = 0; i < 3; ++i) {
      r.rack.push_back({"", "", 500 + static_cast<double>(random() % 6000), int(random() % 4)});
    }
    const SticksPlan plan = plan_sticks(r).value();
    if (plan.to_buy > 0 || plan.missing > 0) continue;
    ++compared;
    double taken_mm = 0.0, least_mm = INFINITY;
    int given = 0;
    for (const StickUse& use : plan.from_rack) {
      taken_mm += use.taken * r.rack[use.rack].length_mm;
      given += use.pieces;
      EXPECT_LE(use.taken, r.rack[use.rack].sticks);
    }
    EXPECT_EQ(given, r.pieces);
    for (int a = 0; a <= r.rack[0].sticks; ++a) {
      for (int b = 0; b <= r.rack[1].sticks; ++b) {
        for (int c = 0; c <= r.rack[2].sticks; ++c) {
          const int n = a * plan.from_rack[0].per_stick + b * plan.from_rack[1].per_stick +
                        c * plan.from_rack[2].per_stick;
          if (n < r.pieces) continue;
          least_mm = std::min(least_mm, a * r.rack[0].length_mm + b * r.rack[1].length_mm +
                                            c * r.rack[2].length_mm);
        }
      }
    }
    EXPECT_NEAR(taken_mm, least_mm, 1e-6);
  }
  EXPECT_GT(compared, 100);
}

TEST(Sticks, OfAPlanAndWhatLiesInTheRack) {
  Plan plan = planning::plan(sample::u_part(), sample::shop(), {}).value();
  ASSERT_FALSE(plan.steps.empty());
  plan.blank.cut.likely_mm = 1530;
  plan.blank.trim_front_mm = 0;
  plan.blank.trim_back_mm = 5;
  plan.part.quantity = 24;
  const auto tube = [](const char* size, double od_mm, const std::string& metal) {
    workshop::StockTube t;
    t.size = size;
    t.section = stock::Section::round_tube(od_mm, 1.5).value();
    t.material = metal;
    t.length_mm = 6000;
    return t;
  };
  plan.part.section = *tube("25 x 1.5", 25.0, "").section;
  plan.part.material.name = "304L annealed";
  std::vector<workshop::StockTube> stock = {tube("30 x 1.5", 30.0, "304L annealed"),
                                            tube("25 x 1.5", 25.0, "316L annealed"),
                                            tube("25 x 1.5", 25.0, "304L annealed")};
  stock[2].pieces = 3;
  const SticksRequest r = sticks_request(plan, stock, {}).value();
  ASSERT_EQ(r.rack.size(), 1u);
  EXPECT_EQ(r.rack[0].stock, 2u);
  EXPECT_EQ(r.rack[0].sticks, 3);
  EXPECT_EQ(r.pieces, 24);
  EXPECT_EQ(r.allowance_mm, 5.0);
  stock[2].section = stock::Section::rect_tube(40, 20, 2, 4).value();
  plan.part.section = stock::Section::rect_tube(20, 40, 2, 4).value();
  EXPECT_EQ(sticks_request(plan, stock, {}).value().rack.size(), 1u);
  stock[2].length_mm.reset();
  EXPECT_TRUE(sticks_request(plan, stock, {}).value().rack.empty());
  plan.steps.clear();
  EXPECT_EQ(sticks_request(plan, stock, {}).failure().code, "sticks.number");
}

TEST(Sticks, RefusesNonsense) {
  for (const auto& spoil : std::vector<void (*)(SticksRequest&)>{
           [](SticksRequest& r) { r.cut_mm = 0; }, [](SticksRequest& r) { r.stick_mm = NAN; },
           [](SticksRequest& r) { r.kerf_mm = -1; }, [](SticksRequest& r) { r.pieces = 0; },
           [](SticksRequest& r) { r.spare = -1; }, [](SticksRequest& r) { r.pieces = 20'000; },
           [](SticksRequest& r) {
             r.rack = {{"", "", -5, 1}};
           }}) {
    SticksRequest r = job_of(1000, 1);
    spoil(r);
    EXPECT_EQ(plan_sticks(r).failure().code, "sticks.number");
  }
}

}  // namespace
}  // namespace bight::planning
