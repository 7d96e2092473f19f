#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;
using test::rail;

class MeasuredTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
    plan_ = json(post("/plan", {{"part", rail()}}))["plan"];
  }
  // A piece that came out as drawn but for its second bend.
  Json piece(double second_off_deg) const {
    Json bends = Json::array();
    for (std::size_t i = 0; i < plan_["part"]["bend_table"].size(); ++i) {
      const double angle_deg = plan_["part"]["bend_table"][i]["angle_deg"];
      bends.push_back({{"angle", angle_deg + (i == 1 ? second_off_deg : 0.0)}});
    }
    return {{"schema", 1}, {"bends", bends}, {"agreed", {{"angle", 0.5}}}};
  }
  Json plan_;
};

TEST_F(MeasuredTest, CorrectsTheBendThatIsOff) {
  const Reply reply = post("/correct", {{"part", rail()}, {"measured", piece(-1.0)}});
  ASSERT_EQ(reply.status, 200) << reply.body;
  const Json answer = json(reply);
  bool seen = false;
  for (const Json& change : answer["changes"]) {
    if (change["what"] != "set angle 2") continue;
    seen = true;
    // new = last + (wanted - measured) / (1 - b), by hand.
    const double b = plan_["springbacks"][0]["b"];
    EXPECT_NEAR(change["new"].get<double>() - change["old"].get<double>(), 1.0 / (1.0 - b), 0.01);
  }
  EXPECT_TRUE(seen);
}

TEST_F(MeasuredTest, JudgesByWhatWasAgreed) {
  const Json bad = json(post("/inspect", {{"part", rail()}, {"measured", piece(-1.0)}}));
  EXPECT_EQ(bad["verdict"], "outside") << bad.dump();
  const Json good = json(post("/inspect", {{"part", rail()}, {"measured", piece(0.0)}}));
  EXPECT_EQ(good["verdict"], "within") << good.dump();
}

TEST_F(MeasuredTest, ReportOnPaper) {
  const Json body = {{"part", rail()}, {"measured", piece(-1.0)}, {"units", "in"}};
  for (const char* paper : {"a4", "letter"}) {
    const Reply report = post(std::string("/inspect?format=pdf&date=today&paper=") + paper, body);
    EXPECT_EQ(report.type, "application/pdf") << report.body;
    EXPECT_EQ(report.body.substr(0, 5), "%PDF-");
  }
  EXPECT_EQ(code(post("/inspect?format=png", body)), "request.query");
  EXPECT_EQ(code(post("/inspect?paper=a9&format=pdf", body)), "request.query");
  EXPECT_EQ(code(post("/correct?format=pdf", body)), "request.query");
}

TEST_F(MeasuredTest, SaysWhatCannotBeRead) {
  EXPECT_EQ(code(post("/correct", {{"part", rail()}})), "key.missing");
  EXPECT_EQ(code(post("/inspect", {{"part", rail()}, {"measured", {{"bend", 1}}}})), "key.unknown");
  EXPECT_EQ(post("/inspect", {{"part", rail()}, {"measured", piece(0)}, {"order", 1}}).status, 422);
}

}  // namespace
}  // namespace bight::service
