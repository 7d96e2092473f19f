#include "exchange/read_any.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>

#include "exchange/cloud_bytes_test_util.h"
#include "exchange/dxf_text_test_util.h"
#include "exchange/dxf_write.h"
#include "exchange/table_json.h"
#include "geometry/scan_maker_test_util.h"

namespace bight::exchange {
namespace {

std::string scratch(const std::string& name, const std::string& text) {
  const std::string path = ::testing::TempDir() + name;
  std::ofstream(path, std::ios::binary) << text;
  return path;
}

const Line& a_line() {
  static const Line line{
      *geometry::BendTable::make({{100, base::Angle(), base::Angle::degrees(90), 50}}, 80),
      geometry::Frame(),
      false,
      {}};
  return line;
}

const char* const kTable = "X mm,Y mm,CLR mm\n0,0,\n150,0,50\n150,130,\n";

// A file is read by what it holds, whatever it is called; tables go by any name.
TEST(ReadAny, KnowsContent) {
  const std::string dxf = dxf_centreline(a_line().table, a_line().start);
  const std::string json = bends_json(a_line(), "Rail").dump();
  for (const auto& [name, text, format] : {std::tuple{"a.dxf", dxf, "dxf"},
                                           {"a.txt", dxf, "dxf"},
                                           {"a.json", json, "json"},
                                           {"b.txt", json, "json"},
                                           {"a.csv", std::string(kTable), "table"},
                                           {"paste", std::string(kTable), "table"}}) {
    const auto any = read_any(scratch(name, text));
    ASSERT_TRUE(any.ok()) << name << any.failure().text();
    EXPECT_EQ(any->format, format) << name;
    ASSERT_TRUE(any->line.has_value()) << name;
    EXPECT_NEAR(any->line->table.rows()[0].straight_mm, 100.0, 1e-9) << name;
    EXPECT_FALSE(any->part.has_value());
  }
  EXPECT_EQ(read_any(scratch("a.json", json))->name, "Rail");
  EXPECT_EQ(read_any(scratch("a.csv", kTable))->name, "a");
}

// Told which format it is, the reader does as told.
TEST(ReadAny, DoesAsTold) {
  ReadOptions options;
  options.format = "json";
  EXPECT_EQ(read_any(scratch("a.csv", kTable), options).failure().code, "json.syntax");
  options.format = "stone";
  EXPECT_EQ(read_any(scratch("a.csv", kTable), options).failure().code, "input.format");
  EXPECT_EQ(read_any("no/such/file.csv").failure().code, "file.missing");
  const auto names = readable_formats();
  EXPECT_NE(std::find(names.begin(), names.end(), "dxf"), names.end());
}

// With a tube from the options a centreline becomes a part; without, the lack is named.
TEST(ReadAny, CompletesThePart) {
  const std::string path = scratch("c.csv", kTable);
  ReadOptions options;
  EXPECT_EQ(whole_part(*read_any(path), path).failure().code, "input.tube");
  options.tube.od = "25";
  options.tube.wall = "1.5";
  const auto sized = read_any(path, options);
  ASSERT_TRUE(sized.ok()) << sized.failure().text();
  EXPECT_EQ(sized->size->section.height_mm(), 25.0);
  EXPECT_EQ(whole_part(*sized, path).failure().code, "input.tube");
  options.tube.material = "304L annealed";
  const auto whole = read_any(path, options);
  ASSERT_TRUE(whole.ok()) << whole.failure().text();
  const auto part = whole_part(*whole, path);
  ASSERT_TRUE(part.ok());
  EXPECT_EQ(part->part.name, "c");
  EXPECT_EQ(part->part.material.name, "304L annealed");
  options.tube.size = "no such tube";
  EXPECT_FALSE(read_any(path, options).ok());
}

// A radius to the inside is settled by the tube's size.
TEST(ReadAny, GivesTheReaderTheTube) {
  const std::string path =
      scratch("d.csv", "X mm,Y mm,Inside radius mm\n0,0,\n150,0,50\n150,130,\n");
  EXPECT_EQ(read_any(path).failure().code, "table.inside-radius");
  ReadOptions options;
  options.tube.od = "30";
  options.tube.wall = "2";
  EXPECT_DOUBLE_EQ(read_any(path, options)->line->table.rows()[0].radius_mm, 65.0);
}

// A part file is whole by itself, and does not take a second tube.
TEST(ReadAny, ReadsPartFiles) {
  const std::string path =
      std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater/parts/rack-upright.toml";
  const auto any = read_any(path);
  ASSERT_TRUE(any.ok()) << any.failure().text();
  EXPECT_EQ(any->format, "part");
  EXPECT_EQ(whole_part(*any, path)->part.name, "Rack upright");
  ReadOptions options;
  options.tube.size = "25 x 1.5";
  EXPECT_EQ(read_any(path, options).failure().code, "input.tube");
}

// A file that knows its tube takes its metal from the options, and no second size.
TEST(ReadAny, CompletesATubeTheFileKnows) {
  const stock::Section box = *stock::Section::rect_tube(40, 20, 2, 5);
  LineReading reading;
  reading.line = a_line();
  ReadOptions options;
  options.tube.material = "304L annealed";
  const auto any = any_of_line(reading, TubeSize{box.text(), box, {}}, options);
  ASSERT_TRUE(any.ok()) << any.failure().text();
  ASSERT_TRUE(any->part.has_value());
  EXPECT_TRUE(any->part->section == box);
  const stock::Section bar = *stock::Section::round_bar(16);
  EXPECT_TRUE(any_of_line(reading, TubeSize{bar.text(), bar, {}}, options)->part->section == bar);
  options.tube.size = "25 x 1.5";
  EXPECT_EQ(any_of_line(reading, TubeSize{bar.text(), bar, {}}, options).failure().code,
            "input.tube");
}

// Questions come through with no line.
TEST(ReadAny, PassesQuestionsOn) {
  const auto any = read_any(scratch("e.csv", "X,Y,CLR\n0,0,\n150,0,50\n150,130,\n"));
  ASSERT_TRUE(any.ok());
  ASSERT_EQ(any->questions.size(), 1u);
  EXPECT_EQ(any->questions[0].code, "ask.units");
  EXPECT_FALSE(any->line.has_value());
}

// Turned round, a note names the place of the end that now is A, and no other note contradicts it.
TEST(ReadAny, SwappedEndsAreNamed) {
  ReadOptions options;
  options.swap_ends = true;
  const auto any =
      read_any(scratch("swap.dxf", sample::dxf_drawing(sample::dxf_line(0, 0, 80, 0) +
                                                       sample::dxf_arc(80, 20, 20, 270, 0) +
                                                       sample::dxf_line(100, 20, 100, 80))),
               options);
  ASSERT_TRUE(any.ok()) << any.failure().text();
  EXPECT_NEAR(any->line->table.straight_mm(0), 60, 1e-9);
  int named = 0;
  for (const part::Finding& f : any->line->findings) {
    if (f.message.find("end A") == std::string::npos) continue;
    EXPECT_NE(f.message.find("end A is now at (100, 80, 0)"), std::string::npos) << f.message;
    ++named;
  }
  EXPECT_EQ(named, 1);
}

// A scan asks for its unit, takes the diameter from the tube, and becomes a part like any file.
TEST(ReadAny, Scans) {
  geometry::made::Scan made_scan;
  made_scan.num = 8000;
  const std::string path =
      scratch("s.ply", made::ply(geometry::made::scanned({{{220, 0, 60, 60}}, 150, 25}, made_scan),
                                 {}, made::Ply::kLittle));
  const auto asked = read_any(path);
  ASSERT_TRUE(asked.ok()) << asked.failure().text();
  EXPECT_EQ(asked->format, "scan");
  ASSERT_EQ(asked->questions.size(), 1u);
  ReadOptions options;
  options.line.answers["units"] = "mm";
  options.tube = {"", "25", "1.5", "304L annealed"};
  options.swap_ends = true;
  const auto any = read_any(path, options);
  ASSERT_TRUE(any.ok()) << any.failure().text();
  ASSERT_TRUE(any->part.has_value());
  EXPECT_NEAR(any->part->table.straight_mm(0), 150, 0.5);
  options.tube = {"40x20x2", "", "", ""};
  EXPECT_EQ(read_any(path, options).failure().code, "input.tube");
}

}  // namespace
}  // namespace bight::exchange
