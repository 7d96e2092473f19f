#include "exchange/table_json.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "exchange/sample_lines_test_util.h"
#include "geometry/centreline.h"

namespace bight::exchange {
namespace {

using geometry::BendTable;

std::string code(const std::string& text) {
  const auto reading = read_table_json(text, "f.json");
  return reading.ok() ? "" : reading.failure().code;
}

// A bend table comes back as it was, to the last digit.
RC_GTEST_PROP(TableJsonProperty, BendsReadBackExactly, ()) {
  Line line{*sample::any_table(), geometry::Frame(), *rc::gen::arbitrary<bool>(), {}};
  if (*rc::gen::arbitrary<bool>())
    line.start = line.start.advanced(12.25).swept(40, base::Angle::degrees(90));
  const auto reading = read_table_json(bends_json(line, "Rail 1").dump(2), "f.json");
  RC_ASSERT(reading.ok());
  RC_ASSERT(reading->name == "Rail 1");
  RC_ASSERT(reading->line->table == line.table);
  RC_ASSERT(reading->line->radii_are_die == line.radii_are_die);
  RC_ASSERT((reading->line->start.origin_mm - line.start.origin_mm).norm() == 0.0);
  RC_ASSERT((reading->line->start.ahead - line.start.ahead).norm() == 0.0);
}

// Corners give the same centreline.
RC_GTEST_PROP(TableJsonProperty, CornersReadBack, ()) {
  const Line line{*sample::any_table(), geometry::Frame(), false, {}};
  const auto reading = read_table_json(corners_json(line, "").dump(), "f.json");
  RC_ASSERT(reading.ok());
  RC_ASSERT(reading->questions.empty());
  const auto a = geometry::lay_out(line.table);
  const auto b = geometry::lay_out(reading->line->table, reading->line->start);
  RC_ASSERT((a.end_mm() - b.end_mm()).norm() < 1e-8);
  RC_ASSERT(std::abs(a.length_mm() - b.length_mm()) < 1e-8);
}

// A corner that turns without a radius is asked about.
TEST(TableJson, AsksForARadius) {
  const std::string text =
      R"({"schema":1,"table":"corners","corners":[{"x_mm":0,"y_mm":0,"z_mm":0},)"
      R"({"x_mm":100,"y_mm":0,"z_mm":0,"radius_mm":null},{"x_mm":100,"y_mm":100,"z_mm":0}]})";
  const auto asked = read_table_json(text, "f.json");
  ASSERT_TRUE(asked.ok());
  ASSERT_EQ(asked->questions.size(), 1u);
  EXPECT_EQ(asked->questions[0].code, "ask.radius");
  LineOptions options;
  options.answers["radius"] = "20";
  EXPECT_DOUBLE_EQ(read_table_json(text, "f.json", options)->line->table.rows()[0].straight_mm, 80);
}

TEST(TableJson, RefusesNonsense) {
  const std::string row = R"({"straight_mm":1,"rotation_deg":0,"angle_deg":90,"radius_mm":5})";
  EXPECT_EQ(code(""), "json.syntax");
  EXPECT_EQ(code("[1,2]"), "json.syntax");
  EXPECT_EQ(code("{\"schema\":1,\"table\":\"bends\",\"bends\":["), "json.syntax");
  EXPECT_EQ(code("{}"), "json.key");
  EXPECT_EQ(code(R"({"schema":2,"table":"bends","bends":[],"last_straight_mm":5})"), "json.schema");
  EXPECT_EQ(code(R"({"schema":1,"table":"chairs"})"), "json.schema");
  EXPECT_EQ(code(R"({"schema":1,"table":"bends","bends":[]})"), "json.key");
  EXPECT_EQ(code(R"({"schema":1,"table":"bends","bends":[],"last_straight_mm":5,"x":1})"),
            "json.key");
  EXPECT_EQ(code(R"({"schema":1,"table":"bends","bends":[5],"last_straight_mm":5})"), "json.value");
  EXPECT_EQ(code(R"({"schema":1,"table":"bends","bends":[],"last_straight_mm":1e300})"),
            "json.value");
  EXPECT_EQ(code(R"({"schema":1,"table":"bends","bends":[],"last_straight_mm":NaN})"),
            "json.syntax");
  EXPECT_EQ(code(R"({"schema":1,"table":"bends","name":7,"bends":[],"last_straight_mm":5})"),
            "json.value");
  EXPECT_EQ(code("{\"schema\":1,\"table\":\"bends\",\"bends\":[" + row +
                 "],\"last_straight_mm\":5,\"start\":{\"at_mm\":[0,0,0],\"ahead\":[1,0,0],"
                 "\"inward\":[1,0,0]}}"),
            "json.value");
  std::string many;
  for (int i = 0; i < 5000; ++i) many += (i == 0 ? "" : ",") + row;
  EXPECT_EQ(
      code("{\"schema\":1,\"table\":\"bends\",\"bends\":[" + many + "],\"last_straight_mm\":5}"),
      "table.many");
  EXPECT_EQ(code(std::string(10'000'000, '[')), "json.size");
  EXPECT_EQ(code(std::string(1'000'000, '[')), "json.syntax");
}

}  // namespace
}  // namespace bight::exchange
