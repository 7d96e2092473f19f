#include "papers/block.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/ruled.h"
#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

// Dies are named D1, D2 in the order of the plan; one it does not list is not passed off as one.
TEST(Block, DieKeys) {
  const planning::Plan plan = sample::twelve_bends();
  EXPECT_EQ(die_key(plan, "R114 for 38"), "D1");
  EXPECT_EQ(die_key(plan, "R80 for 38"), "D2");
  EXPECT_EQ(die_key(plan, "another"), "?");
}

TEST(Block, GroupHeight) {
  const Group group{"T", {{3.0, {}}, {4.5, {}}}, {}};
  EXPECT_DOUBLE_EQ(group.height_mm(), kTitleBar_mm + 7.5);
}

// A long name gives way to revision and hand, whole characters at a time.
TEST(Block, PartLineKeepsRevisionAndHand) {
  const auto canvas = open_canvas({}).value();
  part::Part part = sample::three_d().part;
  EXPECT_EQ(part_line(part, *canvas, 9.0, 150.0), "Handrail return, platform 3  ·  rev C  ·  LH");
  part.name.clear();
  for (int i = 0; i < 60; ++i) part.name += "Größe";
  const std::string line = part_line(part, *canvas, 9.0, 80.0);
  EXPECT_LE(canvas->measure(line, {9.0, true}).width_mm, 80.0);
  EXPECT_THAT(line, ::testing::EndsWith("…  ·  rev C  ·  LH"));
  // No half of a two-byte letter is left before the dots.
  const auto last = static_cast<unsigned char>(line[line.find("…") - 1]);
  EXPECT_NE(last, 0xC3);
}

}  // namespace
}  // namespace bight::papers
