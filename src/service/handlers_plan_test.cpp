#include <cmath>

#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;
using test::rail;

class PlanTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
  }
};

TEST_F(PlanTest, PlansWithTheShopOfTheRecords) {
  const Reply reply = post("/plan", {{"part", rail()}});
  ASSERT_EQ(reply.status, 200) << reply.body;
  const Json answer = json(reply);
  EXPECT_EQ(answer["plan"]["bender"], "B1");
  EXPECT_EQ(answer["plan"]["steps"].size(), 2u);
  EXPECT_EQ(answer["tooling"][0]["used"], true);
  EXPECT_EQ(answer["tooling"][1]["fits"], false);
  EXPECT_NE(answer["tooling"][1]["why"], "");
  EXPECT_EQ(code(post("/plan", {{"part", rail()}, {"die", "X"}})), "plan.unknown-die");
  EXPECT_EQ(code(post("/plan", {{"part", rail()}, {"orders", 1}})), "key.unknown");
  EXPECT_EQ(post("/plan", {{"part", Json::object()}}).status, 422);
  const Json mirrored = json(post("/plan", {{"part", rail()}, {"mirror", true}}));
  EXPECT_EQ(mirrored["plan"]["part"]["bend_table"][1]["rotation_deg"], -90.0);
}

TEST_F(PlanTest, SheetsAsPdfAndPages) {
  const Reply pdf = post("/sheet?date=2026-03-01", {{"part", rail()}});
  ASSERT_EQ(pdf.status, 200) << pdf.body;
  EXPECT_TRUE(pdf.body.starts_with("%PDF-"));
  const int num_pages = std::stoi(header(pdf, "X-Bight-Pages"));
  const std::string page = "/sheet?format=svg&page=";
  EXPECT_EQ(post(page + std::to_string(num_pages), {{"part", rail()}}).status, 200);
  EXPECT_EQ(post(page + std::to_string(num_pages + 1), {{"part", rail()}}).status, 400);
  const Reply svg = post("/sheet?format=svg&paper=letter", {{"part", rail()}});
  EXPECT_EQ(svg.type, "image/svg+xml");
  EXPECT_NE(svg.body.find("<svg"), std::string::npos);
  EXPECT_EQ(post("/sheet?format=png&page=9", {{"part", rail()}}).status, 400);
  EXPECT_EQ(post("/sheet?format=doc", {{"part", rail()}}).status, 400);
}

TEST_F(PlanTest, PartsAsOtherFiles) {
  for (const char* to :
       {"part", "csv", "tsv", "json", "dxf", "step", "glb", "gltf", "stl", "svg"}) {
    const Reply reply = post(std::string("/convert?to=") + to, {{"part", rail()}});
    EXPECT_EQ(reply.status, 200) << to << reply.body;
    EXPECT_GT(reply.body.size(), 20u) << to;
  }
  EXPECT_EQ(post("/convert?to=dxf&what=strip", {{"part", rail()}}).status, 200);
  EXPECT_EQ(code(post("/convert?to=doc", {{"part", rail()}})), "convert.format");
  EXPECT_EQ(code(post("/convert?to=stl&what=bends", {{"part", rail()}})), "convert.what");
  EXPECT_EQ(post("/convert?to=stl&tolerance_mm=99", {{"part", rail()}}).status, 400);
}

TEST_F(PlanTest, SpringbackNarrowsWithTrials) {
  const Json first = json(post("/springback", {{"part", rail()}}));
  ASSERT_TRUE(first.contains("hits")) << first.dump();
  EXPECT_EQ(first["die"], "25R76");
  EXPECT_EQ(first["proven"], false);
  EXPECT_EQ(first["hits"].size(), 2u);
  ASSERT_FALSE(first["best_trial"].is_null());
  const Json trials = {{{"set", 24}, {"finished", 22.1}}, {{"set", "124°"}, {"finished", 119}}};
  const Json second = json(post("/springback", {{"part", rail()}, {"trials", trials}}));
  EXPECT_EQ(second["proven"], true);
  EXPECT_EQ(second["trials"].size(), 2u);
  const auto width = [](const Json& answer) {
    return answer["hits"][0]["set_high_deg"].get<double>() -
           answer["hits"][0]["set_low_deg"].get<double>();
  };
  EXPECT_LT(width(second), width(first) / 2);
  EXPECT_EQ(code(post("/springback", {{"part", rail()}, {"trials", {{{"set", 24}}}}})),
            "key.missing");
  EXPECT_EQ(code(post("/springback", {{"part", rail()}, {"die", "X"}})), "plan.unknown-die");
}

TEST_F(PlanTest, TrialsAreToldWithTheirRecords) {
  const Json tube = json(post("/part/check", {{"part", rail()}}))["part"]["tube"];
  const auto trial = [&](double set, double finished, const char* heat) -> Json {
    return {{"die", "25R76"},
            {"od", tube["height_mm"]},
            {"wall", tube["wall_mm"]},
            {"material", tube["material"]},
            {"set", set},
            {"finished", finished},
            {"heat", heat},
            {"date", "2026-03-02"},
            {"who", "MK"}};
  };
  put("trial", "t1", trial(24, 22.1, "S1"));
  put("trial", "t2", trial(124, 119, "S2"));
  const auto asked = [&] {
    const Json sent = {{{"set", 90}, {"finished", 86.5}}};
    return json(post("/springback", {{"part", rail()}, {"trials", sent}}))["trials"];
  };
  std::map<long, Json> known;
  for (const Json& one : asked()) known[std::lround(one["set_deg"].get<double>())] = one;
  ASSERT_EQ(known.size(), 3u);
  EXPECT_EQ(known[24]["id"], "t1");
  EXPECT_EQ(known[24]["heat"], "S1");
  EXPECT_EQ(known[24]["who"], "MK");
  EXPECT_EQ(known[124]["id"], "t2");
  EXPECT_EQ(known[90]["id"], nullptr);
  ask("POST", "/records/trial/t1/withdraw", "", {{"if-match", "\"r1\""}});
  const Json left = asked();
  ASSERT_EQ(left.size(), 2u);
  for (const Json& one : left) EXPECT_NE(one["id"], "t1");
}

}  // namespace
}  // namespace bight::service
