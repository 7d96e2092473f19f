#include "app/learn_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "app/inputs.h"
#include "exchange/part_toml.h"
#include "exchange/shop_toml.h"
#include "planning/planner.h"

namespace bight::app {
namespace {

using base::Angle;
using ::testing::HasSubstr;
using ::testing::Not;

const base::LengthStyle kMm = style_of(base::LengthUnit::kMillimetre);

workshop::Shop demo_shop() {
  return *exchange::read_shop_folder(std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater");
}

std::vector<planning::DieLessons> demo_lessons(const std::string& part) {
  const std::string folder = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater/parts/";
  const exchange::PartFile file = *exchange::read_part_file(folder + part + ".toml");
  const workshop::Shop shop = demo_shop();
  return *planning::lessons_of(*planning::plan(file.part, shop), shop);
}

// A row for each trial with what was lost, in mm and in inches; none is said.
TEST(LearnText, Trials) {
  const std::string text = trials_text(demo_shop().trials, kMm);
  for (const char* said : {"38R114", "F2207", "94.6°", "4.60°", "587.5 + 500.0", "MK"}) {
    EXPECT_THAT(text, HasSubstr(said));
  }
  const std::string inches = trials_text(demo_shop().trials, style_of(base::LengthUnit::kInch));
  EXPECT_THAT(inches, HasSubstr("1.500"));
  EXPECT_THAT(inches, HasSubstr("39.37"));
  EXPECT_THAT(trials_text({}, kMm), HasSubstr("no trial bends yet"));
}

// The line, what it rests on, the band beside the part's own angles, and what is not proven.
TEST(LearnText, Known) {
  const auto lessons = demo_lessons("rack-upright");
  const planning::DieLessons& die = lessons.front();
  const std::string text = known_text(die.die, die.known, die.wanted, kMm, false);
  for (const char* said : {"x set angle", "set to", "90.0°", "9 of 10 cases"}) {
    EXPECT_THAT(text, HasSubstr(said));
  }
  EXPECT_THAT(text, HasSubstr("proven by 1 measured bend"));
  EXPECT_THAT(text, HasSubstr("beyond the die's mark"));
  EXPECT_THAT(text, Not(HasSubstr("NOT PROVEN")));
  const auto rail = demo_lessons("pulpit-rail");
  EXPECT_THAT(known_text(rail[0].die, rail[0].known, {}, kMm, false),
              HasSubstr("cut lengths are not proven"));
}

TEST(LearnText, Next) {
  auto lessons = demo_lessons("pulpit-rail");
  EXPECT_THAT(next_text(lessons.front()), HasSubstr("set a trial bend to"));
  EXPECT_THAT(next_text(lessons.front()), HasSubstr("bends 1, 2, 3, 4"));
  lessons.front().next.reset();
  EXPECT_THAT(next_text(lessons.front()), HasSubstr("no bend to learn for"));
}

// What to key in; that a bend is there; that one is beyond and stays so.
TEST(LearnText, Hits) {
  const learning::HitOptions options;
  learning::Hit hit;
  hit.set = Angle::degrees(93.4);
  hit.overbend_chance = 0.05;
  const Angle wanted = Angle::degrees(90);
  EXPECT_THAT(hit_text(wanted, {}, hit, {}, options), HasSubstr("SET 93.40°"));
  EXPECT_THAT(hit_text(wanted, {}, hit, {}, options), HasSubstr("5.0 %"));
  hit.enough = true;
  const auto after = [&](double finished) {
    return hit_text(wanted, {{Angle::degrees(93.4), Angle::degrees(finished)}}, hit, {}, options);
  };
  EXPECT_THAT(after(89.8), HasSubstr("there: do not hit again"));
  EXPECT_THAT(after(90.8), HasSubstr("BEYOND the tolerance"));
}

}  // namespace
}  // namespace bight::app
