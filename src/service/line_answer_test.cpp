#include "service/line_answer.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

std::vector<std::string> places(const Json& errors) {
  std::vector<std::string> out;
  for (const Json& error : errors) out.push_back(error.at("where"));
  return out;
}

// A square of 100 with a quarter circle of 50: from (0,0) along X, up along Y.
TEST(LineAnswer, SegmentsLieWhereGeometrySays) {
  const auto table =
      *geometry::BendTable::make({{50, base::Angle(), base::Angle::degrees(90), 50}}, 50);
  const Json line = line_json(table, {});
  EXPECT_EQ(line["corners_mm"], Json::parse("[[0.0,0.0,0.0],[100.0,0.0,0.0],[100.0,100.0,0.0]]"));
  ASSERT_EQ(line["segments"].size(), 3u);
  const Json& arc = line["segments"][1];
  EXPECT_EQ(arc["kind"], "arc");
  EXPECT_EQ(arc["bend"], 1);
  EXPECT_EQ(arc["centre"], Json::parse("[50.0,50.0,0.0]"));
  EXPECT_EQ(arc["axis"], Json::parse("[0.0,0.0,1.0]"));
  EXPECT_EQ(arc["to"], Json::parse("[100.0,50.0,0.0]"));
  EXPECT_NEAR(line["developed_length_mm"].get<double>(), 100 + 50 * 3.14159265358979 / 2, 1e-9);
}

TEST(LineAnswer, EveryComplaintHasItsCell) {
  Json part = test::rail();
  part["tube"]["material"] = "unobtainium";
  part["line"]["bends"][0]["angle"] = "9O";
  part["line"]["bends"][1]["straight"] = "12 furlongs";
  part["quantity"] = 0;
  part["colour"] = "red";
  const Json answer = *check_part(part, "");
  EXPECT_EQ(places(answer["errors"]),
            (std::vector<std::string>{"tube.material", "line.bends[0].angle",
                                      "line.bends[1].straight", "quantity", "colour"}));
  EXPECT_TRUE(answer["part"].is_null());
  EXPECT_TRUE(answer["table"].is_null());
}

TEST(LineAnswer, ALineAloneIsStillShown) {
  Json part = test::rail();
  part.erase("tube");
  const Json answer = *check_part(part, "");
  EXPECT_EQ(places(answer["errors"]), std::vector<std::string>{"tube"});
  EXPECT_EQ(answer["table"]["bend_table"].size(), 2u);
  part = test::rail();
  part["line"]["bends"][1]["angle"] = 400;
  EXPECT_EQ(places((*check_part(part, ""))["errors"]), std::vector<std::string>{"line.bends[1]"});
}

TEST(LineAnswer, CornersAndBackIsTheSamePart) {
  const Json part = test::rail();
  Rewrite wish;
  wish.as_corners = true;
  const Json corners = *rewritten(part, wish);
  EXPECT_EQ(corners["line"]["corners"].size(), 4u);
  EXPECT_EQ(corners["line"]["radius"], 76);
  wish.as_corners = false;
  const Json back = *rewritten(corners, wish);
  EXPECT_EQ(back["line"]["bends"], part["line"]["bends"]);
  EXPECT_EQ(back["line"]["last"], part["line"]["last"]);
  EXPECT_EQ(back["tube"], part["tube"]);
  // Placed corners come back in their place.
  Json placed = corners;
  placed["line"]["corners"] = Json::parse("[[10,20,30],[10,420,30],[310,420,30],[310,420,280]]");
  const Json bends = *rewritten(placed, wish);
  wish.as_corners = true;
  EXPECT_EQ((*rewritten(bends, wish))["line"]["corners"], placed["line"]["corners"]);
}

// What is rounded on the way through a table of bends does not show in what was typed.
TEST(LineAnswer, RoundCornersStayRound) {
  for (const char* units : {"mm", "in"}) {
    Json part = test::rail();
    part["units"] = units;
    part["line"] = Json::parse(R"({"corners": [[0,0,0], [350,0,0], [350,280,0.125], [600,280,210],
        [600,600,210.5], [820,600,400], [820.0625,900,400]], "radius": 7})");
    const Json typed = part["line"];
    Rewrite wish;
    part = *rewritten(part, wish);
    EXPECT_TRUE(part["line"].contains("bends"));
    wish.as_corners = true;
    part = *rewritten(part, wish);
    EXPECT_EQ(part["line"], typed) << units;
  }
}

TEST(LineAnswer, RewritingNeedsNoTube) {
  Json part = test::rail();
  part["tube"] = Json::object();
  Rewrite wish;
  wish.as_corners = true;
  EXPECT_TRUE(rewritten(part, wish).ok());
  part["line"]["bends"][0]["angle"] = 170;
  EXPECT_EQ(rewritten(part, wish).failure().code, "part.corners");
}

TEST(LineAnswer, UnitsAndEndsOfTheWholePart) {
  Rewrite wish;
  wish.unit = base::LengthUnit::kInch;
  const Json inch = *rewritten(test::rail(), wish);
  EXPECT_EQ(inch["units"], "in");
  const auto mm = exchange::read_part(exchange::document_of(test::rail(), ""));
  const auto in = exchange::read_part(exchange::document_of(inch, ""));
  EXPECT_NEAR(in->part.table.rows()[1].straight_mm, mm->part.table.rows()[1].straight_mm, 1e-9);
  wish.unit.reset();
  wish.reverse = true;
  const Json other = *rewritten(test::rail(), wish);
  EXPECT_EQ(other["line"]["bends"][0]["straight"], 250);
  wish.reverse = false;
  wish.mirror = true;
  EXPECT_EQ((*rewritten(test::rail(), wish))["line"]["bends"][1]["rotation"], -90);
}

}  // namespace
}  // namespace bight::service
