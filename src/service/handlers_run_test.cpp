#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class RunTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
    started_ = json(post("/run/start", {{"part", test::rail()}, {"pieces", 12}, {"heat", "H7"}}));
  }
  static Json measured(int piece, double angle_deg) {
    return {{"key", "m-" + std::to_string(piece)},
            {"at", "2026-11-28T22:01:07.000Z"},
            {"do", "measure"},
            {"piece", piece},
            {"step", 1},
            {"angle", angle_deg}};
  }
  // A run whose first bend drifts upwards by a tenth of a degree each piece.
  Json drifting() const {
    Json run = started_["run"];
    run["events"] = Json::array();
    for (int piece = 1; piece <= 8; ++piece) {
      run["events"].push_back(measured(piece, 89.8 + 0.1 * piece));
    }
    return run;
  }
  Json started_;
};

TEST_F(RunTest, StartsFromThePlan) {
  const Json plan = json(post("/plan", {{"part", test::rail()}}))["plan"];
  const Json& steps = started_["run"]["steps"];
  ASSERT_EQ(steps.size(), plan["steps"].size());
  for (std::size_t i = 0; i < steps.size(); ++i) {
    EXPECT_NEAR(steps[i]["set"].get<double>(), plan["steps"][i]["set_angle_deg"].get<double>(),
                1e-9);
  }
  EXPECT_EQ(started_["state"]["next"]["piece"], 1);
  EXPECT_EQ(started_["run"]["heat"], "H7");
  EXPECT_EQ(code(post("/run/start", {{"part", test::rail()}, {"pieces", 0}})), "run.pieces");
  EXPECT_EQ(code(post("/run/start", {{"part", test::rail()}, {"count", 3}})), "key.unknown");
}

// Events are taken once however often they are sent; a run kept as a record is found by its id.
TEST_F(RunTest, EventsAreTakenOnce) {
  put("run", "lot", started_["run"]);
  const Json events = Json::array({{{"key", "a-1"},
                                    {"at", "2026-11-28T22:01:07.000Z"},
                                    {"do", "done"},
                                    {"piece", 1},
                                    {"step", 1}}});
  const Json first = json(post("/run/status", {{"run_id", "lot"}, {"events", events}}));
  EXPECT_EQ(first["state"]["next"]["step"], 2) << first.dump();
  EXPECT_EQ(first["merge"]["added"], 1);
  const Json again = json(post("/run/status", {{"run", first["run"]}, {"events", events}}));
  EXPECT_EQ(again["run"], first["run"]);
  EXPECT_EQ(again["merge"]["known"], 1);
  EXPECT_EQ(code(post("/run/status", Json::object())), "request.run");
  EXPECT_EQ(code(post("/run/status", {{"run", 3}})), "request.run");
  EXPECT_EQ(code(post("/run/status", {{"run_id", "no"}})), "record.none");
  EXPECT_EQ(code(post("/run/status", {{"run", first["run"]}, {"more", 1}})), "key.unknown");
}

TEST_F(RunTest, ChartsSeeTheDrift) {
  const Json watch = json(post("/run/chart", {{"run", drifting()}, {"tolerance_deg", 2.0}}));
  ASSERT_TRUE(watch.contains("readings")) << watch.dump();
  EXPECT_EQ(watch["readings"].size(), 8u);
  // By hand: eight readings from -0.1 to +0.6 in steps of 0.1.
  EXPECT_NEAR(watch["trend"]["per_piece"].get<double>(), 0.1, 1e-6);
  EXPECT_NEAR(watch["capability"]["mean"].get<double>(), 0.25, 1e-6);
  EXPECT_EQ(watch["chart"]["smoothed"].size(), 8u);
  EXPECT_NE(watch["advice"]["call"], "go-on");
  const Reply pdf = post("/run/chart?format=pdf", {{"run", drifting()}});
  EXPECT_EQ(pdf.type, "application/pdf");
  EXPECT_EQ(pdf.body.substr(0, 5), "%PDF-");
  const Reply svg = post("/run/chart?format=svg&date=today", {{"run", drifting()}});
  EXPECT_NE(svg.body.find("<svg"), std::string::npos);
  EXPECT_EQ(code(post("/run/chart", {{"run", drifting()}, {"step", 9}})), "run.step");
  EXPECT_EQ(code(post("/run/chart", {{"run", drifting()}, {"step", -1}})), "run.step");
  EXPECT_EQ(code(post("/run/chart", {{"run", drifting()}, {"weight", 3}})), "key.value");
  EXPECT_EQ(code(post("/run/chart?format=png", {{"run", drifting()}})), "request.query");
}

// Two people, two pieces, two readings each, worked out by hand.
TEST_F(RunTest, GaugeStudy) {
  Json readings = Json::array();
  const auto read = [&](const char* person, const char* piece, double angle_deg) {
    readings.push_back({{"person", person}, {"piece", piece}, {"angle", angle_deg}});
  };
  read("KB", "1", 90.0), read("KB", "1", 90.2), read("KB", "2", 91.0), read("KB", "2", 91.2);
  read("MT", "1", 90.1), read("MT", "1", 90.3), read("MT", "2", 91.1), read("MT", "2", 91.3);
  const Json study = json(post("/run/gauge", {{"readings", readings}, {"tolerance_deg", 0.5}}));
  ASSERT_TRUE(study.contains("offs")) << study.dump();
  EXPECT_NEAR(study["offs"][0]["off"].get<double>(), -0.05, 1e-9);
  // Within a cell two readings 0.2 apart: 4 cells of 0.02 squares, 4 degrees of freedom.
  EXPECT_NEAR(study["variance"]["repeat"]["squares"].get<double>(), 0.08, 1e-9);
  EXPECT_EQ(code(post("/run/gauge", {{"readings", Json::array()}})), "gauge.few");
  EXPECT_EQ(code(post("/run/gauge", {{"readings", readings}, {"tolerance", 1}})), "key.unknown");
}

}  // namespace
}  // namespace bight::service
