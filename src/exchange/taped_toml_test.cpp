#include "exchange/taped_toml.h"

#include <gtest/gtest.h>

#include <cmath>

#include "exchange/part_toml.h"
#include "geometry/centreline.h"

namespace bight::exchange {
namespace {

std::string part_text(const std::string& measured) {
  return "schema = 1\nname = \"Sample\"\n[tube]\nod = 25\nwall = 1.5\nmaterial = \"304L "
         "annealed\"\n[measured]\n" +
         measured;
}

base::Result<PartFile> read(const std::string& measured) {
  return read_part(part_text(measured), "s.toml");
}

std::string code(const std::string& measured) {
  const auto part = read(measured);
  return part.ok() ? "" : part.failure().code;
}

const char* const kSample = R"(
radius = 60
legs = [{ length = 340 }, { length = 180 }, { length = 190 }]
bends = [{ angle = 90 }, { angle = 90, rotation = 90 }]
)";

// Story 14 of the trade reference as a part file: developed 898.5, corners (0,0,0)(400,0,0)
// (400,300,0)(400,300,250), and the reading that matters most for the far end.
TEST(TapedTomlReference, SampleOfTwoNineties) {
  const auto file = read(kSample);
  ASSERT_TRUE(file.ok()) << file.failure().text();
  EXPECT_NEAR(file->part.table.developed_length_mm(), 898.5, 0.05);
  const auto corners = geometry::corner_points_mm(file->part.table, file->part.start);
  ASSERT_EQ(corners.size(), 4u);
  EXPECT_NEAR((corners[1] - geometry::Vec3(400, 0, 0)).norm(), 0, 1e-9);
  EXPECT_NEAR((corners[2] - geometry::Vec3(400, 300, 0)).norm(), 0, 1e-9);
  EXPECT_NEAR((corners[3] - geometry::Vec3(400, 300, 250)).norm(), 0, 1e-9);
  const part::Finding* far_end = nullptr;
  const part::Finding* most = nullptr;
  for (const part::Finding& finding : file->part.findings) {
    if (finding.code == "taped.far-end") far_end = &finding;
    if (finding.code == "taped.influence" && most == nullptr) most = &finding;
  }
  ASSERT_NE(far_end, nullptr);
  ASSERT_NE(most, nullptr);
  // By hand: a millimetre more of radius moves end B by (1,1,0) at the first bend and (0,1,1) at
  // the second, together (1,2,1). Half a degree of rotation turns end B about the second
  // leg, 250 off it; of bend 1 about the upright axis through (340, 60), from (400, 300).
  EXPECT_NE(most->message.find("what matters most is the radius: ± 1 mm"), std::string::npos)
      << most->message;
  EXPECT_NEAR(most->numbers.at("far_end_mm"), std::sqrt(6.0), 1e-9);
  const double half_deg = 0.5 * 3.14159265358979 / 180;
  EXPECT_NE((most + 1)->message.find("rotation of bend 2 (as turned)"), std::string::npos);
  EXPECT_NEAR((most + 1)->numbers.at("far_end_mm"), 250 * half_deg, 1e-6);
  EXPECT_NE((most + 2)->message.find("angle of bend 1 (protractor)"), std::string::npos);
  EXPECT_NEAR((most + 2)->numbers.at("far_end_mm"), std::hypot(60, 240) * half_deg, 1e-6);
}

// All the ways to read an angle, a rotation and a radius, and legs to faces.
TEST(TapedToml, EveryReading) {
  const auto file = read(R"(
legs_to = "outside"
radius_is = "die"
legs = [
  { length = "340 mm", to = "straight" },
  { length = 252.5, from = "straight" },
  { length = 325, to = "corner" },
  { length = 190, from = "straight" },
]
bends = [
  { levels = [-10, 80], radius = 72.5, radius_to = "outside" },
  { triangle = [300, 300, 424.264], plane_levels = [2, 92], radius = 60 },
  { included = 90, leg_level = 30, past_upright = true, chord = 84.853, rise = 17.574 },
]
[measured.errors]
tape = 0.5
protractor = 0.25
)");
  ASSERT_TRUE(file.ok()) << file.failure().text();
  const auto& rows = file->part.table.rows();
  ASSERT_EQ(rows.size(), 3u);
  EXPECT_TRUE(file->part.radii_are_die);
  EXPECT_NEAR(rows[0].angle.deg(), 90, 1e-9);
  EXPECT_NEAR(rows[0].radius_mm, 60, 1e-9);
  EXPECT_NEAR(rows[0].straight_mm, 340, 1e-9);
  EXPECT_NEAR(rows[1].angle.deg(), 90, 1e-3);
  EXPECT_NEAR(rows[1].rotation.deg(), 90, 1e-9);
  EXPECT_NEAR(rows[1].straight_mm, 180, 0.01);
  EXPECT_NEAR(rows[2].rotation.deg(), 150, 1e-6);
  EXPECT_NEAR(rows[2].radius_mm, 60, 0.01);
  EXPECT_NEAR(rows[2].straight_mm, 325 - 72.5 - 60, 0.02);
}

// What is missing, given twice or cannot be is refused at its place.
TEST(TapedToml, Refusals) {
  const std::string legs = "legs = [{ length = 340 }, { length = 180 }]\n";
  EXPECT_EQ(code("radius = 60\nbends = [{ angle = 90 }]\n"), "key.missing");
  EXPECT_EQ(code(legs + "bends = [{ angle = 90 }]\n"), "part.radius");
  EXPECT_EQ(code(legs + "radius = 60\nchord = 50\nbends = [{ angle = 90 }]\n"), "key.missing");
  EXPECT_EQ(code(legs + "radius = 60\nchord = 50\nrise = 5\nbends = [{ angle = 90 }]\n"),
            "part.radius");
  EXPECT_EQ(code(legs + "radius = 60\nbends = [{ rotation = 10, angle = 90 }]\n"), "key.value");
  EXPECT_EQ(code(legs + "radius = 60\nbends = [{ angle = 90, levels = [0, 90] }]\n"), "key.value");
  EXPECT_EQ(code(legs + "radius = 60\nbends = [{ }]\n"), "key.missing");
  EXPECT_EQ(code(legs + "radius = 60\nbends = [{ levels = [0] }]\n"), "key.value");
  EXPECT_EQ(code(legs + "radius = 60\nbends = [{ triangle = [1, 2] }]\n"), "key.value");
  EXPECT_EQ(code(legs + "radius = 60\nbends = [{ triangle = [1, 2, 9] }]\n"), "taped.triangle");
  EXPECT_EQ(code(legs + "radius = 60\nangel = 3\nbends = [{ angle = 90 }]\n"), "key.unknown");
  EXPECT_EQ(code("radius = 60\nlegs = [{ length = 340 }]\nbends = [{ angle = 90 }]\n"),
            "taped.legs");
  EXPECT_EQ(code(legs + "radius = 60\nbends = [{ angle = 90 }]\n[measured.errors]\ntape = -1\n"),
            "key.value");
  const auto part = read(legs + "radius = 60\nlegs_to = \"corner\"\nbends = [{ angle = 170 }]\n");
  EXPECT_EQ(part.failure().code, "taped.reach");
  EXPECT_NE(part.failure().where.find("leg 1"), std::string::npos);
  EXPECT_EQ(code(std::string(kSample) + "[line]\ncorners = [[0,0,0],[1,0,0]]\n"), "part.line");
}

}  // namespace
}  // namespace bight::exchange
