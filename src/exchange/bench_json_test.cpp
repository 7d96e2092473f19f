#include "exchange/bench_json.h"

#include <gtest/gtest.h>

#include "exchange/part_toml.h"
#include "exchange/shop_toml.h"
#include "planning/planner.h"

namespace bight::exchange {
namespace {

using base::Angle;

planning::Plan demo_plan(const std::string& part) {
  const std::string folder = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater";
  const PartFile file = *read_part_file(folder + "/parts/" + part + ".toml");
  return *planning::plan(file.part, *read_shop_folder(folder));
}

inspection::Measured piece() {
  inspection::Measured measured;
  measured.name = "first";
  measured.bends.resize(2);
  measured.bends[0].angle = Angle::degrees(88.6);
  measured.bends[0].set = Angle::degrees(93.0);
  measured.bends[1].angle = Angle::degrees(90.0);
  return measured;
}

// Old and new side by side, with the state of every entry.
TEST(BenchJson, Correction) {
  const planning::Plan plan = demo_plan("rack-upright");
  const auto found = planning::correct_piece(plan, piece());
  ASSERT_TRUE(found.ok()) << found.failure().text();
  const nlohmann::ordered_json json = correction_json(plan, *found, piece());
  EXPECT_EQ(json["piece"], "first");
  EXPECT_DOUBLE_EQ(json["last"]["rows"][0]["set_angle_deg"].get<double>(), 93.0);
  EXPECT_NEAR(json["next"]["rows"][0]["set_angle_deg"].get<double>(), 94.5, 0.05);
  const auto& change = json["changes"][1];
  EXPECT_EQ(change["what"], "set angle 1");
  EXPECT_EQ(change["state"], "corrected");
  EXPECT_EQ(json["changes"][0]["state"], "not-read");
  EXPECT_TRUE(json["changes"][0]["measured"].is_null());
  EXPECT_TRUE(json["points_rms_mm"].is_null());
  EXPECT_EQ(json["marks"].size(), 2u);
}

// Every way of laying over with its points; what was not agreed is null and not judged.
TEST(BenchJson, Inspection) {
  const planning::Plan plan = demo_plan("rack-upright");
  inspection::Measured measured = inspection::from_table(plan.bent_table);
  measured.bends[0].angle = *measured.bends[0].angle + Angle::degrees(0.6);
  inspection::Agreement agreement;
  agreement.angle = Angle::degrees(0.5);
  agreement.align = inspection::AlignBy::kBestFit;
  const auto found = inspection::inspect(plan.part, plan.bent_table, measured, agreement);
  ASSERT_TRUE(found.ok()) << found.failure().text();
  const nlohmann::ordered_json json = inspection_json(plan.part, *found, agreement, measured);
  EXPECT_EQ(json["verdict"], "outside");
  EXPECT_EQ(json["laid"][0]["align"], "fit");
  EXPECT_EQ(json["laid"].size(), 4u);
  EXPECT_EQ(json["laid"][0]["points"].size(), 4u);
  EXPECT_TRUE(json["agreed"]["corner_mm"].is_null());
  EXPECT_EQ(json["readings"][1]["verdict"], "outside");
  EXPECT_NEAR(json["readings"][1]["off"].get<double>(), 0.6, 1e-9);
  EXPECT_EQ(json["findings"][0]["code"], "inspect.outside");
}

}  // namespace
}  // namespace bight::exchange
