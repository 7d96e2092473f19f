#include "exchange/part_line.h"

#include <gtest/gtest.h>

#include "geometry/centreline.h"

namespace bight::exchange {
namespace {

base::Result<Line> line(const std::string& text, double size_mm = 38.1) {
  const Document document = parse_toml(text, "p.toml").value();
  return read_line(Fields(document), size_mm);
}

std::string code(const std::string& text) {
  const base::Result<Line> read = line(text);
  return read.ok() ? "ok" : read.failure().code;
}

// Included 120 is a bend of 60, said once for the line or at the bend (common practice).
TEST(PartLine, IncludedAngles) {
  EXPECT_NEAR(line("bends = [{straight=200, included=120}]\nlast=200\nradius=114")
                  ->table.rows()[0]
                  .angle.deg(),
              60, 1e-12);
  EXPECT_NEAR(line("angles=\"included\"\nbends = [{straight=200, angle=120}]\nlast=200\nradius=114")
                  ->table.rows()[0]
                  .angle.deg(),
              60, 1e-12);
}

TEST(PartLine, AbsoluteRotations) {
  const Line read = *line(
      "rotations=\"absolute\"\nradius=50\nlast=100\nbends=[{straight=100,angle=90},"
      "{straight=100,rotation=90,angle=90},{straight=100,rotation=30,angle=45}]");
  EXPECT_NEAR(read.table.rows()[1].rotation.deg(), 90, 1e-12);
  EXPECT_NEAR(read.table.rows()[2].rotation.deg(), -60, 1e-12);
}

// A U of 700 x 500 over the outside in 38.1 tube: straights 366.65, 433.3, 366.65 at R 114.3
// (common practice, no source).
TEST(PartLineReference, OutsideDimensions) {
  const Line read = *line(
      "dimensions_to=\"outside\"\nradius=114.3\n"
      "corners=[[0,0,0],[500,0,0],[500,700,0],[0,700,0]]");
  EXPECT_NEAR(read.table.rows()[0].straight_mm, 366.65, 1e-9);
  EXPECT_NEAR(read.table.rows()[1].straight_mm, 433.3, 1e-9);
  EXPECT_NEAR(read.table.last_straight_mm(), 366.65, 1e-9);
}

TEST(PartLine, RadiusToAFace) {
  EXPECT_NEAR(line("radius_to=\"inside\"\nradius=95.25\ncorners=[[0,0,0],[500,0,0],[500,700,0]]")
                  ->table.rows()[0]
                  .radius_mm,
              114.3, 1e-12);
  EXPECT_TRUE(
      line("radius_is=\"die\"\nradius=95\ncorners=[[0,0,0],[500,0,0],[500,700,0]]")->radii_are_die);
}

TEST(PartLine, ShapesAreReadByTheirDimensions) {
  const Line read = *line("shape=\"u\"\nwidth=661.9\nleg=480.95\nradius=114.3");
  EXPECT_EQ(read.table.num_bends(), 2u);
  EXPECT_NEAR(read.table.developed_length_mm(), 1525.7, 0.05);
}

TEST(PartLine, NotesAreHandedOn) {
  const Line read = *line("radius=50\ncorners=[[0,0,0],[100,0,0],[200,0,0],[400,0,0],[400,300,0]]");
  ASSERT_EQ(read.findings.size(), 2u);
  EXPECT_EQ(read.findings[0].code, "corners.collinear");
}

TEST(PartLine, RefusesNonsense) {
  EXPECT_EQ(code("radius=5\ncorners=[[0,0,0]]"), "corners.few");
  EXPECT_EQ(code("radius=\"wide\"\ncorners=[[0,0,0],[9,0,0],[9,9,0]]"), "length.text");
  EXPECT_EQ(code("corners=[[0,0,0],[9,0,0],[9,9,0]]"), "part.radius");
  EXPECT_EQ(code("radius=1\nradii=[1]\ncorners=[[0,0,0],[9,0,0],[9,9,0]]"), "part.radius");
  EXPECT_EQ(code("radii=[1,2]\ncorners=[[0,0,0],[9,0,0],[9,9,0]]"), "corners.radii");
  EXPECT_EQ(code("radius=5\nlast=9\nbends=[{straight=9}]"), "key.missing");
  EXPECT_EQ(code("radius=5\nlast=9\nbends=[{straight=9,angle=9,included=9}]"), "key.missing");
  EXPECT_EQ(code("last=9\nbends=[{straight=9,angle=9}]"), "part.radius");
  EXPECT_EQ(code("radius=5\nbends=[{straight=9,angle=9}]"), "key.missing");
  EXPECT_EQ(code("radius=5\nlast=9\nbends=[{straight=9,angle=400}]"), "table.angle");
  EXPECT_EQ(code("radius=5\nlast=9\ndimensions_to=\"inside\"\nbends=[{straight=9,angle=40}]"),
            "key.value");
  EXPECT_EQ(code("shape=\"banana\""), "key.value");
  EXPECT_EQ(code("shape=\"u\"\nradius=5"), "key.missing");
  EXPECT_EQ(code("shape=\"helix\"\nradius=150\npitch=40\nturns=50"), "key.value");
  std::string many = "radius=5\ncorners=[";
  for (int i = 0; i < 5000; ++i)
    many += "[" + std::to_string(i) + "," + std::to_string(i % 2) + ",0],";
  EXPECT_EQ(code(many + "]"), "key.value");
}

}  // namespace
}  // namespace bight::exchange
