#include "service/plan_remedies.h"

#include <map>

#include "service/plan_answer_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class PlanRemediesTest : public test::PlanAnswerTest {};

TEST_F(PlanRemediesTest, AShortStraightIsLengthenedInTheDrawing) {
  furnish();
  Json part = test::rail();
  part["line"]["bends"][1]["straight"] = 40;
  const Json all = answer(part);
  const Json* lengthen = nullptr;
  for (const Json& remedy : all["remedies"]) {
    if (remedy["title"].get<std::string>().starts_with("lengthen straight 2")) lengthen = &remedy;
  }
  ASSERT_NE(lengthen, nullptr) << all["remedies"].dump() << all["plan"]["findings"].dump();
  const Json mended = answer((*lengthen)["part"]);
  for (const Json& finding : mended["plan"]["findings"]) {
    EXPECT_NE(finding["code"], "plan.straight-below-clamp") << finding.dump();
  }
  // What was typed as corners stays corners.
  Json corners = part;
  corners["line"] =
      Json::parse(R"({"corners": [[0,0,0],[276,0,0],[276,192,0],[276,192,300]], "radius": 76})");
  const Json of_corners = answer(corners);
  for (const Json& remedy : of_corners["remedies"]) {
    if (!remedy.contains("part")) continue;
    EXPECT_TRUE(remedy["part"]["line"].contains("corners"));
  }
}

TEST_F(PlanRemediesTest, ARadiusNoDieGivesIsDrawnAsADieDoes) {
  furnish();
  Json part = test::rail();
  part["line"]["radius"] = 100;
  const Json all = answer(part);
  const Json* draw = nullptr;
  for (const Json& remedy : all["remedies"]) {
    if (remedy["title"].get<std::string>().find("25R76") != std::string::npos) draw = &remedy;
  }
  ASSERT_NE(draw, nullptr) << all["plan"]["findings"].dump();
  const Json mended = answer((*draw)["part"]);
  EXPECT_EQ(mended["plan"]["steps"].size(), 2u) << mended["plan"]["findings"].dump();
}

// What was asked for by name is given up only where that mends, and another bender is named only
// where the part can be made on it.
TEST_F(PlanRemediesTest, BenderAndDieAskedForByNameAreReplaced) {
  furnish();
  put("bender", "b2", {{"name", "B2"}, {"size_max", 20}, {"die_radius_max", 200}});
  const Json part = test::rail();
  PlanWish named = wish(part);
  named.die_named = true;
  named.options.wish.bender = "B2";
  const auto wishes = [&] {
    std::map<std::string, Json> out;
    const Json all = answer(part, named);
    for (const Json& remedy : all["remedies"]) {
      if (remedy.contains("wish")) out[remedy["title"]] = remedy["wish"];
    }
    return out;
  };
  std::map<std::string, Json> found = wishes();
  EXPECT_EQ(found["use bender B1"], (Json{{"bender", "B1"}}));
  EXPECT_EQ(found["let bender and die set be chosen"], (Json{{"die", ""}, {"bender", ""}}));
  named.options.wish = {"B1", "38R114"};
  found = wishes();
  EXPECT_EQ(found.size(), 1u);
  EXPECT_TRUE(found.contains("let bender and die set be chosen"));
}

}  // namespace
}  // namespace bight::service
