#include "exchange/measured_file.h"

#include <gtest/gtest.h>

#include "inspection/reach.h"

namespace bight::exchange {
namespace {

using base::Angle;
using geometry::BendTable;

geometry::BendRow row(double straight_mm, double rotation_deg, double angle_deg,
                      double radius_mm = 60.0) {
  return {straight_mm, Angle::degrees(rotation_deg), Angle::degrees(angle_deg), radius_mm};
}

BendTable wanted() { return *BendTable::make({row(340, 0, 90), row(180, 90, 45)}, 190); }

part::Part part(bool round = true) {
  const auto section =
      round ? stock::Section::round_tube(25, 1.5) : stock::Section::rect_tube(30, 30, 2, 3);
  return {.name = "p", .section = *section, .table = wanted()};
}

ScanReading scan_of(BendTable table) {
  ScanReading scan;
  scan.fit = geometry::TubeFit{.table = table, .od_mm = 25.0};
  scan.fit->u.assign(table.num_bends(), {0.05, Angle::degrees(0.02), Angle::degrees(0.03), 0.1});
  scan.fit->last_straight_u_mm = 0.05;
  return scan;
}

// Content decides, then the ending.
TEST(MeasuredFile, ByContent) {
  const auto read = [](const std::string& bytes, const std::string& name) {
    return read_measured_bytes(bytes, name, part(), wanted());
  };
  EXPECT_EQ(read("{\"bends\": [{\"angle\": 90}, {}]}", "any")->measured.bends.size(), 2u);
  EXPECT_EQ(read("bends = [{ angle = 90 }, {}]", "a.toml")->measured.bends.size(), 2u);
  EXPECT_EQ(read("angle\n90\n45\n", "a.csv")->measured.bends.size(), 2u);
  EXPECT_EQ(read("angle\n90\n45\n", "-")->measured.bends.size(), 2u);
  EXPECT_EQ(read("ply\nformat ascii 1.0\n", "a.csv").failure().code.substr(0, 6), "cloud.");
  EXPECT_EQ(read_measured_file("/nowhere/m.csv", part(), wanted()).failure().code, "file.missing");
  EXPECT_EQ(read_measured_bytes("0 0 0\n", "a.xyz", part(false), wanted()).failure().code,
            "measured.section");
}

// A scan is taken the way round that fits, its radii give way so that corners stay, and its own
// uncertainty is the reading error.
TEST(MeasuredFile, ScanEitherWayRound) {
  const BendTable measured = *BendTable::make({row(341, 0, 89.5), row(179, 91, 45.4)}, 190.5);
  for (const bool turned : {false, true}) {
    const auto piece =
        measured_of_scan(scan_of(turned ? measured.reversed() : measured), "s.ply", wanted());
    ASSERT_TRUE(piece.ok());
    const inspection::Measured& m = piece->measured;
    EXPECT_NEAR(*m.bends[0].straight_mm, 341, 1e-9);
    EXPECT_NEAR(m.bends[1].rotation->deg(), 91, 1e-9);
    EXPECT_NEAR(m.bends[1].angle->deg(), 45.4, 1e-9);
    EXPECT_NEAR(*m.last_straight_mm, 190.5, 1e-9);
    EXPECT_NEAR(m.error.angle.deg(), 0.06, 1e-9);
    EXPECT_NEAR(m.error.straight_mm, 0.1, 1e-9);
    EXPECT_GT(m.error.point_mm, 0.1);
  }
  // A radius larger by 2 mm at 90°: the corner stays where each straight is longer by 2 mm.
  const BendTable wider = *BendTable::make({row(338, 0, 90, 62), row(178, 90, 45)}, 190);
  const auto piece = measured_of_scan(scan_of(wider), "s.ply", wanted());
  EXPECT_NEAR(*piece->measured.bends[0].straight_mm, 340, 1e-9);
  EXPECT_NEAR(*piece->measured.bends[1].straight_mm, 180, 1e-9);
}

// A part alike from both ends says so; a scan of something else is refused; an open question is
// handed on.
TEST(MeasuredFile, ScanFindings) {
  const BendTable alike = *BendTable::make({row(200, 0, 90), row(180, 0, 90)}, 200);
  const auto piece = measured_of_scan(scan_of(alike), "s.ply", alike);
  ASSERT_FALSE(piece->findings.empty());
  EXPECT_EQ(piece->findings.back().code, "measured.ends-alike");
  const BendTable other = *BendTable::make({row(200, 0, 90)}, 200);
  EXPECT_EQ(measured_of_scan(scan_of(other), "s.ply", wanted()).failure().code, "measured.bends");
  ScanReading open;
  open.questions.push_back({"ask.units", "?", "s.ply", {}, ""});
  EXPECT_EQ(measured_of_scan(open, "s.ply", wanted())->questions.size(), 1u);
}

}  // namespace
}  // namespace bight::exchange
