#include "stock/pipe_search.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace bight::stock {
namespace {

const SizeTables& tables() {
  static const SizeTables built_in = *SizeTables::built_in();
  return built_in;
}

StockSearch find(std::string_view text) {
  const auto found = find_stock(tables(), text);
  EXPECT_TRUE(found.ok()) << text << ": " << found.failure().text();
  return found.ok() ? *found : StockSearch{};
}

bool warns(const StockSearch& found, std::string_view text) {
  return std::any_of(found.notes.begin(), found.notes.end(), [&](const StockNote& note) {
    return note.kind == StockNote::Kind::kWarning && note.text.find(text) != std::string::npos;
  });
}

// The trade's classic mix-up (common practice, no source): 1-1/2 pipe measures 48.3, 1-1/2 tube
// 38.1 mm, and either answer says both.
TEST(PipeSearch, PipeIsNotTube) {
  const StockSearch pipe = find("1\xC2\xBD pipe");
  for (const StockAnswer& answer : pipe.matches) {
    EXPECT_DOUBLE_EQ(answer.size.section.height_mm(), 48.3);
  }
  EXPECT_EQ(pipe.matches.size(), 16u);
  EXPECT_TRUE(warns(
      pipe, "1-1/2 in pipe measures 48.3 mm (1.902 in) outside; 1-1/2 in tube would measure 38.1"));
  const StockSearch tube = find("1\xC2\xBD tube");
  for (const StockAnswer& answer : tube.matches) {
    EXPECT_NEAR(answer.size.section.height_mm(), 38.1, 1e-9);
  }
  EXPECT_EQ(tube.matches.size(), 7u);
  EXPECT_TRUE(warns(
      tube, "1-1/2 in tube measures 38.1 mm (1-1/2 in) outside; 1-1/2 in pipe would measure 48.3"));
}

// DN says that inch pipe and EN pipe differ where they do (EN 10220, ASME B36.10M).
TEST(PipeSearch, DnWarnsWhereFamiliesDiffer) {
  EXPECT_TRUE(warns(find("DN20"), "DN 20 is 26.7 mm outside as inch pipe"));
  EXPECT_TRUE(warns(find("DN20"), "26.9 mm as EN pipe"));
  EXPECT_TRUE(warns(find("DN 65 sch 40"), "73 mm outside as inch pipe"));
  EXPECT_TRUE(warns(find("3/4 pipe"), "26.9 mm as EN pipe"));
  EXPECT_FALSE(warns(find("DN40"), "DN 40 is"));
  EXPECT_EQ(find("DN40").notes.size(), 1u);
  EXPECT_EQ(find("DN40").matches.size(), 16u);
}

// Schedule, series, standard and wall narrow it down to one row.
TEST(PipeSearch, OneRow) {
  const auto one = [](std::string_view text) {
    const StockSearch found = find(text);
    return found.matches.size() == 1 ? found.matches[0].size.designation
                                     : std::to_string(found.matches.size()) + " matches";
  };
  EXPECT_EQ(one("1-1/2 sch 40 pipe"), "NPS 1-1/2 Sch 40 pipe");
  EXPECT_EQ(one("NPS 2 sch 80"), "NPS 2 Sch 80 pipe");
  EXPECT_EQ(one("DN 40 sch 10S"), "NPS 1-1/2 Sch 10S pipe");
  EXPECT_EQ(one("2 xs"), "NPS 2 XS pipe");
  EXPECT_EQ(one("3/4 medium pipe"), "DN 20 medium pipe EN 10255");
  EXPECT_EQ(one("DN 25 EN 10255 heavy"), "DN 25 heavy pipe EN 10255");
  EXPECT_EQ(one("48.3 mm sch 80 pipe"), "NPS 1-1/2 Sch 80 pipe");
  EXPECT_EQ(one("50 pipe sch 40"), "NPS 2 Sch 40 pipe");
  EXPECT_EQ(one("DN 40 x 2.9"), "DN 40 light pipe EN 10255");
  EXPECT_EQ(one("1-1/2 pipe x .145"), "3 matches");  // Sch 40, STD, 40S: one section
}

// A number that could be a name is one; where it is read as DN, the answer says so.
TEST(PipeSearch, NamesBeforeMeasures) {
  EXPECT_EQ(find("6 pipe").reading, "pipe named NPS 6");
  EXPECT_EQ(find("50 pipe").reading, "pipe named DN 50");
  EXPECT_TRUE(warns(find("50 pipe"), "50 is read as the name DN 50"));
  EXPECT_TRUE(warns(find("15 mm pipe"), "15 mm is read as the name DN 15"));
  EXPECT_EQ(find("48.3 pipe").reading, "pipe of outside diameter 48.3 mm (1.902 in)");
}

// The note speaks of the pipe that was found: NPS 12 is 323.8 in B36.10M and 323.9 in B36.19M.
TEST(PipeSearch, NoteIsAboutTheMatch) {
  EXPECT_TRUE(warns(find("12 sch 40S"), "12 in pipe measures 323.9 mm (12.75 in) outside"));
  EXPECT_TRUE(warns(find("12 sch 40"), "12 in pipe measures 323.8 mm (12.75 in) outside"));
}

// A pipe that does not exist: the same pipe in other walls, or the nearest names.
TEST(PipeSearch, NearMisses) {
  const StockSearch no_wall = find("NPS 3-1/2 sch 160");
  EXPECT_TRUE(no_wall.matches.empty());
  ASSERT_FALSE(no_wall.near.empty());
  for (const StockAnswer& answer : no_wall.near) EXPECT_EQ(answer.size.name, "3-1/2");
  const StockSearch no_name = find("NPS 7 sch 80");
  EXPECT_TRUE(no_name.matches.empty());
  ASSERT_EQ(no_name.near.size(), 5u);
  EXPECT_TRUE(no_name.near[0].size.name == "6" || no_name.near[0].size.name == "8");
  EXPECT_EQ(no_name.near[0].size.code, "80");
  EXPECT_FALSE(find("DN 45").near.empty());
}

TEST(PipeSearch, Failures) {
  EXPECT_EQ(find_stock(tables(), "sch 40").failure().code, "stock.incomplete");
  EXPECT_EQ(find_stock(tables(), "DN 40 x 3 x 2").failure().code, "stock.incomplete");
  EXPECT_EQ(find_stock(tables(), "1-1/2 pipe x 99 BWG").failure().code, "stock.gauge");
  EXPECT_DOUBLE_EQ(*named_pipe_outside_mm(tables(), 38.1), 48.3);
  EXPECT_FALSE(named_pipe_outside_mm(tables(), 40.0).has_value());
}

}  // namespace
}  // namespace bight::stock
