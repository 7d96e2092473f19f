// Files of our own writer, read by Open CASCADE itself and by our reader.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <sstream>

#include "exchange/step_write.h"
#include "reader/made_files.h"
#include "reader/recover.h"
#include "reader/step_scan.h"

namespace bight::reader {
namespace {

using base::Angle;
using exchange::StepUnit;
using geometry::BendRow;
using geometry::BendTable;
using stock::Section;

std::string scratch(const std::string& name) {
  const auto folder = std::filesystem::temp_directory_path() / "bight_reader_test";
  std::filesystem::create_directories(folder);
  return folder / (name + ".step");
}

BendRow row(double straight_mm, double rotation_deg, double angle_deg, double radius_mm) {
  return {straight_mm, Angle::degrees(rotation_deg), Angle::degrees(angle_deg), radius_mm};
}

base::Result<exchange::StepReading> read(const std::string& text) {
  std::istringstream stream(text);
  auto scan = scan_step(stream);
  if (!scan.ok()) return scan.failure();
  return recover(std::move(scan).value());
}

struct Case {
  std::string name;
  Section section;
  BendTable table;
};

std::vector<Case> cases() {
  const Section round = *Section::round_tube(38.1, 1.65);
  const Section rect = *Section::rect_tube(40, 25, 2, 5);
  const BendTable bent = *BendTable::make(
      {row(221.9, 0, 50.19, 60), row(161.5, 111.01, 73.36, 60), row(160.9, -29.56, 79.79, 75)},
      240);
  const BendTable quarter_turns =
      *BendTable::make({row(100, 0, 90, 80), row(0, 90, 200, 90), row(60, 180, 45, 80)}, 120);
  return {{"tube", round, bent},
          {"bar", *Section::round_bar(20), bent},
          {"straight", round, *BendTable::make({}, 500)},
          {"u", round, *BendTable::make({row(100, 0, 180, 60)}, 80)},
          {"most_of_a_turn", round, *BendTable::make({row(0, 0, 300, 160)}, 0)},
          {"no_straights", round, *BendTable::make({row(0, 0, 90, 60), row(0, 70, 90, 60)}, 0)},
          {"rect", rect, quarter_turns},
          {"rect_sharp", *Section::rect_tube(40, 25, 2, 0), quarter_turns},
          {"rect_sharp_bore", *Section::rect_tube(40, 25, 3, 2), quarter_turns},
          {"rect_bar", *Section::rect_bar(30, 12), quarter_turns},
          {"square", *Section::rect_tube(30, 30, 2, 4), quarter_turns}};
}

// Open CASCADE reads the file as one valid solid whose volume is section area times centreline
// length (Pappus, exact for arcs), with one curve as long as the centreline, name and unit kept.
TEST(WrittenFile, IsExactForTheKernel) {
  for (const Case& one : cases()) {
    for (const StepUnit unit : {StepUnit::kMillimetre, StepUnit::kInch}) {
      const std::string path = scratch("written_" + one.name);
      geometry::Frame start;
      start.origin_mm = {5, -20, 300};
      const auto line = geometry::lay_out(one.table, start);
      const auto done =
          exchange::write_step(path, one.section, line, {.name = "Bracket 7 'left'", .unit = unit});
      ASSERT_TRUE(done.ok()) << done.failure().text();
      const made::KernelView view = made::kernel_view(path);
      EXPECT_TRUE(view.valid) << one.name;
      EXPECT_EQ(view.num_solids, 1U) << one.name;
      const double length_mm = one.table.developed_length_mm();
      const double volume_mm3 = one.section.area_mm2() * length_mm;
      EXPECT_NEAR(view.volume_mm3 / volume_mm3, 1.0, 1e-9) << one.name;
      EXPECT_GT(view.num_free_edges, 0U) << one.name;
      EXPECT_NEAR(view.free_length_mm, length_mm, 1e-6 * length_mm) << one.name;
      EXPECT_EQ(view.name, "Bracket 7 'left'");
      EXPECT_EQ(view.unit, unit == StepUnit::kInch ? "INCH" : "millimetre") << one.name;
    }
  }
}

// Our own reader gets section, table and place back.
TEST(WrittenFile, RoundTrip) {
  for (const Case& one : cases()) {
    geometry::Frame start;
    start.origin_mm = {5, -20, 3};
    const auto line = geometry::lay_out(one.table, start);
    const auto text = exchange::step_text(one.section, line);
    ASSERT_TRUE(text.ok()) << text.failure().text();
    const auto reading = read(*text);
    ASSERT_TRUE(reading.ok()) << one.name << ": " << reading.failure().text();
    EXPECT_EQ(reading->section.text(), one.section.text()) << one.name;
    const bool swapped = line.start_mm().norm() > line.end_mm().norm();
    const BendTable expected = swapped ? one.table.reversed() : one.table;
    ASSERT_EQ(reading->table.num_bends(), expected.num_bends()) << one.name;
    for (std::size_t i = 0; i < expected.num_bends(); ++i) {
      const BendRow& got = reading->table.rows()[i];
      const BendRow& wanted = expected.rows()[i];
      EXPECT_NEAR(got.straight_mm, wanted.straight_mm, 1e-6) << one.name;
      EXPECT_NEAR((got.rotation - wanted.rotation).wrapped().deg(), 0.0, 1e-6) << one.name;
      EXPECT_NEAR(got.angle.deg(), wanted.angle.deg(), 1e-6) << one.name;
      EXPECT_NEAR(got.radius_mm, wanted.radius_mm, 1e-6) << one.name;
    }
    EXPECT_NEAR(reading->table.last_straight_mm(), expected.last_straight_mm(), 1e-6) << one.name;
    EXPECT_LT(reading->deviation_max_mm, 1e-6) << one.name;
  }
}

// Any sensible tube survives being written and read: the centreline lies where it lay.
RC_GTEST_PROP(WrittenFile, AnyTubeRoundTrips, ()) {
  const auto number = [](double low, double high) {
    return low + (high - low) * *rc::gen::inRange(0, 10001) / 10000.0;
  };
  const int num_bends = *rc::gen::inRange(0, 7);
  std::vector<BendRow> rows;
  for (int i = 0; i < num_bends; ++i) {
    rows.push_back(row(number(0, 1) < 0.2 ? 0.0 : number(5, 300), i == 0 ? 0 : number(-180, 180),
                       number(2, 170), number(40, 200)));
  }
  const auto table = BendTable::make(rows, number(5, 300));
  RC_PRE(table.ok());
  geometry::Frame start;
  start.origin_mm = {number(-500, 500), number(-500, 500), number(-500, 500)};
  const auto line = geometry::lay_out(*table, start);
  const auto section = Section::round_tube(number(6, 60), number(0.5, 2.5));
  RC_PRE(section.ok());
  RC_PRE(num_bends > 0 || line.length_mm() > section->height_mm());
  const auto text = exchange::step_text(*section, line);
  RC_ASSERT(text.ok());
  const auto reading = read(*text);
  RC_ASSERT(reading.ok());
  RC_ASSERT(reading->table.num_bends() == table->num_bends());
  const auto back = geometry::lay_out(reading->table, reading->start);
  const bool swapped = (back.start_mm() - line.start_mm()).norm() > 1.0;
  RC_ASSERT((back.start_mm() - (swapped ? line.end_mm() : line.start_mm())).norm() < 1e-6);
  RC_ASSERT((back.end_mm() - (swapped ? line.start_mm() : line.end_mm())).norm() < 1e-6);
  RC_ASSERT(std::abs(back.length_mm() - line.length_mm()) < 1e-6);
  RC_ASSERT(std::abs(reading->section.wall_mm() - section->wall_mm()) < 2e-6);
}

}  // namespace
}  // namespace bight::reader
