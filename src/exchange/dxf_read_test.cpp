#include "exchange/dxf_read.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "exchange/dxf_text_test_util.h"

namespace bight::exchange {
namespace {

using sample::dxf_arc;
using sample::dxf_drawing;
using sample::dxf_line;
using sample::dxf_lwpolyline;

LineReading read(const std::string& text, const Answers& answers = {}) {
  LineOptions options;
  options.answers = answers;
  auto reading = read_dxf(text, "f.dxf", options);
  EXPECT_TRUE(reading.ok()) << reading.failure().text();
  return reading.ok() ? std::move(reading).value() : LineReading();
}

std::string code(const std::string& text, const Answers& answers = {}) {
  LineOptions options;
  options.answers = answers;
  const auto reading = read_dxf(text, "f.dxf", options);
  return reading.ok() ? "" : reading.failure().code;
}

std::vector<std::string> asked(const LineReading& reading) {
  std::vector<std::string> codes;
  for (const Question& question : reading.questions) codes.push_back(question.code);
  return codes;
}

bool noted(const LineReading& reading, const std::string& code) {
  return std::any_of(reading.line->findings.begin(), reading.line->findings.end(),
                     [&](const part::Finding& f) { return f.code == code; });
}

using Codes = std::vector<std::string>;

// L of 100 and 80 with a radius of 20 between, as three pieces out of order.
std::string an_l(const std::string& layer = "0") {
  return dxf_arc(80, 20, 20, 270, 0, layer) + dxf_line(100, 80, 100, 20, 0, 0, layer) +
         dxf_line(0, 0, 80, 0, 0, 0, layer);
}

TEST(DxfRead, ReadsLinesAndArcs) {
  const LineReading r = read(dxf_drawing(an_l()));
  ASSERT_EQ(asked(r), Codes());
  ASSERT_EQ(r.line->table.num_bends(), 1u);
  EXPECT_NEAR(r.line->table.rows()[0].straight_mm, 80.0, 1e-9);
  EXPECT_NEAR(r.line->table.rows()[0].radius_mm, 20.0, 1e-9);
  EXPECT_NEAR(r.line->table.last_straight_mm(), 60.0, 1e-9);
  EXPECT_TRUE(noted(r, "dxf.read"));
}

// The same part in a polyline with a bulge.
TEST(DxfRead, ReadsBulges) {
  const LineReading r = read(
      dxf_drawing(dxf_lwpolyline({{0, 0}, {80, 0, std::tan(M_PI / 8)}, {100, 20}, {100, 80}})));
  EXPECT_NEAR(r.line->table.rows()[0].radius_mm, 20.0, 1e-9);
  EXPECT_NEAR(r.line->table.last_straight_mm(), 60.0, 1e-9);
}

// The unit of the drawing counts; a drawing without one is asked about.
TEST(DxfRead, HeedsUnits) {
  EXPECT_NEAR(read(dxf_drawing(an_l(), 1)).line->table.rows()[0].straight_mm, 2032.0, 1e-9);
  EXPECT_NEAR(read(dxf_drawing(an_l(), 5)).line->table.rows()[0].straight_mm, 800.0, 1e-9);
  EXPECT_EQ(asked(read(dxf_drawing(an_l(), 0))), Codes({"ask.units"}));
  EXPECT_EQ(asked(read(dxf_drawing(an_l(), -1))), Codes({"ask.units"}));
  EXPECT_NEAR(read(dxf_drawing(an_l(), 0), {{"units", "in"}}).line->table.rows()[0].straight_mm,
              2032.0, 1e-9);
  EXPECT_EQ(code(dxf_drawing(an_l(), 20)), "dxf.unit");
  EXPECT_EQ(code(dxf_drawing(an_l(), 0), {{"units", "ells"}}), "ask.choice");
}

// The layer is chosen by what is drawn on it, then by its name, else asked for.
TEST(DxfRead, ChoosesTheLayer) {
  const std::string outline =
      dxf_lwpolyline({{-5, -5}, {200, -5}, {200, 90}, {-5, 90}}, 1, "FRAME") +
      dxf_line(0, 200, 50, 200, 0, 0, "DIM");
  EXPECT_EQ(asked(read(dxf_drawing(outline + an_l("TUBE")))), Codes());
  const std::string two = an_l("A") + dxf_lwpolyline({{0, 300}, {50, 300}, {50, 400}}, 0, "B");
  EXPECT_EQ(asked(read(dxf_drawing(two))), Codes({"ask.layer"}));
  EXPECT_EQ(asked(read(dxf_drawing(two), {{"layer", "A"}})), Codes());
  EXPECT_EQ(asked(read(dxf_drawing(two), {{"layer", "B"}})), Codes({"ask.radius"}));
  EXPECT_EQ(code(dxf_drawing(two), {{"layer", "C"}}), "ask.choice");
  const std::string named =
      an_l("Mittellinie") + dxf_lwpolyline({{0, 300}, {50, 300}, {50, 400}}, 0, "B");
  EXPECT_EQ(asked(read(dxf_drawing(named))), Codes());
}

// Two lines on one layer: which one is asked, and a small gap between them is pointed out.
TEST(DxfRead, AsksWhichChain) {
  const std::string gap = dxf_line(0, 0, 80, 0) + dxf_arc(80.2, 20, 20, 270, 0) +
                          dxf_line(100.2, 20, 100.2, 80) + dxf_line(0, 0, 0, 50);
  const LineReading r = read(dxf_drawing(gap));
  ASSERT_EQ(asked(r), Codes({"ask.chain"}));
  EXPECT_NE(r.questions[0].text.find("--join"), std::string::npos);
  EXPECT_EQ(asked(read(dxf_drawing(gap), {{"chain", "2"}})), Codes());
  EXPECT_EQ(code(dxf_drawing(gap), {{"chain", "7"}}), "ask.choice");
}

TEST(DxfRead, RefusesNonsense) {
  EXPECT_EQ(code(""), "dxf.empty");
  EXPECT_EQ(code("not a drawing"), "dxf.syntax");
  EXPECT_EQ(code(dxf_drawing("")), "dxf.none");
  EXPECT_EQ(code(dxf_drawing("0\nSPLINE\n10\n5\n")), "dxf.none");
  EXPECT_EQ(code(dxf_drawing(dxf_lwpolyline({{0, 0}, {9, 0}, {9, 9}}, 1))), "dxf.closed");
  EXPECT_EQ(code(dxf_drawing(dxf_line(0, 0, 5, 0) + dxf_line(5, 0, 9, 0) + dxf_line(5, 0, 5, 9))),
            "dxf.branched");
  EXPECT_EQ(code(dxf_drawing(dxf_line(0, 0, 5, 0)).substr(0, 60)), "dxf.none");
}

TEST(DxfRead, KnowsADrawing) {
  EXPECT_TRUE(looks_like_dxf(dxf_drawing("")));
  EXPECT_TRUE(looks_like_dxf("999\nmade by hand\n0\nSECTION\n"));
  EXPECT_FALSE(looks_like_dxf("X,Y\n0,0\n"));
  EXPECT_FALSE(looks_like_dxf(""));
}

}  // namespace
}  // namespace bight::exchange
