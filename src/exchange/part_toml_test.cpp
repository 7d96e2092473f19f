#include "exchange/part_toml.h"

#include <gtest/gtest.h>

#include "geometry/centreline.h"

namespace bight::exchange {
namespace {

constexpr const char* kHead =
    "name = \"Rail\"\n[tube]\nod = 25\nwall = 1.5\nmaterial = \"316L annealed\"\n";

std::string code(const std::string& text) {
  const base::Result<PartFile> part = read_part(text, "p.toml");
  return part.ok() ? "ok" : part.failure().code;
}

TEST(PartToml, ReadsAWholePart) {
  const PartFile file = *read_part(R"(
schema = 1
name = "Pulpit rail, port"
revision = "A"
customer = "Somebody"
drawing = "D-1"
note = "n"
hand = "left"
quantity = 4
units = "mm"
rules = ["x"]
[tube]
size = "25 x 1.5"
material = "316L annealed"
seam = "seamless"
[tube.certificate]
heat = "S118"
rp02_mpa = 230
rm_mpa = 560
elongation_pct = 48
[line]
corners = [[0,0,0],[400,0,0],[400,300,0],[400,300,250]]
radius = 60
[ends]
a = { trim = 5, detail = "foot" }
[tolerance]
length = 1
angle = 0.5
)",
                                   "p.toml");
  const part::Part& part = file.part;
  EXPECT_EQ(part.name, "Pulpit rail, port");
  EXPECT_EQ(part.hand, part::Hand::kLeft);
  EXPECT_EQ(part.quantity, 4);
  EXPECT_EQ(part.section, *stock::Section::round_tube(25, 1.5));
  EXPECT_EQ(part.material.heat, "S118");
  EXPECT_DOUBLE_EQ(part.material.yield_mpa.value, 230);
  EXPECT_EQ(part.material.yield_mpa.provenance, stock::Provenance::kMillCertificate);
  EXPECT_FALSE(part.welded);
  EXPECT_DOUBLE_EQ(part.end_a.trim_mm, 5);
  EXPECT_DOUBLE_EQ(*part.tolerance.length_mm, 1);
  ASSERT_EQ(part.table.num_bends(), 2u);
  EXPECT_NEAR(part.table.rows()[0].straight_mm, 340, 1e-9);
  EXPECT_NEAR(part.table.developed_length_mm(), 898.4955592, 1e-6);
}

// Inches throughout, and a single millimetre length among them.
TEST(PartToml, MixedUnits) {
  const PartFile file = *read_part(
      "name = \"x\"\nunits = \"in\"\n[tube]\nod = 1.5\nwall = \"1.65 mm\"\n"
      "material = \"1020 DOM\"\n[line]\nbends = [{straight = 12, angle = 90}]\nlast = \"304.8 "
      "mm\"\n"
      "radius = 6",
      "p.toml");
  EXPECT_EQ(file.unit, base::LengthUnit::kInch);
  EXPECT_DOUBLE_EQ(file.part.section.height_mm(), 38.1);
  EXPECT_DOUBLE_EQ(file.part.section.wall_mm(), 1.65);
  EXPECT_NEAR(file.part.table.developed_length_mm() / 25.4, 33.4248, 1e-4);
}

TEST(PartToml, RefusesWhatCannotBeRead) {
  EXPECT_EQ(code(""), "toml.empty");
  EXPECT_EQ(code("name = \"x\""), "key.missing");
  EXPECT_EQ(code("schema = 2\nname = \"x\""), "part.schema");
  EXPECT_EQ(code(std::string(kHead) + "[line]\nradius = 50"), "part.line");
  EXPECT_EQ(code(std::string(kHead) +
                 "[line]\ncorners = [[0,0,0],[9,0,0],[9,9,0]]\nlast = 3\nbends = []\nradius = 2"),
            "part.line");
  EXPECT_EQ(code("surprise = 1\n" + std::string(kHead) +
                 "[line]\ncorners = [[0,0,0],[900,0,0],[900,900,0]]\nradius = 75"),
            "key.unknown");
  EXPECT_EQ(code("quantity = 0\n" + std::string(kHead) +
                 "[line]\ncorners = [[0,0,0],[900,0,0],[900,900,0]]\nradius = 75"),
            "key.value");
  EXPECT_EQ(
      code(std::string(kHead) + "[line]\ncorners = [[0,0,0],[900,0,0],[900,900,0]]\nradius = 75\n"
                                "[ends]\na = {trim = -3}"),
      "key.value");
}

// A part document says the same as its file, and complains by key path.
TEST(PartToml, Documents) {
  const std::string text =
      std::string(kHead) + "[line]\ncorners = [[0,0,0],[\"900 mm\",0,0],[900,900,0]]\nradius = 75";
  const Document document = document_of(parse_toml(text, "p.toml")->value, "part");
  EXPECT_TRUE(read_part(document)->part.table == read_part(text, "p.toml")->part.table);
  Document wrong = document;
  wrong.value["line"]["corners"][2][1] = "wide";
  EXPECT_EQ(read_part(wrong).failure().where, "line.corners[2][1]");
  EXPECT_EQ(read_part(wrong).failure().code, "length.text");
  wrong.value["tube"]["size"] = "25 x 1.5";
  EXPECT_EQ(read_part(wrong).failure().where, "tube.od");
}

TEST(PartToml, MissingFileIsSaid) {
  EXPECT_EQ(read_part_file("no-such-part.toml").failure().code, "file.missing");
}

}  // namespace
}  // namespace bight::exchange
