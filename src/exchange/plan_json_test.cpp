#include "exchange/plan_json.h"

#include <gtest/gtest.h>

#include "exchange/part_toml.h"
#include "exchange/shop_toml.h"
#include "planning/planner.h"

namespace bight::exchange {
namespace {

planning::Plan demo_plan(const std::string& part) {
  const std::string folder = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater";
  const PartFile file = *read_part_file(folder + "/parts/" + part + ".toml");
  return *planning::plan(file.part, *read_shop_folder(folder));
}

// The keys that scripts rely on are there, in millimetres and degrees.
TEST(PlanJson, HoldsWhatScriptsRelyOn) {
  const nlohmann::ordered_json json = plan_json(demo_plan("rack-upright"));
  for (const char* key : {"corners_mm", "bend_table", "last_straight_mm", "developed_length_mm"}) {
    EXPECT_TRUE(json["part"].contains(key)) << key;
  }
  for (const char* key :
       {"cut_length_mm", "cut_length_low_mm", "cut_length_high_mm", "grip_front_mm", "grip_back_mm",
        "trim_front_mm", "trim_back_mm", "proven"}) {
    EXPECT_TRUE(json["blank"].contains(key)) << key;
  }
  for (const char* key :
       {"bend", "mark_mm", "rotation_deg", "wheel_deg", "angle_deg", "set_angle_deg", "set_low_deg",
        "set_high_deg", "arc_mm", "radius_after_release_mm", "die"}) {
    EXPECT_TRUE(json["steps"][0].contains(key)) << key;
  }
  for (const char* key : {"a_deg", "b", "convention", "basis"}) {
    EXPECT_TRUE(json["springback"].contains(key)) << key;
  }
  for (const char* key : {"severity", "code", "bend", "message", "remedy", "source"}) {
    EXPECT_TRUE(json["findings"][0].contains(key)) << key;
  }
  EXPECT_DOUBLE_EQ(json["part"]["bend_table"][0]["angle_deg"].get<double>(), 90.0);
  EXPECT_EQ(json["springback"]["convention"], "of the set angle");
  EXPECT_TRUE(json["blank"]["proven"].get<bool>());
}

// A plan without a die is still a document: steps empty, blank and springback null.
TEST(PlanJson, PlanWithoutADie) {
  planning::Plan plan = demo_plan("rack-upright");
  const workshop::Shop empty{.name = "empty"};
  plan = *planning::plan(plan.part, empty);
  const nlohmann::ordered_json json = plan_json(plan);
  EXPECT_TRUE(json["blank"].is_null());
  EXPECT_TRUE(json["springback"].is_null());
  EXPECT_TRUE(json["steps"].empty());
  EXPECT_EQ(json["findings"][0]["severity"], "stop");
}

}  // namespace
}  // namespace bight::exchange
