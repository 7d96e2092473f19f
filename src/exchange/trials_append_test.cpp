#include "exchange/trials_append.h"

#include <gtest/gtest.h>

#include "exchange/shop_toml.h"

namespace bight::exchange {
namespace {

workshop::TrialBend trial() {
  workshop::TrialBend t;
  t.die = "38R114";
  t.od_mm = 38.1;
  t.wall_mm = 1.65;
  t.material = "1020 DOM";
  t.heat = "F2207";
  t.set_angle = base::Angle::degrees(94.6);
  t.finished_angle = base::Angle::degrees(90.1);
  t.blank_mm = 1000.0;
  t.leg_a_outside_mm = 585.8;
  t.leg_b_outside_mm = 500.0;
  return t;
}

std::vector<workshop::TrialBend> read(const std::string& trials) {
  const auto shop = read_shop(ShopTexts{"name = \"s\"\n", "", "", trials}, "s");
  EXPECT_TRUE(shop.ok()) << (shop.ok() ? "" : shop.failure().text());
  return shop.ok() ? shop->trials : std::vector<workshop::TrialBend>();
}

// What stands in the file stays byte for byte; the new entry reads back as it was, in a file of
// millimetres, of inches, with decimal commas, and in none at all.
TEST(TrialsAppend, BelowWhatStands) {
  const std::string old =
      "# by hand\nschema = 1\n[[trial]]\ndie = \"38R114\"\nod = \"38.1 mm\"\nwall = \"1.65 mm\"\n"
      "material = \"1020 DOM\"\nset = 20\nfinished = 18.2";
  for (const std::string& text : {std::string(), old, "units = \"in\"\n" + old}) {
    const auto written = with_trials(text, {trial(), trial()}, "s/trials.toml");
    ASSERT_TRUE(written.ok()) << written.failure().text();
    EXPECT_TRUE(written->starts_with(text));
    const auto trials = read(*written);
    ASSERT_EQ(trials.size(), text.empty() ? 2u : 3u);
    EXPECT_EQ(trials.back().od_mm, 38.1);
    EXPECT_EQ(trials.back().leg_a_outside_mm, 585.8);
    EXPECT_EQ(trials.back().set_angle, base::Angle::degrees(94.6));
    EXPECT_EQ(trials.back().heat, "F2207");
  }
  const auto comma = with_trials("units = \"in\"\ndecimal_mark = \"comma\"\n", {trial()}, "t");
  ASSERT_TRUE(comma.ok()) << comma.failure().text();
  EXPECT_EQ(read(*comma).back().wall_mm, 1.65);
}

// A file that cannot be read is left alone, and so is one whose new entry could not be read.
TEST(TrialsAppend, Refusals) {
  EXPECT_EQ(with_trials("trial = [", {trial()}, "t").failure().code, "toml.syntax");
  workshop::TrialBend metal = trial();
  metal.material = "unobtainium";
  EXPECT_FALSE(with_trials("", {metal}, "t").ok());
  EXPECT_EQ(with_trials("trial = []\n", {trial()}, "t").failure().code, "learn.write");
}

// The same piece entered twice would count double: refused unless asked for. Two bends of one piece
// may be alike.
TEST(TrialsAppend, Twice) {
  const std::string once = *with_trials("", {trial(), trial()}, "t");
  EXPECT_EQ(with_trials(once, {trial()}, "t").failure().code, "learn.twice");
  EXPECT_EQ(with_trials(once, {trial(), trial()}, "t").failure().code, "learn.twice");
  EXPECT_EQ(read(*with_trials(once, {trial(), trial(), trial()}, "t")).size(), 5u);
  EXPECT_EQ(read(*with_trials(once, {trial()}, "t", Twice::kAllowed)).size(), 3u);
  workshop::TrialBend moved = trial();
  moved.set_angle = base::Angle::degrees(95.0);
  EXPECT_TRUE(with_trials(once, {moved}, "t").ok());
  EXPECT_EQ(with_trials(once, {moved}, "t", Twice::kAlikeButSetAngle).failure().code,
            "learn.twice");
}

}  // namespace
}  // namespace bight::exchange
