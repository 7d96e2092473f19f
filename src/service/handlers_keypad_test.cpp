#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class KeypadTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
  }
};

TEST_F(KeypadTest, TableInTheOrderOfThatKeypad) {
  const Json usual = json(post("/keypad", {{"part", test::rail()}}));
  ASSERT_EQ(usual["rows"].size(), 2u) << usual.dump();
  const Json sent = {{"bender", "B1"}, {"asks", {"angle", "springback", "set"}}};
  const Json table =
      json(post("/keypad", {{"part", test::rail()}, {"keypads", Json::array({sent})}}));
  ASSERT_EQ(table["columns"].size(), 3u) << table.dump();
  EXPECT_EQ(table["columns"][0]["asks"], "angle");
  for (const Json& row : table["rows"]) {
    const auto cell = [&](std::size_t i) { return std::stod(row["cells"][i].get<std::string>()); };
    EXPECT_NEAR(cell(0) + cell(1), cell(2), 1e-6);
  }
  EXPECT_EQ(table["checklist"], json(post("/checklist", {{"part", test::rail()}})));
  EXPECT_FALSE(table["checklist"]["items"].empty());
}

TEST_F(KeypadTest, CardOnPaper) {
  for (const char* paper : {"a4", "letter"}) {
    const Reply card =
        post(std::string("/keypad?format=pdf&paper=") + paper, {{"part", test::rail()}});
    EXPECT_EQ(card.type, "application/pdf");
    EXPECT_EQ(card.body.substr(0, 5), "%PDF-");
  }
}

TEST_F(KeypadTest, SaysWhatCannotBe) {
  const auto refused = [&](const Json& keypads) {
    return code(post("/keypad", {{"part", test::rail()}, {"keypads", keypads}}));
  };
  EXPECT_EQ(refused(Json::array({{{"asks", {"sofa"}}}})), "keypad.column");
  EXPECT_EQ(refused(3), "key.type");
  EXPECT_EQ(refused(Json::array({{{"ask", {"angle"}}}})), "key.missing");
  EXPECT_EQ(code(post("/checklist?format=pdf", {{"part", test::rail()}})), "request.query");
  EXPECT_EQ(code(post("/keypad", Json::object())), "request.part");
}

}  // namespace
}  // namespace bight::service
