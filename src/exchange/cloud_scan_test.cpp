#include "exchange/cloud_scan.h"

#include <gtest/gtest.h>

#include "exchange/cloud_bytes_test_util.h"
#include "exchange/stl_write.h"
#include "exchange/tube_mesh.h"
#include "geometry/scan_maker_test_util.h"

namespace bight::exchange {
namespace {

using base::Angle;

const geometry::made::Tube kTube{{{220, 0, 60, 60}, {120, 110, 80, 60}}, 150, 25};

geometry::Points points(std::size_t num = 8000) {
  geometry::made::Scan scan;
  scan.num = num;
  return geometry::made::scanned(kTube, scan);
}

ScanReading read(const std::string& bytes, const ScanOptions& options) {
  const auto cloud = read_cloud(bytes, "a");
  EXPECT_TRUE(cloud.ok()) << cloud.failure().text();
  const auto reading = read_scan(*cloud, "a", options);
  EXPECT_TRUE(reading.ok()) << reading.failure().text();
  return *reading;
}

void expect_tube(const ScanReading& reading, double tolerance_mm) {
  ASSERT_TRUE(reading.fit.has_value());
  ASSERT_EQ(reading.table().num_bends(), 2u);
  EXPECT_NEAR(reading.table().straight_mm(0), 220, tolerance_mm);
  EXPECT_NEAR(reading.table().straight_mm(1), 120, tolerance_mm);
  EXPECT_NEAR(reading.table().straight_mm(2), 150, tolerance_mm);
  EXPECT_NEAR(reading.table().rows()[0].angle.deg(), 60, 0.1);
  EXPECT_NEAR(reading.table().rows()[1].rotation.deg(), 110, 0.2);
  EXPECT_NEAR(reading.od_mm(), 25, 0.05);
}

bool has(const ScanReading& reading, const std::string& code) {
  for (const part::Finding& finding : reading.findings) {
    if (finding.code == code) return true;
  }
  return false;
}

ScanOptions in(const char* unit) {
  ScanOptions options;
  options.answers["units"] = unit;
  return options;
}

// The same tube through each format.
TEST(CloudScan, EveryFormat) {
  const geometry::Points cloud = points();
  expect_tube(read(made::ply(cloud, {}, made::Ply::kText), in("mm")), 0.6);
  expect_tube(read(made::ply(cloud, {}, made::Ply::kBig), in("mm")), 0.6);
  expect_tube(read(made::xyz(cloud), in("mm")), 0.6);
}

// A drawn tube's mesh, hollow and solid, coarse and fine, gives the table it was drawn from: its
// corners lie on the true skin. (Mesh by this project's own writer, which the reader does not use.)
TEST(CloudScan, MeshOfADrawing) {
  const auto table = *geometry::BendTable::make(
      {{220, Angle(), Angle::degrees(60), 60}, {120, Angle::degrees(110), Angle::degrees(80), 60}},
      150);
  for (const bool hollow : {true, false}) {
    for (const double tolerance_mm : {0.02, 0.2}) {
      const auto section =
          hollow ? *stock::Section::round_tube(25, 1.5) : *stock::Section::round_bar(25);
      const auto mesh = tube_mesh(table, geometry::Frame(), section, {tolerance_mm});
      ASSERT_TRUE(mesh.ok());
      const ScanReading reading = read(stl_bytes(*mesh, "drawn"), in("mm"));
      expect_tube(reading, 0.05);
      EXPECT_NEAR(reading.table().rows()[0].radius_mm, 60, 0.01);
      EXPECT_EQ(has(reading, "scan.inner-skin"), hollow);
    }
  }
}

// Without a unit the reader asks, and shows what the tube would be in each; an answer scales.
TEST(CloudScan, AsksForTheUnit) {
  geometry::Points inches = points();
  for (auto& p : inches) p /= 25.4;
  const ScanReading open = read(made::xyz(inches), {});
  EXPECT_FALSE(open.fit.has_value());
  ASSERT_EQ(open.questions.size(), 1u);
  EXPECT_EQ(open.questions[0].code, "ask.units");
  ASSERT_EQ(open.questions[0].choices.size(), 4u);
  EXPECT_NE(open.questions[0].choices[3].meaning.find("25 mm across"), std::string::npos)
      << open.questions[0].choices[3].meaning;
  expect_tube(read(made::xyz(inches), in("in")), 0.6);
  const auto wrong = read_scan(*read_cloud(made::xyz(inches), "a"), "a", in("furlong"));
  EXPECT_EQ(wrong.failure().code, "ask.choice");
}

// A caliper's diameter says the unit when only one fits.
TEST(CloudScan, TheDiameterSaysTheUnit) {
  geometry::Points metres = points();
  for (auto& p : metres) p /= 1000.0;
  ScanOptions options;
  options.od_mm = 25.1;
  const ScanReading reading = read(made::xyz(metres), options);
  expect_tube(reading, 0.6);
  EXPECT_TRUE(has(reading, "scan.unit"));
  options.od_mm = 48.3;
  EXPECT_EQ(read(made::xyz(metres), options).questions.size(), 1u);
}

// Nonsense is refused with the file named, not asked about.
TEST(CloudScan, NonsenseIsRefused) {
  const auto cloud = read_cloud(made::xyz(made::Points(500, geometry::Vec3(1, 2, 3))), "a.xyz");
  const auto reading = read_scan(*cloud, "a.xyz");
  ASSERT_FALSE(reading.ok());
  EXPECT_EQ(reading.failure().code, "scan.one-place");
  EXPECT_EQ(reading.failure().where, "a.xyz");
  EXPECT_EQ(read_scan_file("no/such.ply").failure().code, "file.missing");
}

}  // namespace
}  // namespace bight::exchange
