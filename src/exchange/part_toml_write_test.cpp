#include "exchange/part_toml_write.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <filesystem>

#include "exchange/part_toml.h"
#include "exchange/sample_lines_test_util.h"

namespace bight::exchange {
namespace {

using part::Part;

PartFile read(const std::string& text) {
  auto file = read_part(text, "written.toml");
  EXPECT_TRUE(file.ok()) << file.failure().text() << "\n" << text;
  return std::move(file).value();
}

// Every field of a part but what reading it brought up.
void expect_same(const Part& a, const Part& b) {
  EXPECT_EQ(a.name, b.name);
  EXPECT_EQ(a.revision, b.revision);
  EXPECT_EQ(a.customer, b.customer);
  EXPECT_EQ(a.drawing, b.drawing);
  EXPECT_EQ(a.note, b.note);
  EXPECT_EQ(a.hand, b.hand);
  EXPECT_EQ(a.quantity, b.quantity);
  EXPECT_EQ(a.tube_text, b.tube_text);
  EXPECT_TRUE(a.section == b.section);
  EXPECT_TRUE(a.material == b.material);
  EXPECT_EQ(a.welded, b.welded);
  EXPECT_EQ(a.radii_are_die, b.radii_are_die);
  EXPECT_EQ(a.end_a.trim_mm, b.end_a.trim_mm);
  EXPECT_EQ(a.end_a.detail, b.end_a.detail);
  EXPECT_EQ(a.end_b.trim_mm, b.end_b.trim_mm);
  EXPECT_EQ(a.end_b.detail, b.end_b.detail);
  EXPECT_EQ(a.tolerance.length_mm, b.tolerance.length_mm);
  EXPECT_EQ(a.tolerance.angle, b.tolerance.angle);
  EXPECT_EQ(a.rules, b.rules);
  EXPECT_EQ(a.start.origin_mm, b.start.origin_mm);
  EXPECT_EQ(a.start.ahead, b.start.ahead);
  EXPECT_EQ(a.start.inward, b.start.inward);
  ASSERT_EQ(a.table.num_bends(), b.table.num_bends());
  EXPECT_EQ(a.table.last_straight_mm(), b.table.last_straight_mm());
  for (std::size_t i = 0; i < a.table.num_bends(); ++i) {
    const geometry::BendRow& p = a.table.rows()[i];
    const geometry::BendRow& q = b.table.rows()[i];
    EXPECT_EQ(p.straight_mm, q.straight_mm);
    EXPECT_EQ(p.radius_mm, q.radius_mm);
    // No number of degrees need give just this angle: the last digit of a double may differ.
    EXPECT_NEAR(p.angle.rad(), q.angle.rad(), 1e-15);
    EXPECT_NEAR(p.rotation.rad(), q.rotation.rad(), 1e-15);
  }
}

// Every part of the demo shop is the same part after writing and reading, in either unit, and what
// is written twice is written alike.
TEST(PartTomlWrite, DemoPartsComeBack) {
  std::size_t num = 0;
  for (const auto& entry : std::filesystem::directory_iterator(
           std::filesystem::path(BIGHT_SOURCE_DIR) / "examples/fenwater/parts")) {
    const auto file = read_part_file(entry.path().string());
    ASSERT_TRUE(file.ok()) << file.failure().text();
    SCOPED_TRACE(entry.path().filename().string());
    for (const auto unit : {base::LengthUnit::kMillimetre, base::LengthUnit::kInch}) {
      const std::string text = part_toml(file->part, unit);
      const PartFile back = read(text);
      EXPECT_EQ(back.unit, unit);
      expect_same(file->part, back.part);
      EXPECT_EQ(part_toml(back.part, unit), text);
    }
    ++num;
  }
  EXPECT_GE(num, 8u);
}

// Everything a part file can say at once: quotes and control characters in texts, a certificate
// with n alone, the hard way, its own corner radius, tolerances, rules, die radii, inches.
TEST(PartTomlWrite, EverythingComesBack) {
  const PartFile file = read(R"(
schema = 1
name = "Rail \"bow\" \\ 1\ttab\u0007"
revision = "B"
customer = "Osier Boatyard"
drawing = "FRF-1"
note = "é ½ 24°"
hand = "right"
quantity = 7
units = "in"
rules = ["ship-piping"]
[tube]
height = "50 mm"
width = 1.1811
wall = 0.0787
corner_radius = "3.3 mm"
way = "hard"
seam = "seamless"
material = "304L annealed"
[tube.certificate]
heat = "S1"
rp02_mpa = 260.5
rm_mpa = 590
elongation_pct = 55.3
youngs_gpa = 196
n = 0.41
[line]
radius_is = "die"
bends = [{ straight = 4.1, rotation = 0, angle = 33.3, radius = 5 },
         { straight = "1-7/8 in", rotation = -170, included = 100, radius = 6 }]
last = 3
start = { at = [1.1, 2, 3], ahead = [0, 0.6, 0.8], inward = [1, 0, 0] }
[ends]
a = { detail = "flare", trim = 0.1 }
b = { trim = 0.3 }
[tolerance]
length = 0.03
angle = 0.5
)");
  for (const auto unit : {base::LengthUnit::kMillimetre, base::LengthUnit::kInch}) {
    expect_same(file.part, read(part_toml(file.part, unit)).part);
    const auto document = read_part(document_of(part_document(file.part, unit), "part"));
    ASSERT_TRUE(document.ok()) << document.failure().text();
    expect_same(file.part, document->part);
  }
}

// Bars, square bar and tube of no listed size come back by their dimensions.
TEST(PartTomlWrite, SectionsComeBack) {
  for (const char* tube :
       {"od = 20\nsolid = true", "height = 50\nwidth = 10\nsolid = true\nway = \"hard\"",
        "od = 33.33\nwall = 1.23", "size = \"40x20x2\"\ncorner_radius = 4.5",
        "size = \"40x20x2\"\nway = \"hard\"", "size = \"1-1/2 sch 40 pipe\""}) {
    SCOPED_TRACE(tube);
    const PartFile file = read(std::string("schema = 1\nname = \"x\"\n[tube]\n") + tube +
                               "\nmaterial = \"304L annealed\"\n[line]\nbends = []\nlast = 100\n");
    expect_same(file.part, read(part_toml(file.part)).part);
  }
}

// Any table comes back to the last digit.
RC_GTEST_PROP(PartTomlWriteProperty, TablesComeBack, ()) {
  Part part = read(
                  "schema = 1\nname = \"x\"\n[tube]\nod = 25\nwall = 1.5\n"
                  "material = \"304L annealed\"\n[line]\nbends = []\nlast = 100\n")
                  .part;
  part.table = *sample::any_table();
  const bool inch = *rc::gen::arbitrary<bool>();
  const Part back =
      read(part_toml(part, inch ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre)).part;
  RC_ASSERT(back.table == part.table);
}

}  // namespace
}  // namespace bight::exchange
