#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class LearnTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
  }
  static Json about(const Json& more) {
    Json body = {{"part", test::rail()}};
    if (more.is_object()) body.update(more);
    return body;
  }
  Json answer(const Json& more) {
    const Reply reply = post("/learn", about(more));
    EXPECT_EQ(reply.status, 200) << reply.body;
    return json(reply);
  }
};

Json tenth_lost() {
  Json trials = Json::array();
  for (const int set_deg : {40, 95, 100}) {
    trials.push_back({{"set", set_deg}, {"finished", set_deg * 0.90}});
  }
  return trials;
}

// Trials sent with the request say what trials kept as records say, and the records move the plan.
TEST_F(LearnTest, TrialsSentAndKeptTeachTheSame) {
  const Json before = answer({});
  const Json& fresh = before["lessons"]["dies"][0];
  EXPECT_FALSE(fresh["next_trial"].is_null());
  EXPECT_EQ(before["hits"].size(), 2u);
  const Json sent = answer({{"trials", tenth_lost()}});
  const Json& die = sent["lessons"]["dies"][0];
  EXPECT_EQ(die["trials"].size(), 3u);
  EXPECT_TRUE(die["springback"]["proven"]);
  EXPECT_NE(die["springback"]["basis"], fresh["springback"]["basis"]);
  EXPECT_LT(die["next_trial"]["half_band_now_deg"].get<double>(),
            fresh["next_trial"]["half_band_now_deg"].get<double>());
  for (const Json& trial : tenth_lost()) {
    Json document = {{"die", "25R76"}, {"od", 25}, {"wall", 1.5}, {"material", "304L annealed"}};
    document.update(trial);
    put("trial", "t" + trial["set"].dump(), document);
  }
  EXPECT_EQ(answer({})["lessons"], sent["lessons"]);
  // A tenth is lost: for 90 it takes 100.
  const Json plan = json(post("/plan", about({})))["plan"];
  EXPECT_NEAR(plan["steps"][0]["set_angle_deg"].get<double>(), 100.0, 0.3);
  EXPECT_EQ(plan["springbacks"][0]["basis"], die["springback"]["basis"]);
}

// The first hit stays short of the target, the next tops up, and what is there is not hit again.
TEST_F(LearnTest, Hits) {
  const Json first = answer({})["hits"][0];
  const double set_deg = first["set_deg"];
  EXPECT_LE(first["overbend_chance"].get<double>(), 0.0501);
  EXPECT_LE(first["forecast"]["scrap_chance"].get<double>(),
            first["forecast"]["plain_scrap_chance"].get<double>());
  const auto after = [&](double read_deg) {
    const Json hit = {{"bend", 1}, {"set", set_deg}, {"finished", read_deg}};
    return answer({{"hits", Json::array({hit})}})["hits"];
  };
  EXPECT_GT(after(86.0)[0]["set_deg"].get<double>(), set_deg);
  EXPECT_EQ(after(86.0)[0]["enough"], false);
  EXPECT_EQ(after(89.9)[0]["enough"], true);
  EXPECT_EQ(after(86.0)[1]["set_deg"], answer({})["hits"][1]["set_deg"]);
}

TEST_F(LearnTest, SaysWhatCannotBe) {
  const auto refused = [&](const Json& more) { return code(post("/learn", about(more))); };
  const auto hit = [](int bend, double set_deg, double read_deg) {
    return Json{
        {"hits", Json::array({{{"bend", bend}, {"set", set_deg}, {"finished", read_deg}}})}};
  };
  EXPECT_EQ(refused(hit(3, 92, 86)), "learn.hit");
  EXPECT_EQ(refused(hit(0, 92, 86)), "learn.hit");
  EXPECT_EQ(refused(hit(1, 80, 86)), "learn.hit");
  EXPECT_EQ(refused({{"chance", 2}}), "key.value");
  EXPECT_EQ(refused({{"tolerance_deg", 0}}), "key.value");
  EXPECT_EQ(refused({{"trials", Json::array({{{"set", 90}}})}}), "key.missing");
  EXPECT_EQ(refused({{"trials", Json::array({{{"set", 92}, {"finished", 90}, {"die", "no"}}})}}),
            "learn.die");
  EXPECT_EQ(refused({{"more", 1}}), "key.unknown");
  Json thick = test::rail();
  thick["tube"]["size"] = "60 x 2";
  EXPECT_EQ(code(post("/learn", {{"part", thick}})), "learn.plan");
}

}  // namespace
}  // namespace bight::service
