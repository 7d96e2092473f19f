#include "exchange/clear_json.h"

#include <gtest/gtest.h>

#include "exchange/part_toml.h"
#include "exchange/shop_toml.h"
#include "planning/planner.h"

namespace bight::exchange {
namespace {

using nlohmann::ordered_json;

struct Compared {
  planning::Plan plan;
  planning::Clearing clearing;
  std::vector<planning::StepAnswer> answers;
};

Compared demo(const std::string& part, planning::End from = planning::End::kA) {
  const std::string folder = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater";
  const PartFile file = *read_part_file(folder + "/parts/" + part + ".toml");
  planning::PlanOptions options;
  options.from = from;
  options.order.kind = planning::OrderWish::Kind::kDrawn;
  planning::Plan plan = *planning::plan(file.part, *read_shop_folder(folder), options);
  planning::Clearing clearing = *planning::clearing(plan);
  std::vector<planning::StepAnswer> answers = *planning::clear_steps(clearing);
  return {std::move(plan), std::move(clearing), std::move(answers)};
}

// The demo shop has parts that fail in drawing order: a leg into the floor, a leg into the column.
TEST(ClearJson, DemoPartsThatHit) {
  const auto hit = [](const Compared& c, std::size_t step) {
    const ordered_json json = clear_json(c.plan, c.clearing, c.answers);
    EXPECT_EQ(json["stops"], json["steps"][step]["hit"]);
    return json["steps"][step]["hit"] == true
               ? json["steps"][step]["nearest"]["body"].get<std::string>()
               : "";
  };
  EXPECT_EQ(hit(demo("gate-brace"), 1), "floor");
  EXPECT_EQ(hit(demo("gate-brace", planning::End::kB), 1), "");
  EXPECT_EQ(hit(demo("davit-arm"), 1), "column");
  EXPECT_EQ(hit(demo("rack-upright"), 1), "");
}

// Straights and arcs follow each other without a gap, and every moment places every body.
TEST(ClearJson, FilmIsOneTubeAtEveryMoment) {
  const Compared c = demo("pulpit-rail");
  const ordered_json film = *film_json(c.clearing, c.answers);
  EXPECT_EQ(film["bodies"].size(), c.clearing.bender.around.bodies.size());
  EXPECT_EQ(film["room"]["floor_mm"], 1000);
  EXPECT_EQ(film["room"]["walls"][0]["direction_deg"], 90);
  EXPECT_EQ(film["tube"]["od_mm"], 25);
  ASSERT_EQ(film["steps"].size(), 4u);
  const auto point = [](const ordered_json& json) {
    return geometry::Vec3(json[0].get<double>(), json[1].get<double>(), json[2].get<double>());
  };
  const auto ends = [&](const ordered_json& piece) {
    if (piece.contains("straight")) {
      return std::pair(point(piece["straight"]["a"]), point(piece["straight"]["b"]));
    }
    const ordered_json& arc = piece["arc"];
    const geometry::Vec3 centre_mm = point(arc["centre"]);
    const geometry::Vec3 start_mm = point(arc["start"]);
    const Eigen::AngleAxisd turn(base::Angle::degrees(arc["angle_deg"].get<double>()).rad(),
                                 point(arc["normal"]));
    return std::pair(start_mm, geometry::Vec3(centre_mm + turn * (start_mm - centre_mm)));
  };
  for (const ordered_json& step : film["steps"]) {
    for (const ordered_json& moment : step["moments"]) {
      EXPECT_EQ(moment["bodies"].size(), film["bodies"].size());
      EXPECT_EQ(moment["die"].size(), 16u);
      std::optional<geometry::Vec3> last_mm;
      for (const ordered_json& piece : moment["tube"]) {
        const auto [from_mm, to_mm] = ends(piece);
        if (last_mm) {
          // The arc of a release is drawn evenly between its two shapes and may miss the front a
          // little, as the film itself does (movement_test.cpp).
          EXPECT_LT((from_mm - *last_mm).norm(), moment["stage"] == "release" ? 0.6 : 0.01);
        }
        last_mm = to_mm;
      }
    }
  }
}

}  // namespace
}  // namespace bight::exchange
