#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class CatalogueTest : public test::ServiceTest {};

TEST_F(CatalogueTest, TablesOfTheProgram) {
  const Reply reply = ask("GET", "/catalogue");
  const Json catalogue = json(reply);
  EXPECT_GT(catalogue["metals"].size(), 10u);
  EXPECT_EQ(catalogue["shapes"].size(), 15u);
  EXPECT_EQ(catalogue["writes"].size(), 10u);
  EXPECT_EQ(ask("GET", "/catalogue", "", {{"if-none-match", header(reply, "ETag")}}).status, 304);
  EXPECT_NE(ask("GET", "/openapi.yaml").body.find("openapi: 3.1.0"), std::string::npos);
}

TEST_F(CatalogueTest, SizesAsTyped) {
  const Json pipe = json(post("/stock", {{"query", "1-1/2 sch 40 pipe"}}));
  ASSERT_GE(pipe["matches"].size(), 1u) << pipe.dump();
  // ASME B36.10M: NPS 1 1/2 is 48.3 mm (1.900 in) outside, schedule 40 has 3.68 mm (0.145 in).
  EXPECT_NEAR(pipe["matches"][0]["height_mm"].get<double>(), 48.26, 0.05);
  EXPECT_NEAR(pipe["matches"][0]["wall_mm"].get<double>(), 3.683, 0.01);
  EXPECT_EQ(post("/stock", {{"query", ""}}).status, 422);
  EXPECT_EQ(post("/stock", {{"query", "25 x 1.5"}, {"most", 0}}).status, 422);
}

TEST_F(CatalogueTest, LengthsAndAnglesAsTyped) {
  const Json items = json(post("/typed", {{"units", "in"},
                                          {"show", "in/16"},
                                          {"items",
                                           {{{"kind", "length"}, {"text", "1-1/2"}},
                                            {{"kind", "length"}, {"value", 300}},
                                            {{"kind", "angle"}, {"text", "67°30'"}},
                                            {{"kind", "length"}, {"text", "two"}}}}}))["items"];
  EXPECT_EQ(items[0]["value"], 38.1);
  EXPECT_EQ(items[0]["shown"], "1-1/2\"");
  EXPECT_EQ(items[1]["shown"], "11-13/16\"");
  EXPECT_NEAR(items[1]["remainder"].get<double>(), 300 - (11 + 13.0 / 16) * 25.4, 1e-9);
  EXPECT_EQ(items[2]["value"], 67.5);
  EXPECT_TRUE(items[3]["value"].is_null());
  EXPECT_EQ(items[3]["error"]["where"], "items[3]");
  EXPECT_EQ(code(post("/typed", {{"items", {{{"kind", "length"}}}}})), "key.missing");
  EXPECT_EQ(code(post("/typed", Json::object())), "key.missing");
}

}  // namespace
}  // namespace bight::service
