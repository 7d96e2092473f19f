#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;
using test::rail;

class PartsTest : public test::ServiceTest {};

TEST_F(PartsTest, ChecksDocumentsAndRecords) {
  put("part", "a", rail());
  EXPECT_EQ(json(post("/part/check", {{"part_id", "a"}}))["part"]["name"], "Rail");
  EXPECT_EQ(json(post("/part/check", {{"part", rail()}}))["errors"].size(), 0u);
  EXPECT_EQ(code(post("/part/check", {{"part", rail()}, {"part_id", "a"}})), "request.part");
  EXPECT_EQ(code(post("/part/check", Json::object())), "request.part");
  EXPECT_EQ(code(post("/part/check", {{"part", 3}})), "request.part");
  EXPECT_EQ(code(post("/part/check", {{"part", rail()}, {"units", "ell"}})), "request.units");
  EXPECT_EQ(code(post("/part/check", {{"part_id", "b"}})), "record.none");
  EXPECT_EQ(json(post("/part/check", {{"part", Json::object()}}))["errors"].size(), 3u);
}

TEST_F(PartsTest, RewritesAndSaysWhyNot) {
  const Json corners = json(post("/part/rewrite", {{"part", rail()}, {"as", "corners"}}));
  EXPECT_EQ(corners["part"]["line"]["corners"].size(), 4u);
  Json bad = rail();
  bad["line"]["bends"][0].erase("angle");
  const Reply refused = post("/part/rewrite", {{"part", bad}, {"as", "corners"}});
  EXPECT_EQ(refused.status, 422);
  EXPECT_EQ(json(refused)["errors"][0]["where"], "line.bends[0].angle");
  EXPECT_EQ(code(post("/part/rewrite", {{"part", rail()}})), "key.missing");
}

TEST_F(PartsTest, ShapesBeforeATubeIsChosen) {
  const Json u = json(
      post("/shapes", {{"line", {{"shape", "u"}, {"width", 400}, {"leg", 300}, {"radius", 75}}}}));
  EXPECT_EQ(u["errors"].size(), 0u);
  EXPECT_EQ(u["table"]["bend_table"].size(), 2u);
  EXPECT_EQ(u["line"]["radius"], 75);
  const Json outside = json(post("/shapes", {{"line",
                                              {{"shape", "u"},
                                               {"width", 400},
                                               {"leg", 300},
                                               {"radius", 75},
                                               {"dimensions_to", "outside"}}},
                                             {"size", "25 x 1.5"}}));
  EXPECT_EQ(outside["table"]["bend_table"][1]["straight_mm"], 400.0 - 25.0 - 150.0);
  const Json bad = json(post("/shapes", {{"line", {{"shape", "u"}, {"width", "wide"}}}}));
  EXPECT_TRUE(bad["line"].is_null());
  EXPECT_EQ(bad["errors"][0]["where"], "line.width");
  const Json size = json(post(
      "/shapes",
      {{"line", {{"shape", "u"}, {"width", 400}, {"leg", 300}, {"radius", 75}}}, {"size", "?"}}));
  EXPECT_EQ(size["errors"].size(), 1u);
}

}  // namespace
}  // namespace bight::service
