#include "exchange/step_write.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>

namespace bight::exchange {
namespace {

using base::Angle;
using geometry::BendTable;
using stock::Section;

geometry::Centreline line_of(std::vector<geometry::BendRow> rows, double last_mm) {
  return geometry::lay_out(*BendTable::make(std::move(rows), last_mm));
}

std::string code_of(const Section& section, const geometry::Centreline& line) {
  const auto text = step_text(section, line);
  return text.ok() ? "" : text.failure().code;
}

// Every instance that is referred to exists, and every edge is used once in each direction: the
// shell is closed. (Geometry and volume are checked by the CAD kernel in the reader room.)
TEST(StepWrite, TextHangsTogether) {
  const auto text = step_text(*Section::rect_tube(40, 25, 2, 5),
                              line_of({{100, Angle(), Angle::degrees(90), 80},
                                       {0, Angle::degrees(90), Angle::degrees(200), 90}},
                                      50));
  ASSERT_TRUE(text.ok());
  std::set<std::string> defined;
  std::set<std::string> used;
  const std::regex name(R"(#\d+)");
  std::stringstream stream(*text);
  std::map<std::string, std::string> uses;
  for (std::string row; std::getline(stream, row);) {
    if (row.empty() || row[0] != '#') continue;
    const std::size_t equals = row.find('=');
    EXPECT_TRUE(defined.insert(row.substr(0, equals)).second);
    const std::string right = row.substr(equals);
    for (std::sregex_iterator it(right.begin(), right.end(), name), end; it != end; ++it) {
      used.insert(it->str());
    }
    std::smatch oriented;
    if (std::regex_search(right, oriented,
                          std::regex(R"(ORIENTED_EDGE\('',\*,\*,(#\d+),\.([TF]))"))) {
      uses[oriented[1]] += oriented[2];
    }
  }
  for (const std::string& one : used) EXPECT_TRUE(defined.contains(one)) << one;
  EXPECT_GT(uses.size(), 50U);
  for (const auto& [edge, directions] : uses) {
    EXPECT_TRUE(directions == "TF" || directions == "FT") << edge << " " << directions;
  }
}

// The same input gives the same bytes; the time of writing is the caller's.
TEST(StepWrite, IsDeterministic) {
  const auto line = line_of({{100, Angle(), Angle::degrees(90), 80}}, 50);
  const Section section = *Section::round_tube(25, 2);
  EXPECT_EQ(*step_text(section, line), *step_text(section, line));
  const auto text = step_text(section, line, {.name = "A", .written = "2031-05-06T07:08:09"});
  EXPECT_NE(text->find("'2031-05-06T07:08:09'"), std::string::npos);
}

// What cannot be a solid is refused with the place.
TEST(StepWrite, RefusesWhatIsNoSolid) {
  const Section round = *Section::round_tube(25, 2);
  const Section rect = *Section::rect_tube(40, 25, 2, 5);
  const Angle right = Angle::degrees(90);
  EXPECT_EQ(code_of(round, line_of({{-1, Angle(), right, 80}}, 50)), "step.overlap");
  EXPECT_EQ(code_of(round, line_of({{10, Angle(), right, 12}}, 50)), "step.radius");
  EXPECT_EQ(
      code_of(rect, line_of({{10, Angle(), right, 80}, {10, Angle::degrees(20), right, 80}}, 50)),
      "step.rotation");
  EXPECT_EQ(code_of(rect, line_of({{10, Angle(), right, 80}, {10, right, right, 80}}, 50)), "");
}

// A file that cannot be written says so; one that can holds the text.
TEST(StepWrite, WritesFiles) {
  const auto line = line_of({{100, Angle(), Angle::degrees(90), 80}}, 50);
  const Section section = *Section::round_bar(20);
  const auto refused = write_step("/nowhere/part.step", section, line);
  ASSERT_FALSE(refused.ok());
  EXPECT_EQ(refused.failure().code, "step.write");
  const auto path = std::filesystem::temp_directory_path() / "bight_step_write_test.step";
  ASSERT_TRUE(write_step(path, section, line).ok());
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  EXPECT_EQ(text.str(), *step_text(section, line));
}

}  // namespace
}  // namespace bight::exchange
