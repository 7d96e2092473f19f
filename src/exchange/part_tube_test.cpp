#include "exchange/part_tube.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

base::Result<Tube> tube(const std::string& text) {
  const Document document = parse_toml(text, "p.toml").value();
  return read_tube(Fields(document));
}

std::string code(const std::string& text) {
  const base::Result<Tube> read = tube(text);
  return read.ok() ? "ok" : read.failure().code;
}

constexpr const char* kSteel = "\nmaterial = \"S235JRH\"";

// 1-1/2 pipe is 48.3 outside, 1-1/2 tube 38.1, and reading the part says so (ASME B36.10M; trade).
TEST(PartTubeReference, PipeAndTube) {
  const Tube pipe = *tube(std::string("size = \"1-1/2 sch 40 pipe\"") + kSteel);
  EXPECT_NEAR(pipe.section.height_mm(), 48.3, 1e-9);
  EXPECT_NEAR(pipe.section.wall_mm(), 3.68, 1e-9);
  bool said = false;
  for (const part::Finding& f : pipe.findings) {
    said = said || f.message.find("38.1") != std::string::npos;
  }
  EXPECT_TRUE(said);
  const Tube round = *tube(std::string("size = \"1-1/2 x .065 tube\"") + kSteel);
  EXPECT_NEAR(round.section.height_mm(), 38.1, 1e-9);
}

// Rectangular stock lies easy way unless told: the smaller side in the plane of bending.
TEST(PartTube, EasyAndHardWay) {
  EXPECT_DOUBLE_EQ(tube(std::string("size = \"40x20x2\"") + kSteel)->section.height_mm(), 20);
  EXPECT_DOUBLE_EQ(
      tube(std::string("size = \"40x20x2\"\nway = \"hard\"") + kSteel)->section.height_mm(), 40);
  EXPECT_DOUBLE_EQ(tube(std::string("height = 20\nwidth = 40\nwall = 2\nway = \"hard\"") + kSteel)
                       ->section.height_mm(),
                   40);
}

TEST(PartTube, OwnDimensions) {
  EXPECT_EQ(tube(std::string("od = 38.1\nwall = 1.65") + kSteel)->section,
            *stock::Section::round_tube(38.1, 1.65));
  EXPECT_EQ(tube(std::string("od = 20\nsolid = true") + kSteel)->section,
            *stock::Section::round_bar(20));
  EXPECT_EQ(tube(std::string("height = 10\nwidth = 50\nsolid = true") + kSteel)->section,
            *stock::Section::rect_bar(10, 50));
  EXPECT_FALSE(tube(std::string("od = 20\nsolid = true") + kSteel)->welded);
  EXPECT_DOUBLE_EQ(tube(std::string("size = \"40x20x2\"\ncorner_radius = 3") + kSteel)
                       ->section.corner_radius_mm(),
                   3);
}

TEST(PartTube, RefusesNonsense) {
  EXPECT_EQ(code(kSteel), "part.tube");
  EXPECT_EQ(code(std::string("size = \"25 x 1.5\"\nod = 25") + kSteel), "part.tube");
  EXPECT_EQ(code(std::string("od = 25") + kSteel), "part.tube");
  EXPECT_EQ(code(std::string("od = 25\nwall = 2\nsolid = true") + kSteel), "part.tube");
  EXPECT_EQ(code(std::string("od = 25\nwall = 12.5") + kSteel), "section.wall");
  EXPECT_EQ(code("od = 25\nwall = 2"), "key.missing");
  EXPECT_EQ(code("od = 25\nwall = 2\nmaterial = \"unobtainium\""), "metal.unknown");
  EXPECT_EQ(code(std::string("od = 25\nwall = 2\n[certificate]\nrp02_mpa = 900\nrm_mpa = 300\n")),
            "key.missing");
  EXPECT_EQ(code(std::string("od = 25\nwall = 2") + kSteel +
                 "\n[certificate]\nrp02_mpa = 900\nrm_mpa = 300\n"),
            "material.certificate");
  EXPECT_EQ(code(std::string("size = \"wide\"") + kSteel), "stock.word");
}

}  // namespace
}  // namespace bight::exchange
