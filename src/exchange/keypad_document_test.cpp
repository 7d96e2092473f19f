#include "exchange/keypad_document.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

using planning::KeypadColumn;

const char* const kKeypads = R"(
schema = 1

[[keypad]]
bender = "Spoonbill"
asks = ["feed", "rotate", "set"]
lengths = "in"
rotation = "full"
speed = "percent"
angle_step = 0.5
note = "rotation is typed before the feed on older programs"

[[keypad]]
asks = ["mark", "set"]
length_step = 0.5
)";

TEST(KeypadDocument, EachBenderHasItsEntry) {
  const auto profiles = read_keypads(*parse_toml(kKeypads, "keypads.toml"));
  ASSERT_TRUE(profiles.ok()) << profiles.failure().text();
  ASSERT_EQ(profiles->size(), 2u);
  workshop::Bender bender;
  bender.name = "Spoonbill";
  const planning::KeypadProfile own = keypad_for(*profiles, bender);
  EXPECT_EQ(own.columns, (std::vector<KeypadColumn>{KeypadColumn::kFeed, KeypadColumn::kRotate,
                                                    KeypadColumn::kSet}));
  EXPECT_EQ(own.unit, base::LengthUnit::kInch);
  EXPECT_DOUBLE_EQ(own.length_step_mm, 0.0254);
  EXPECT_TRUE(own.rotation_full_circle && own.speed_in_percent);
  bender.name = "Heron";
  EXPECT_DOUBLE_EQ(keypad_for(*profiles, bender).length_step_mm, 0.5);
  EXPECT_EQ(keypad_for({}, bender).columns.front(), KeypadColumn::kMark);
}

TEST(KeypadDocument, SaysWhatIsWrong) {
  const auto code = [](const char* entry) {
    const auto read = read_keypads(*parse_toml(std::string("[[keypad]]\n") + entry, "k.toml"));
    return read.ok() ? std::string("none") : read.failure().code;
  };
  EXPECT_EQ(code("asks = [\"feed\"]"), "none");
  EXPECT_EQ(code("bender = \"x\""), "key.missing");
  EXPECT_EQ(code("asks = [\"fed\"]"), "keypad.column");
  EXPECT_EQ(code("asks = [\"feed\"]\nlength_step = 0"), "keypad.profile");
  EXPECT_EQ(code("asks = [\"feed\"]\nangle_step = -1"), "keypad.profile");
  EXPECT_EQ(code("asks = [\"feed\"]\nrotation = \"left\""), "key.value");
  EXPECT_EQ(code("asks = [\"feed\"]\nask = 1"), "key.unknown");
  EXPECT_EQ(read_keypads(*parse_toml("schema = 2", "k.toml")).failure().code, "keypad.schema");
}

TEST(KeypadDocument, PrintsTableAndChecklist) {
  planning::KeypadTable table;
  table.profile.columns = {KeypadColumn::kDie, KeypadColumn::kSet};
  table.heads = {"die", "set °"};
  table.totals = {"", "94.6"};
  table.rows = {{1, 2, {{"R60", {}}, {"94.6", 94.6}}}};
  const auto json = keypad_json(table);
  EXPECT_TRUE(json["columns"][0]["total"].is_null());
  EXPECT_EQ(json["columns"][1]["total"], "94.6");
  EXPECT_EQ(json["rows"][0]["cells"][1], "94.6");
  EXPECT_EQ(json["rows"][0]["bend"], 2);
  const auto list = checklist_json({{{"guards", "look", "practice", true}}, {"sharp"}});
  EXPECT_EQ(list["items"][0]["safety"], true);
  EXPECT_EQ(list["cautions"][0], "sharp");
}

}  // namespace
}  // namespace bight::exchange
