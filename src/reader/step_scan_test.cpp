#include "reader/step_scan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <sstream>

#include "reader/made_files.h"
#include "reader/recover.h"

namespace bight::reader {
namespace {

std::string made_text() {
  const auto folder = std::filesystem::temp_directory_path() / "bight_reader_test";
  std::filesystem::create_directories(folder);
  made::Recipe recipe;
  recipe.rows = {{120, 0, 90, 60}};
  recipe.last_mm = 100;
  const std::string path = folder / "scan.step";
  made::write(recipe, path);
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

base::Result<Scan> scan(const std::string& text) {
  std::istringstream stream(text);
  return scan_step(stream);
}

// The plain numbers of a swept tube: face kinds, radii, one body, name, unit, schema.
TEST(StepScan, ListsFacesEdgesAndLabels) {
  const auto result = scan(made_text());
  ASSERT_TRUE(result.ok());
  ASSERT_EQ(result->bodies.size(), 1U);
  EXPECT_TRUE(result->bodies[0].solid);
  int planes = 0;
  int cylinders = 0;
  int tori = 0;
  for (const ScanFace& face : result->faces) {
    planes += face.kind == SurfaceKind::kPlane;
    if (face.kind == SurfaceKind::kCylinder) {
      ++cylinders;
      EXPECT_TRUE(std::abs(face.radius_mm - 12.5) < 1e-9 || std::abs(face.radius_mm - 10.5) < 1e-9);
      EXPECT_TRUE(face.regular);
    }
    if (face.kind == SurfaceKind::kTorus) {
      ++tori;
      EXPECT_NEAR(face.radius_mm, 60.0, 1e-9);
    }
  }
  EXPECT_EQ(planes, 2);
  EXPECT_EQ(cylinders, 4);
  EXPECT_EQ(tori, 2);
  EXPECT_NE(result->name.find("made part"), std::string::npos);
  EXPECT_EQ(result->unit, "millimetre");
  EXPECT_NE(result->schema.find("AUTOMOTIVE_DESIGN"), std::string::npos);
  EXPECT_GT(result->uncertainty_mm, 0.0);
}

// Normals point out of the material: away from the axis outside, towards it in the bore.
TEST(StepScan, NormalsPointOutOfTheMaterial) {
  const auto result = scan(made_text());
  ASSERT_TRUE(result.ok());
  for (const ScanFace& face : result->faces) {
    if (face.kind != SurfaceKind::kCylinder) continue;
    const double sign = face.radius_mm > 11.0 ? 1.0 : -1.0;
    for (const Sample& sample : face.grid) {
      const Vec3 v = sample.point_mm - face.origin_mm;
      const Vec3 flat = v - v.dot(face.axis) * face.axis;
      EXPECT_NEAR(flat.norm(), face.radius_mm, 1e-9);
      EXPECT_NEAR(sample.normal.dot(flat.normalized()), sign, 1e-9);
    }
  }
}

// Empty, foreign and damaged files are refused with a reason, never read as something else.
TEST(StepScan, RefusesWhatIsNoStep) {
  for (const std::string& text :
       {std::string(), std::string("\0\0\0\0", 4), std::string("solid ascii\nfacet normal 0 0 1\n"),
        std::string("ISO-10303-21;\n"), std::string(100000, '('), std::string(100000, '#'),
        std::string("ISO-10303-21;HEADER;ENDSEC;DATA;#1=;ENDSEC;END-ISO-10303-21;")}) {
    const auto result = scan(text);
    ASSERT_FALSE(result.ok()) << text.substr(0, 40);
    EXPECT_TRUE(result.failure().code == "step.syntax" || result.failure().code == "step.empty");
    EXPECT_FALSE(result.failure().message.empty());
  }
}

// A file without any shape is told apart from one that cannot be read.
TEST(StepScan, TellsAnEmptyFile) {
  const auto result = scan(
      "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');"
      "\n"
      "FILE_SCHEMA(('AUTOMOTIVE_DESIGN'));\nENDSEC;\nDATA;\n"
      "#1=CARTESIAN_POINT('',(0.,0.,0.));\nENDSEC;\nEND-ISO-10303-21;\n");
  ASSERT_FALSE(result.ok());
  EXPECT_EQ(result.failure().code, "step.empty");
}

// A file cut short anywhere gives a failure, or the whole tube where only the tail is missing:
// never a wrong tube.
TEST(StepScan, CutShortIsNeverAWrongTube) {
  const std::string text = made_text();
  int refused = 0;
  for (int part = 1; part < 20; ++part) {
    const auto result = scan(text.substr(0, text.size() * static_cast<std::size_t>(part) / 20));
    if (!result.ok()) {
      ++refused;
      continue;
    }
    const auto reading = recover(*result);
    if (!reading.ok()) {
      ++refused;
      continue;
    }
    EXPECT_EQ(reading->table.num_bends(), 1U);
    EXPECT_NEAR(reading->table.developed_length_mm(), 220 + 30 * std::numbers::pi, 0.01);
  }
  EXPECT_GE(refused, 15);
}

}  // namespace
}  // namespace bight::reader
