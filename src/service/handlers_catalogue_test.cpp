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

// A material of the shop stands among the metals, is planned with, and leaves no trace when it
// goes.
TEST_F(CatalogueTest, OwnMaterials) {
  const auto named = [&](const std::string& name) {
    const Json all = json(ask("GET", "/catalogue"));
    for (const Json& metal : all["metals"]) {
      if (metal["name"] == name) return metal;
    }
    return Json(nullptr);
  };
  const Json built_in = named("304L annealed");
  EXPECT_EQ(built_in["own"], false);
  EXPECT_TRUE(built_in["id"].is_null());
  put("material", "rack",
      {{"name", "Rack 304L"},
       {"like", "304L annealed"},
       {"rp02", 270},
       {"rm", 610},
       {"strengths_from", "supplier"}});
  put("material", "better", {{"name", "304L annealed"}, {"rp02", 255}});
  const Json own = named("Rack 304L");
  EXPECT_EQ(own["id"], "rack");
  EXPECT_EQ(own["own"], true);
  EXPECT_EQ(own["replaces"], false);
  EXPECT_EQ(own["rp02_mpa"], 270);
  EXPECT_EQ(own["provenance"], "supplier's sheet");
  EXPECT_EQ(named("304L annealed")["replaces"], true);
  EXPECT_EQ(named("304L annealed")["rp02_mpa"], 255);
  EXPECT_EQ(named("304L annealed")["rm_mpa"], built_in["rm_mpa"]);
  const auto part = [](const std::string& metal) {
    return Json{{"name", "p"},
                {"tube", {{"size", "38.1 x 1.65"}, {"material", metal}}},
                {"line", {{"corners", {{0, 0, 0}, {300, 0, 0}, {300, 300, 0}}}, {"radius", 100}}}};
  };
  EXPECT_EQ(json(post("/part/check", {{"part", part("rack 304L")}}))["errors"], Json::array());
  EXPECT_EQ(json(post("/stock", {{"query", "38.1 x 1.65"},
                                 {"material", "rack 304l"}}))["matches"][0]["material"],
            "Rack 304L");
  put("material", "twin", {{"name", "rack 304 L"}, {"like", "304L annealed"}});
  const Json errors = json(ask("GET", "/shop/summary"))["errors"];
  ASSERT_EQ(errors.size(), 1u) << errors.dump();
  EXPECT_EQ(errors[0]["id"], "twin");
  EXPECT_EQ(errors[0]["errors"][0]["code"], "shop.name-twice");
  EXPECT_EQ(json(post("/part/check", {{"part", part("Heron 304L")}}))["errors"][0]["code"],
            "metal.unknown");
  const Json wrong = json(post(
      "/documents/check", {{"kind", "material"}, {"document", {{"name", "x"}, {"rp02", 36000}}}}));
  EXPECT_EQ(wrong["errors"][0]["where"], "rp02");
  EXPECT_EQ(wrong["errors"][0]["code"], "material.value");
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
