#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class ShopFilesTest : public test::ServiceTest {
 protected:
  Json bring(const Json& files, const std::string& taking) {
    return json(post("/shop/files", {{"files", files}, {"taking", taking}}));
  }
};

const char* const kTwoDies =
    "units = \"mm\"\n[[die_set]]\nname = \"38R76\"\nradius = 76\ngroove = 38.1\nclamp = 80\n\n"
    "[[die_set]]\nname = \"38R152\"\nradius = 152.4\ngroove = 38.1\nclamp = 95\n";
const char* const kMetal =
    "[[material]]\nname = \"Rack 304L\"\nlike = \"304L annealed\"\nrp02 = \"39 ksi\"\n";
const char* const kStock =
    "[[tube]]\nsize = \"38.1 x 1.65\"\nmaterial = \"Rack 304L\"\nlength = 6000\npieces = 4\n";

// What would happen is told before it does, then done, then there is nothing left to do.
TEST_F(ShopFilesTest, LookTakeAndTakeAgain) {
  furnish();
  put("die_set", "old", {{"name", "38R152"}, {"radius", 150}, {"groove", 38.1}, {"clamp", 95}});
  const Json files = {{{"name", "die_sets.toml"}, {"text", kTwoDies}},
                      {{"name", "stock.toml"}, {"text", kStock}},
                      {{"name", "metal.toml"}, {"text", kMetal}}};
  const Json looked = bring(files, "look");
  EXPECT_EQ(looked["written"], false);
  const Json& dies = looked["files"][0]["entries"];
  EXPECT_EQ(dies[1]["id"], "old");
  EXPECT_EQ(dies[1]["deed"], "change");
  EXPECT_EQ(dies[1]["keys"], Json::array({"radius"}));
  for (const Json& file : looked["files"]) EXPECT_EQ(file["errors"], Json::array()) << file.dump();
  EXPECT_EQ(looked["files"][2]["entries"][0]["deed"], "add");
  EXPECT_EQ(json(ask("GET", "/records/material"))["total"], 0);

  EXPECT_EQ(bring(files, "all")["written"], true);
  EXPECT_EQ(json(ask("GET", "/records/die_set/old"))["document"]["radius"], 152.4);
  EXPECT_EQ(json(ask("GET", "/records/tube"))["total"], 1);
  const Json again = bring(files, "look");
  for (const Json& file : again["files"]) {
    for (const Json& entry : file["entries"]) EXPECT_EQ(entry["deed"], "same") << entry.dump();
  }
}

TEST_F(ShopFilesTest, FaultsStandWithTheirFileEntryAndLine) {
  const Json files = {
      {{"name", "good.toml"}, {"text", kTwoDies}},
      {{"name", "wrong.toml"},
       {"text", "[[die_set]]\nname = \"A\"\nradius = 76\ngroove = \"38.1 mn\"\nclamp = 80\n"}},
      {{"name", "broken.toml"}, {"text", "[[die_set\n"}},
      {{"name", "letter.toml"}, {"text", "greeting = \"hello\"\n"}},
      {{"name", "twice.toml"}, {"text", kTwoDies}}};
  const Json answer = bring(files, "all");
  EXPECT_EQ(answer["written"], false);
  EXPECT_EQ(json(ask("GET", "/records/die_set"))["total"], 0);
  const auto error = [&](std::size_t file) { return answer["files"][file]["errors"][0]; };
  EXPECT_EQ(answer["files"][0]["errors"], Json::array());
  EXPECT_EQ(error(1)["code"], "length.unit");
  EXPECT_EQ(error(1)["entry"], "A");
  EXPECT_EQ(error(1)["where"], "groove");
  EXPECT_EQ(error(1)["line"], 4);
  EXPECT_EQ(error(2)["code"], "toml.syntax");
  EXPECT_EQ(error(3)["code"], "folder.entry");
  EXPECT_EQ(error(4)["code"], "shop.name-twice");
  // The rest goes in.
  EXPECT_EQ(bring(files, "rest")["written"], true);
  EXPECT_EQ(json(ask("GET", "/records/die_set"))["total"], 2);
  EXPECT_EQ(code(post("/shop/files", {{"taking", "look"}})), "key.missing");
}

// One record as a file reads as the same document.
TEST_F(ShopFilesTest, OneRecordAsAFile) {
  furnish();
  put("material", "m1", {{"schema", 1}, {"name", "Rack 304L"}, {"like", "304L annealed"}});
  put("tube", "t1", {{"schema", 1}, {"size", "38.1 x 1.65"}, {"material", "Rack 304L"}});
  put("die_set", "inch",
      {{"schema", 1},
       {"units", "in"},
       {"name", "3 in"},
       {"radius", 3},
       {"groove", 1},
       {"clamp", 2}});
  for (const char* where : {"/records/material/m1", "/records/tube/t1", "/records/die_set/inch"}) {
    const Reply file = ask("GET", std::string(where) + "/file");
    ASSERT_EQ(file.status, 200) << file.body;
    const Json answer = bring({{{"name", "x.toml"}, {"text", file.body}}}, "look");
    EXPECT_EQ(answer["files"][0]["entries"][0]["deed"], "same") << answer.dump();
  }
  EXPECT_EQ(header(ask("GET", "/records/material/m1/file"), "Content-Disposition"),
            "attachment; filename=\"rack-304l.toml\"");
  put("person", "kb", {{"name", "Kit"}, {"initials", "KB"}});
  EXPECT_EQ(code(ask("GET", "/records/person/kb/file")), "folder.kind");
}

}  // namespace
}  // namespace bight::service
