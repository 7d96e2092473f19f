#include "stock/tube_search.h"

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

std::vector<std::string> names(const StockSearch& found) {
  std::vector<std::string> designations;
  for (const StockAnswer& answer : found.matches) designations.push_back(answer.size.designation);
  return designations;
}

using Names = std::vector<std::string>;

std::string code(std::string_view text) {
  const auto found = find_stock(tables(), text);
  return found.ok() ? "" : found.failure().code;
}

// Round tube by its measures, in the units people use.
TEST(TubeSearch, RoundTube) {
  const Names sixteen{"1-1/2 x 0.065 in tube ASTM A513"};
  for (const char* text :
       {"38.1 x 16 BWG", "1.5\" x 0.065\"", "1.5 x .065", "1-1/2 x 16 ga tube", "38.1 x 1.65"}) {
    EXPECT_EQ(names(find(text)), sixteen) << text;
  }
  EXPECT_EQ(names(find("1 1/2 x .083 tube")), (Names{"1-1/2 x 0.083 in tube ASTM A513"}));
  EXPECT_EQ(names(find("16x2 hydraulic")), (Names{"16 x 2 hydraulic tube EN 10305-4"}));
  EXPECT_EQ(names(find("48.3x3.2")),
            (Names{"DN 40 medium pipe EN 10255", "48.3 x 3.2 CHS EN 10210-2"}));
  EXPECT_EQ(names(find("48.3x3.2 CHS")), (Names{"48.3 x 3.2 CHS EN 10210-2"}));
  EXPECT_EQ(names(find("31.8 x 2.6")), (Names{"31.8 x 2.6 tube EN 10220"}));
}

// What is in no table is a section all the same, said to be unlisted, with what is near.
TEST(TubeSearch, UnlistedSizes) {
  for (const char* text : {"25 x 1.5", "38.1 x 16 SWG", "22 x 1.3 copper", "50 x 25 x 1.5"}) {
    const StockSearch found = find(text);
    ASSERT_EQ(found.matches.size(), 1u) << text;
    EXPECT_FALSE(found.matches[0].listed) << text;
    EXPECT_EQ(found.near.size(), 5u) << text;
    ASSERT_FALSE(found.matches[0].notes.empty()) << text;
    EXPECT_EQ(found.matches[0].notes[0].text.rfind("not a listed size; the nearest is ", 0), 0u);
  }
  EXPECT_EQ(find("25 x 1.5").matches[0].size.section, *Section::round_tube(25, 1.5));
  EXPECT_NEAR(find("38.1 x 16 SWG").matches[0].size.section.wall_mm(), 1.626, 1e-12);
  EXPECT_TRUE(find("22 x 1.3 copper").matches[0].tolerances.empty());
  EXPECT_EQ(find("22 x 1.3 copper").near[0].size.designation, "22 x 1.2 copper tube EN 1057 R250");
  // The corner of an unlisted box is that of EN 10219-2, or of ASTM A500 in inches.
  EXPECT_NEAR(find("50 x 25 x 1.5").matches[0].size.section.corner_radius_mm(), 3.0, 1e-12);
  EXPECT_EQ(find("2 x 1 x .1 in").matches[0].size.corner->used_mm.provenance,
            Provenance::kUnconfirmed);
}

// Copper: by outside diameter in mm, by nominal size in inches, and the answer says which.
TEST(TubeSearch, Copper) {
  EXPECT_EQ(names(find("22x1 copper")), (Names{"22 x 1 copper tube EN 1057 any temper"}));
  EXPECT_EQ(names(find("22 x 1.2")), (Names{"22 x 1.2 copper tube EN 1057 R250"}));
  EXPECT_EQ(names(find("15 mm copper")).size(), 6u);
  const StockSearch half = find("1/2 copper type L");
  EXPECT_EQ(names(half), (Names{"1/2 in copper tube type L"}));
  EXPECT_NEAR(half.matches[0].size.section.height_mm(), 15.875, 1e-9);
  ASSERT_EQ(half.notes.size(), 1u);
  EXPECT_EQ(half.notes[0].text,
            "1/2 is the nominal size: the tube measures 5/8 in (15.875 mm) outside");
  EXPECT_EQ(names(find("1 copper K")), (Names{"1 in copper tube type K"}));
  EXPECT_EQ(names(find("1/2 copper")).size(), 3u);
  EXPECT_EQ(names(find("22 x 1.1 B88M")), (Names{"22 x 1.1 copper tube ASTM B88M type B"}));
  EXPECT_TRUE(find("7/8 copper L").matches.empty());
  EXPECT_EQ(find("7/8 copper L").near.size(), 5u);
  EXPECT_EQ(code("copper"), "stock.incomplete");
  EXPECT_EQ(code("22 x 1 x 3 copper"), "stock.incomplete");
}

TEST(TubeSearch, Conduit) {
  EXPECT_EQ(names(find("3/4 EMT")), (Names{"3/4 EMT conduit"}));
  EXPECT_EQ(names(find("EMT 21")), (Names{"3/4 EMT conduit"}));
  EXPECT_EQ(names(find("1 RMC")), (Names{"1 RMC conduit"}));
  EXPECT_EQ(names(find("1\" conduit")), (Names{"1 EMT conduit", "1 RMC conduit", "1 IMC conduit"}));
  EXPECT_TRUE(find("5/8 EMT").matches.empty());
  EXPECT_EQ(find("5/8 EMT").near[0].size.designation, "1/2 EMT conduit");
  EXPECT_EQ(code("EMT"), "stock.incomplete");
  EXPECT_EQ(code("3/4 x .049 EMT"), "stock.incomplete");
}

TEST(TubeSearch, SquareAndRectangular) {
  EXPECT_EQ(names(find("40x20x2")), (Names{"40 x 20 x 2 RHS EN 10219-2"}));
  EXPECT_EQ(names(find("40 x 40 x 3 SHS")), (Names{"40 x 40 x 3 SHS EN 10219-2"}));
  EXPECT_EQ(names(find("40 x 3 SHS")), (Names{"40 x 40 x 3 SHS EN 10219-2"}));
  EXPECT_EQ(names(find("1x1x.065")), (Names{"1 x 1 x 0.065 in SHS ASTM A513"}));
  EXPECT_EQ(names(find("1 square x 16 ga")), (Names{"1 x 1 x 0.065 in SHS ASTM A513"}));
  const StockSearch easy = find("20x40x2");
  EXPECT_DOUBLE_EQ(easy.matches[0].size.section.height_mm(), 20);
  EXPECT_NE(easy.notes.back().text.find("the easy way"), std::string::npos);
  EXPECT_EQ(find("40x20x2 SHS").notes.back().kind, StockNote::Kind::kFact);
  EXPECT_EQ(find("40x20x2 SHS").notes[1].text, "these sides make it rectangular");
  EXPECT_EQ(code("40 x 20 RHS"), "stock.incomplete");
  EXPECT_EQ(code("40 x 20 x 10"), "section.wall");
}

TEST(TubeSearch, Bars) {
  EXPECT_EQ(find("bar 20").matches[0].size.section, *Section::round_bar(20));
  EXPECT_NEAR(find("1/2\" bar").matches[0].size.section.height_mm(), 12.7, 1e-12);
  EXPECT_EQ(find("flat 50 x 10").matches[0].size.section, *Section::rect_bar(50, 10));
  EXPECT_EQ(find("square bar 20").matches[0].size.section, *Section::rect_bar(20, 20));
  EXPECT_FALSE(find("bar 20").matches[0].listed);
  EXPECT_EQ(code("flat 50"), "stock.incomplete");
  EXPECT_EQ(code("bar 50 x 10 x 3"), "stock.incomplete");
  EXPECT_EQ(code("bar"), "stock.incomplete");
  EXPECT_EQ(code("bar 0"), "section.size");
}

// Angles and channels are taken as typed; what is missing or a name of a series is asked for.
TEST(TubeSearch, AnglesAndChannels) {
  EXPECT_EQ(find("L 50x50x5").matches[0].size.section, *Section::angle(50, 50, 5));
  EXPECT_EQ(find("L 50 x 5").matches[0].size.section, *Section::angle(50, 50, 5));
  EXPECT_EQ(find("L 80x60x7").matches[0].size.section, *Section::angle(80, 60, 7));
  EXPECT_EQ(find("U 100x50x6").matches[0].size.section, *Section::channel(100, 50, 6, 6));
  EXPECT_EQ(find("U 40x20x2x2.5").matches[0].size.section, *Section::channel(40, 20, 2, 2.5));
  EXPECT_NEAR(find("angle 2 x 2 x 1/4 in").matches[0].size.section.wall_mm(), 6.35, 1e-12);
  EXPECT_FALSE(find("L 50x50x5").matches[0].listed);
  EXPECT_EQ(code("angle 50"), "stock.incomplete");
  EXPECT_EQ(code("C 100x50"), "stock.incomplete");
  EXPECT_EQ(code("U 100"), "stock.incomplete");
  EXPECT_EQ(code("L 50x50x5x5"), "stock.incomplete");
  EXPECT_EQ(code("L 50x50x50"), "section.wall");
  EXPECT_EQ(code("L 50x50x0"), "section.size");
  EXPECT_EQ(code("L 50x-50x5"), "section.size");
}

// One size and no word that says what it is: an inch size may be pipe or tube, so it is asked.
TEST(TubeSearch, OneSize) {
  EXPECT_EQ(code("1-1/2"), "stock.incomplete");
  EXPECT_EQ(code("2"), "stock.incomplete");
  EXPECT_EQ(names(find("38.1")).size(), 7u);
  EXPECT_EQ(names(find("22 mm tube")).size(), 11u);
  EXPECT_TRUE(find("37 tube").matches.empty());
  EXPECT_EQ(find("37 tube").near.size(), 5u);
  EXPECT_EQ(code("16 ga"), "stock.incomplete");
  EXPECT_EQ(code("x"), "stock.incomplete");
  EXPECT_EQ(code("-5 x 1"), "section.size");
  EXPECT_EQ(code("20 x 20"), "section.wall");
}

}  // namespace
}  // namespace bight::stock
