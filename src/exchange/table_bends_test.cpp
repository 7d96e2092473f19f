#include "exchange/table_bends.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

using base::Angle;

TableRow bend(double straight_mm, double rotation_deg, double angle_deg) {
  TableRow row;
  row.straight_mm = straight_mm;
  row.rotation = Angle::degrees(rotation_deg);
  row.angle = Angle::degrees(angle_deg);
  row.radius_mm = 50.0;
  return row;
}

TableRow last(double straight_mm) {
  TableRow row;
  row.straight_mm = straight_mm;
  return row;
}

struct Made {
  base::Result<std::optional<Line>> line;
  std::vector<std::string> asked;
};

Made make(const std::vector<TableRow>& rows, TableLayout layout, const Answers& answers = {}) {
  LineOptions options;
  options.answers = answers;
  layout.kind = TableKind::kBends;
  layout.rotation = 1;
  const std::string file = "f";
  Asking asking(options.answers);
  Made made{line_of_bends({file, layout, rows, options}, asking), {}};
  for (const Question& question : asking.open()) made.asked.push_back(question.code);
  return made;
}

// Absolute rotations are differences of what is written; two bends are the same either way.
TEST(TableBends, CountsRotations) {
  TableLayout layout;
  layout.included = false;
  const std::vector<TableRow> rows = {bend(10, 30, 90), bend(20, 75, 90), bend(20, 30, 90),
                                      last(5)};
  EXPECT_EQ(make(rows, layout).asked, std::vector<std::string>({"ask.rotation"}));
  layout.absolute = true;
  const Made made = make(rows, layout);
  ASSERT_TRUE(made.line.ok() && made.line->has_value());
  EXPECT_NEAR((*made.line)->table.rows()[1].rotation.deg(), 45.0, 1e-12);
  EXPECT_NEAR((*made.line)->table.rows()[2].rotation.deg(), -45.0, 1e-12);
  layout.absolute.reset();
  EXPECT_TRUE(make({bend(10, 0, 90), bend(20, 75, 90), last(5)}, layout).asked.empty());
}

// Included angles are taken from 180; a last row of 180 is then the last straight.
TEST(TableBends, TurnsIncludedAnglesRound) {
  TableLayout layout;
  layout.included = true;
  const Made made = make({bend(10, 0, 120), bend(20, 0, 180)}, layout);
  ASSERT_TRUE(made.line.ok());
  ASSERT_TRUE(made.line->has_value());
  ASSERT_EQ((*made.line)->table.num_bends(), 1u);
  EXPECT_NEAR((*made.line)->table.rows()[0].angle.deg(), 60.0, 1e-12);
  EXPECT_NEAR((*made.line)->table.last_straight_mm(), 20.0, 1e-12);
}

// What is missing in a row is said with its place.
TEST(TableBends, NamesWhatIsMissing) {
  TableLayout layout;
  layout.included = false;
  TableRow no_rotation = bend(20, 0, 45);
  no_rotation.rotation.reset();
  EXPECT_EQ(make({bend(10, 0, 90), no_rotation, last(5)}, layout).line.failure().code,
            "table.cell");
  TableRow no_straight = bend(20, 0, 45);
  no_straight.straight_mm.reset();
  EXPECT_EQ(make({no_straight, last(5)}, layout).line.failure().code, "table.cell");
  TableRow no_radius = bend(20, 0, 45);
  no_radius.radius_mm.reset();
  EXPECT_EQ(make({no_radius, last(5)}, layout).asked, std::vector<std::string>({"ask.radius"}));
}

TEST(TableBends, ReadsLengthsOfAnswers) {
  EXPECT_EQ(*answered_length_mm("50", "radius"), 50.0);
  EXPECT_EQ(*answered_length_mm("2 in", "radius"), 50.8);
  EXPECT_EQ(answered_length_mm("wide", "radius").failure().code, "ask.length");
  const Answers zero = {{"radius", "0"}};
  Asking asking(zero);
  EXPECT_EQ(ask_radius_mm(asking, "f", "").failure().code, "ask.length");
}

}  // namespace
}  // namespace bight::exchange
