#include "exchange/table_corners.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace bight::exchange {
namespace {

using Json = nlohmann::ordered_json;

Json typed(const std::string& text, const Answers& answers = {}) {
  LineOptions options;
  options.answers = answers;
  const auto line = typed_corners(text, "f.csv", options);
  EXPECT_TRUE(line.ok()) << line.failure().text();
  return line.ok() && *line ? **line : Json();
}

TEST(TableCorners, NumbersStayNumbers) {
  EXPECT_EQ(typed("X mm\tY mm\tZ mm\tCLR mm\n0\t0\t0\t\n400.5\t0\t0\t75\n400.5\t300\t0\t\n"),
            Json::parse(R"({"corners":[[0,0,0],[400.5,0,0],[400.5,300,0]],"radius":75})"));
}

TEST(TableCorners, FractionsAndUnitsStayAsTyped) {
  EXPECT_EQ(typed("X (in)\tY (in)\n0\t0\n16 1/2\t0\n16 1/2\t250 mm\n", {{"radius", "4 1/2 in"}}),
            Json::parse(R"({"corners":[[0,0,0],["16 1/2",0,0],["16 1/2","250 mm",0]],
                            "radius":"4 1/2 in"})"));
  EXPECT_EQ(typed("X cm;Y cm\n0;0\n40,5;0\n40,5;30\n", {{"radius", "77"}}),
            Json::parse(R"({"corners":[["0 cm","0 cm",0],["40.5 cm","0 cm",0],
                            ["40.5 cm","30 cm",0]],"radius":77})"));
}

// A bare answer is in millimetres even where the table is in inches.
TEST(TableCorners, BareAnswerSaysItsUnit) {
  const Json line = typed("X in\tY in\n0\t0\n16\t0\n16\t12\n", {{"radius", "100"}});
  EXPECT_EQ(line["radius"], "100 mm");
}

TEST(TableCorners, RadiiThatDiffer) {
  const std::string text = "X mm\tY mm\tR mm\n0\t0\t\n400\t0\t75\n400\t300\t\n0\t300\t\n";
  EXPECT_TRUE(typed(text).is_null());
  EXPECT_EQ(typed(text, {{"radius", "50"}})["radii"], Json::parse("[75,50]"));
}

TEST(TableCorners, BendsAndQuestionsAreNotCorners) {
  EXPECT_TRUE(typed("X\tY\n0\t0\n400\t0\n400\t300\n").is_null());
  EXPECT_TRUE(typed("Straight mm\tRotation\tAngle\n100\t0\t90\n100\t0\t0\n").is_null());
}

}  // namespace
}  // namespace bight::exchange
