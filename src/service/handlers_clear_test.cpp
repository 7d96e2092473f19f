#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;
using test::rail;

class ClearTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
  }
};

TEST_F(ClearTest, EveryStepWithItsDistance) {
  const Reply reply = post("/clear", {{"part", rail()}});
  ASSERT_EQ(reply.status, 200) << reply.body;
  const Json answer = json(reply);
  ASSERT_EQ(answer["steps"].size(), 2u);
  EXPECT_EQ(answer["steps"][1]["made"], Json::array({1}));
  EXPECT_EQ(answer["steps"][0]["front"], "A");
  EXPECT_FALSE(answer["not_checked"].empty());
  EXPECT_EQ(json(post("/clear", {{"part", rail()}, {"from", "B"}}))["steps"][0]["bend"], 2);
  EXPECT_EQ(post("/clear?x=1", {{"part", rail()}}).status, 400);
  EXPECT_EQ(code(post("/clear", {{"part", rail()}, {"die", "X"}})), "plan.unknown-die");
}

TEST_F(ClearTest, FilmAsFramesAndAsAnimation) {
  const Reply reply = post("/film", {{"part", rail()}});
  ASSERT_EQ(reply.status, 200) << reply.body;
  const Json film = json(reply);
  ASSERT_EQ(film["steps"].size(), 2u);
  EXPECT_GT(film["steps"][0]["moments"].size(), 40u);
  const Reply glb = post("/film?format=glb", {{"part", rail()}});
  EXPECT_EQ(glb.status, 200);
  EXPECT_EQ(glb.type, "model/gltf-binary");
  EXPECT_EQ(glb.body.substr(0, 4), "glTF");
  EXPECT_EQ(post("/film?format=avi", {{"part", rail()}}).status, 400);
}

// A straight piece has nothing to compare, and says so.
TEST_F(ClearTest, WithoutSteps) {
  Json straight = rail();
  straight["line"] = {{"corners", {{0, 0, 0}, {500, 0, 0}}}, {"radius", 76}};
  EXPECT_EQ(code(post("/clear", {{"part", straight}})), "clear.no-steps");
}

}  // namespace
}  // namespace bight::service
