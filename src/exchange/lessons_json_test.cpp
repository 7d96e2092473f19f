#include "exchange/lessons_json.h"

#include <gtest/gtest.h>

#include "exchange/part_toml.h"
#include "exchange/shop_toml.h"
#include "planning/planner.h"

namespace bight::exchange {
namespace {

using base::Angle;

struct Demo {
  workshop::Shop shop;
  planning::Plan plan;
};

Demo demo(const std::string& part) {
  const std::string folder = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater";
  const PartFile file = *read_part_file(folder + "/parts/" + part + ".toml");
  const workshop::Shop shop = *read_shop_folder(folder);
  return {shop, *planning::plan(file.part, shop)};
}

// The usual angles and the part's own, in order, each once.
TEST(LessonsJson, BandAngles) {
  const auto angles = band_angles({Angle::degrees(90.0002), Angle::degrees(22.5)});
  ASSERT_EQ(angles.size(), 8u);
  EXPECT_DOUBLE_EQ(angles.front().deg(), 15.0);
  EXPECT_DOUBLE_EQ(angles[1].deg(), 22.5);
}

// Story 2's trials stand in the demo shop: 20 gives 18.2, 120 gives 114.4 (a = 1.04, b = 0.038;
// 90 takes 94.64). What they taught, with band, stretch and the trials themselves.
TEST(LessonsJson, Dies) {
  const Demo d = demo("rack-upright");
  const auto json = lessons_json(d.plan, *planning::lessons_of(d.plan, d.shop));
  const auto& die = json["dies"][0];
  EXPECT_EQ(die["die"], "38R114");
  EXPECT_EQ(die["bends"], (std::vector<int>{1, 2}));
  EXPECT_NEAR(die["springback"]["b"].get<double>(), 0.038, 0.004);
  EXPECT_EQ(die["springback"]["convention"], "of the set angle");
  for (const auto& row : die["band"]) {
    EXPECT_LE(row["low_deg"].get<double>(), row["set_deg"].get<double>());
    EXPECT_GE(row["high_deg"].get<double>(), row["set_deg"].get<double>());
    if (row["finished_deg"] != 90.0) continue;
    EXPECT_NEAR(row["set_deg"].get<double>(), 94.64, 0.1);
  }
  EXPECT_EQ(die["stretch"]["trials"], 1);
  EXPECT_FALSE(die["mark_offset_mm"].is_null());
  EXPECT_EQ(die["trials"].size(), 3u);
  EXPECT_LE(die["next_trial"]["half_band_after_deg"].get<double>(),
            die["next_trial"]["half_band_now_deg"].get<double>());
}

// What nobody knows is null, not left out.
TEST(LessonsJson, NotKnown) {
  const Demo d = demo("pulpit-rail");
  const auto json = lessons_json(d.plan, *planning::lessons_of(d.plan, d.shop));
  EXPECT_TRUE(json["dies"][0]["stretch"].is_null());
  EXPECT_EQ(json["dies"][0]["findings"][0]["code"], "springback.one-angle");
}

TEST(LessonsJson, Hit) {
  const Demo d = demo("rack-upright");
  const auto lessons = *planning::lessons_of(d.plan, d.shop);
  const learning::HitOptions options;
  const auto& model = planning::lessons_for(lessons, 2).known.model();
  const Angle wanted = d.plan.bent_table.rows()[1].angle;
  const auto json = hit_json(d.plan, 2, learning::first_hit(model, wanted, options),
                             learning::forecast_hits(model, wanted, options), options);
  EXPECT_EQ(json["bend"], 2);
  EXPECT_DOUBLE_EQ(json["wanted_deg"].get<double>(), 90.0);
  EXPECT_LE(json["overbend_chance"].get<double>(), 0.0501);
  EXPECT_GT(json["forecast"]["good_chance"].get<double>(), 0.9);
}

}  // namespace
}  // namespace bight::exchange
