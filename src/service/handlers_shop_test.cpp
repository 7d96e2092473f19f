#include "service/service_test_util.h"
#include "service/sessions.h"

namespace bight::service {
namespace {

using test::Json;

class ShopTest : public test::ServiceTest {};

TEST_F(ShopTest, SaysWhichShopThisIs) {
  furnish();
  const Json about = json(ask("GET", "/about"));
  EXPECT_EQ(about["shop"], "Bench");
  EXPECT_EQ(about["pass_needed"], false);
  const Json summary = json(ask("GET", "/shop/summary"));
  EXPECT_EQ(summary["counts"]["die_set"], 2);
  EXPECT_EQ(summary["benders"][0]["name"], "B1");
  EXPECT_EQ(summary["die_sets"][1]["radius_mm"], 114.0);
  EXPECT_EQ(summary["die_sets"][1]["round"], true);
  EXPECT_EQ(summary["rack"].size(), 0u);
  EXPECT_EQ(summary["errors"].size(), 0u);
}

TEST_F(ShopTest, SaysWhatLiesInTheRackInRealSizes) {
  furnish();
  const auto add = [&](const Json& document) {
    EXPECT_EQ(post("/records/tube", {{"document", document}}).status, 201) << document.dump();
  };
  add({{"size", "NPS 1-1/2 Sch 40 pipe"}, {"material", "A53 Grade B"}, {"length", "20 ft"}});
  add({{"size", "40 x 20 x 2"}, {"material", "S235JRH"}, {"pieces", 4}, {"place", "rack 2"}});
  add({{"size", "bar 20"}, {"material", "S355J2H"}, {"heat", "K4"}});
  const Json rack = json(ask("GET", "/shop/summary"))["rack"];
  ASSERT_EQ(rack.size(), 3u);
  // ASME B36.10M: NPS 1-1/2 is 1.900 in over 0.145 in of wall.
  EXPECT_EQ(rack[0]["section"]["shape"], "round");
  EXPECT_NEAR(rack[0]["section"]["height_mm"].get<double>(), 48.3, 0.05);
  EXPECT_NEAR(rack[0]["section"]["wall_mm"].get<double>(), 3.68, 0.01);
  EXPECT_NEAR(rack[0]["length_mm"].get<double>(), 6096, 1e-9);
  EXPECT_EQ(rack[0]["pieces"], 1);
  EXPECT_EQ(rack[1]["section"]["shape"], "rectangle");
  EXPECT_EQ(rack[1]["section"]["height_mm"], 40.0);
  EXPECT_EQ(rack[1]["pieces"], 4);
  EXPECT_EQ(rack[1]["place"], "rack 2");
  EXPECT_EQ(rack[1]["length_mm"], nullptr);
  EXPECT_EQ(rack[2]["section"]["wall_mm"], nullptr);
  EXPECT_EQ(rack[2]["heat"], "K4");
}

TEST_F(ShopTest, SessionsThroughTheirHandlers) {
  EXPECT_EQ(json(ask("GET", "/session"))["open"], true);
  context_->sessions.need(*hashed_pass("eel pie island"));
  EXPECT_EQ(json(ask("GET", "/session"))["open"], false);
  EXPECT_EQ(json(ask("GET", "/about"))["shop"], "");
  EXPECT_EQ(post("/session", {{"pass", "wrong"}}).status, 401);
  const Reply opened = post("/session", {{"pass", "eel pie island"}, {"initials", "KB"}});
  ASSERT_EQ(opened.status, 200) << opened.body;
  const std::string set = header(opened, "Set-Cookie");
  EXPECT_NE(set.find("; HttpOnly; SameSite=Strict"), std::string::npos);
  const std::map<std::string, std::string> mine = {{"cookie", set.substr(0, set.find(';'))}};
  EXPECT_EQ(json(ask("GET", "/session", "", mine))["initials"], "KB");
  EXPECT_EQ(ask("DELETE", "/session", "", mine).status, 204);
  EXPECT_EQ(json(ask("GET", "/session", "", mine))["open"], false);
}

TEST_F(ShopTest, ArchivesGoOutAndIn) {
  furnish();
  const Reply archive = ask("GET", "/archive");
  EXPECT_EQ(archive.type, "application/zip");
  EXPECT_EQ(json(ask("POST", "/archive?taking=all", archive.body))["same"], 4);
  EXPECT_EQ(json(ask("POST", "/archive", archive.body))["written"], false);
  EXPECT_EQ(code(ask("POST", "/archive", "nonsense")), "archive.read");
  EXPECT_EQ(ask("POST", "/archive?taking=some", archive.body).status, 400);
  EXPECT_EQ(ask("GET", "/archive?part=zz").status, 404);
}

TEST_F(ShopTest, TwoOfOneNameAreToldBeforeTheyAreKept) {
  furnish();
  put("material", "m1",
      {{"name", "North rack"}, {"like", "304L annealed"}, {"aliases", {"north", "NR-4"}}});
  const auto errors = [&](const std::string& kind, const Json& document, const std::string& id) {
    Json body = {{"kind", kind}, {"document", document}};
    if (!id.empty()) body["id"] = id;
    return json(post("/documents/check", body))["errors"];
  };
  const Json die = {{"name", "38R114"}, {"radius", 114}, {"groove", 38.1}, {"clamp", 90}};
  ASSERT_EQ(errors("die_set", die, "").size(), 1u);
  EXPECT_EQ(errors("die_set", die, "")[0]["code"], "shop.name-twice");
  EXPECT_EQ(errors("die_set", die, "")[0]["where"], "name");
  EXPECT_EQ(errors("die_set", die, "d76").size(), 1u);
  EXPECT_EQ(errors("die_set", die, "d114").size(), 0u);  // it is that one
  const Json bender = {{"name", "B1"}, {"size_max", 60}, {"die_radius_max", 200}};
  EXPECT_EQ(errors("bender", bender, "").size(), 1u);
  // A metal by its name or another name, however it is written.
  const auto metal = [&](const char* name, const Json& aliases, const std::string& id = "") {
    return errors("material", {{"name", name}, {"like", "304L annealed"}, {"aliases", aliases}},
                  id);
  };
  EXPECT_EQ(metal("north-RACK", Json::array())[0]["where"], "name");
  EXPECT_EQ(metal("nr4", Json::array())[0]["where"], "name");
  const Json alias = metal("South rack", {"south", "NR 4"});
  ASSERT_EQ(alias.size(), 1u) << alias.dump();
  EXPECT_EQ(alias[0]["where"], "aliases");
  EXPECT_NE(alias[0]["message"].get<std::string>().find("North rack"), std::string::npos);
  EXPECT_EQ(metal("North rack", {"NR-4"}, "m1").size(), 0u);
  EXPECT_EQ(metal("South rack", {"south"}).size(), 0u);
}

TEST_F(ShopTest, DocumentsAreChecked) {
  const auto errors = [&](const std::string& kind, const Json& document) {
    return json(post("/documents/check", {{"kind", kind}, {"document", document}}))["errors"];
  };
  EXPECT_EQ(errors("bender", {{"name", "B"}, {"size_max", 60}, {"die_radius_max", 200}}).size(),
            0u);
  const Json die = errors("die_set", {{"radius", "x"}, {"groove", 25}, {"colour", 1}});
  EXPECT_EQ(die.size(), 4u) << die.dump();
  EXPECT_EQ(errors("trial", Json::object()).size(), 6u);
  EXPECT_EQ(errors("house", {{"name", 1}})[0]["where"], "name");
  EXPECT_EQ(code(post("/documents/check", {{"kind", "sofa"}, {"document", Json::object()}})),
            "key.value");
  EXPECT_EQ(code(post("/documents/check", Json::object())), "key.missing");
}

}  // namespace
}  // namespace bight::service
