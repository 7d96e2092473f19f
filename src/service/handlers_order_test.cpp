#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

// 1400 mm of leg over a floor 1050 below the groove: it hits in drawing order (the floor swing of
// the trade; its figures are checked in the room of the search).
Json leg() {
  return Json::parse(R"({"schema": 1, "name": "Leg", "units": "mm",
    "tube": {"size": "38.1 x 1.65", "material": "304L annealed"},
    "line": {"bends": [{"straight": 1330, "rotation": 0, "angle": 60},
                       {"straight": 300, "rotation": -90, "angle": 30}],
             "last": 300, "radius": 118}})");
}

class OrderTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
    put("bender", "b2",
        {{"name", "Over the floor"},
         {"kind", "hand-placed"},
         {"direction", "counter-clockwise"},
         {"size_max", 60},
         {"die_radius_max", 200},
         {"room", {{"floor", 1050}}}});
  }
  Json wanted(const Json& order = nullptr) {
    Json body = {{"part", leg()}, {"bender", "Over the floor"}};
    if (!order.is_null()) body["order"] = order;
    return body;
  }
};

TEST_F(OrderTest, RankedWithReasons) {
  const Reply reply = post("/order", wanted());
  ASSERT_EQ(reply.status, 200) << reply.body;
  const Json answer = json(reply);
  ASSERT_GE(answer["orders"].size(), 2u) << answer.dump(1);
  const Json& best = answer["orders"][0];
  EXPECT_EQ(best["taken"], true);
  EXPECT_EQ(best["works"], true);
  EXPECT_EQ(best["stops"], 0);
  bool drawn = false;
  for (const Json& order : answer["orders"]) {
    EXPECT_FALSE(order["reasons"].empty());
    if (!order["drawn"].get<bool>()) continue;
    drawn = true;
    EXPECT_EQ(order["text"], "1A,2A");
    EXPECT_EQ(order["works"], false);
    EXPECT_NE(order["words"].get<std::string>().find("hits the floor"), std::string::npos);
  }
  EXPECT_TRUE(drawn);
  EXPECT_EQ(answer["findings"][0]["code"], "order.changed");
}

// What is dragged into place is planned as it is, and looked at again.
TEST_F(OrderTest, PlansTheOrderAskedFor) {
  const Json dragged = {{{"bend", 2}, {"front", "A"}}, {{"bend", 1}, {"front", "B"}}};
  const Reply reply = post("/plan", wanted(dragged));
  ASSERT_EQ(reply.status, 200) << reply.body;
  const Json plan = json(reply)["plan"];
  EXPECT_EQ(plan["order"]["text"], "2A,1B");
  EXPECT_EQ(plan["order"]["flips"], 1);
  EXPECT_EQ(plan["steps"][0]["bend"], 2);
  EXPECT_EQ(plan["steps"][1]["front"], "B");
  EXPECT_FALSE(plan["steps"][1]["clearance_mm"].is_null());
  // The short form means the same, and an end may be left open.
  EXPECT_EQ(json(post("/plan", wanted("2A,1B")))["plan"], plan);
  EXPECT_EQ(json(post("/plan",
                      wanted(Json::array(
                          {{{"bend", 2}}, {{"bend", 1}}}))))["plan"]["order"]["bends"][0]["bend"],
            2);
  const Json kept = json(post("/plan", wanted("keep")))["plan"];
  EXPECT_EQ(kept["order"]["text"], "1A,2A");
  EXPECT_EQ(kept["order"]["works"], false);
  EXPECT_EQ(json(post("/plan", wanted()))["plan"]["order"]["works"], true);
}

// Formula and inputs give the number in any order (a second computation from the printed inputs).
TEST_F(OrderTest, ArithmeticHoldsInAnyOrder) {
  const Json answer = json(post("/plan", wanted("2A,1B")));
  std::size_t marks = 0, straights = 0;
  for (const Json& sum : answer["arithmetic"]) {
    const std::string at = sum["key"].get<std::string>();
    double value = 0.0;
    if (at.ends_with("].mark_mm") || (at.ends_with("].straight_mm") && sum["formula"] == "s + l")) {
      for (const Json& input : sum["inputs"]) value += input["value"].get<double>();
      EXPECT_NEAR(sum["value"].get<double>(), value, 1e-6) << at;
      ++(at.ends_with("].mark_mm") ? marks : straights);
    }
  }
  EXPECT_EQ(marks, 2u);
  EXPECT_EQ(straights, 1u);  // end A ahead of bend 2 with bend 1 not made yet
}

TEST_F(OrderTest, WhatIsNoOrderIsSaid) {
  for (const char* path : {"/plan", "/order", "/clear"}) {
    EXPECT_EQ(code(post(path, wanted("worst"))), "plan.order") << path;
    EXPECT_EQ(code(post(path, wanted("1A"))), "plan.order") << path;
    EXPECT_EQ(code(post(path, wanted(Json::array({{{"bend", 1}}, {{"bend", 1}}})))), "plan.order");
    EXPECT_EQ(code(post(path, wanted(Json::array({{{"bend", 0}}})))), "key.value");
    EXPECT_EQ(code(post(path, wanted(Json::array({{{"bend", 1}, {"front", "C"}}})))), "key.value");
    EXPECT_EQ(code(post(path, wanted(Json::array({{{"front", "A"}}})))), "key.missing");
    EXPECT_EQ(code(post(path, wanted(Json::array()))), "key.type");
    EXPECT_EQ(code(post(path, wanted(7))), "key.type");
  }
  EXPECT_EQ(post("/order?x=1", wanted()).status, 400);
}

// Where nothing works, what would is among the findings.
TEST_F(OrderTest, WhatWouldWork) {
  Json part = leg();
  part["line"]["bends"][1]["straight"] = 30;
  const Json answer = json(post("/order", {{"part", part}, {"bender", "B1"}}));
  bool told = false;
  for (const Json& finding : answer["findings"]) {
    told = told || finding["code"] == "order.would-work";
  }
  EXPECT_TRUE(told) << answer.dump(1);
}

// Without steps there is nothing to rank, and the findings of the plan say why elsewhere.
TEST_F(OrderTest, WithoutSteps) {
  Json straight = leg();
  straight["line"] = {{"corners", {{0, 0, 0}, {500, 0, 0}}}, {"radius", 118}};
  const Json answer = json(post("/order", {{"part", straight}}));
  EXPECT_TRUE(answer["orders"].empty());
}

}  // namespace
}  // namespace bight::service
