// Reads a made file and holds what comes back against its recipe. Only the tests include it.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

#include "exchange/step_reading.h"
#include "geometry/centreline.h"
#include "reader/made_files.h"
#include "reader/recover.h"
#include "reader/step_scan.h"

namespace bight::reader {

using made::Build;
using made::Cut;
using made::Recipe;
using made::Row;

// What every file of a drawing office must give back.
inline constexpr double kWithin_mm = 0.01;
inline constexpr double kWithin_deg = 0.01;

inline std::string scratch(const std::string& name) {
  const auto folder = std::filesystem::temp_directory_path() / "bight_reader_test";
  std::filesystem::create_directories(folder);
  return folder / (name + ".step");
}

inline base::Result<exchange::StepReading> read(const std::string& path, bool swap_ends = false) {
  std::ifstream file(path);
  auto scan = scan_step(file);
  if (!scan.ok()) return scan.failure();
  return recover(std::move(scan).value(), swap_ends);
}

inline bool has(const exchange::StepReading& reading, const std::string& code) {
  for (const part::Finding& finding : reading.findings) {
    if (finding.code == code) return true;
  }
  return false;
}

inline std::string all_text(const exchange::StepReading& reading) {
  std::string text;
  for (const part::Finding& finding : reading.findings) {
    text += finding.code + ": " + finding.message + "\n";
  }
  return text;
}

// Which end the stated rule calls A: nearer the origin, then smaller X, Y, Z.
inline bool starts_at_a(const made::Expected& expected) {
  double squares[2] = {};
  for (int i = 0; i < 3; ++i) {
    squares[0] += expected.start_mm[i] * expected.start_mm[i];
    squares[1] += expected.end_mm[i] * expected.end_mm[i];
  }
  return std::sqrt(squares[0]) < std::sqrt(squares[1]);
}

inline double angle_off(double a_deg, double b_deg) {
  return std::abs(std::remainder(a_deg - b_deg, 360.0));
}

// Compares row by row with the recipe, seen from the end that the rule calls A.
inline void expect_table(const exchange::StepReading& reading, const made::Expected& expected) {
  const std::size_t count = expected.rows.size();
  ASSERT_EQ(reading.table.num_bends(), count) << all_text(reading);
  const bool forward = starts_at_a(expected);
  for (std::size_t i = 0; i < count; ++i) {
    const geometry::BendRow& row = reading.table.rows()[i];
    const Row& wanted = expected.rows[forward ? i : count - 1 - i];
    EXPECT_NEAR(row.angle.deg(), wanted.angle_deg, kWithin_deg) << "bend " << i;
    EXPECT_NEAR(row.radius_mm, wanted.radius_mm, kWithin_mm) << "bend " << i;
    if (i > 0) {
      const double rotation_deg = expected.rows[forward ? i : count - i].rotation_deg;
      EXPECT_LT(angle_off(row.rotation.deg(), rotation_deg), kWithin_deg) << "bend " << i;
    }
  }
  for (std::size_t i = 0; i <= count; ++i) {
    const std::size_t k = forward ? i : count - i;
    const double wanted_mm = k < count ? expected.rows[k].straight_mm : expected.last_mm;
    EXPECT_NEAR(reading.table.straight_mm(i), wanted_mm, kWithin_mm) << "straight " << i;
  }
  const geometry::Centreline line = geometry::lay_out(reading.table, reading.start);
  for (int i = 0; i < 3; ++i) {
    const double* start = forward ? expected.start_mm : expected.end_mm;
    const double* end = forward ? expected.end_mm : expected.start_mm;
    EXPECT_NEAR(line.start_mm()[i], start[i], kWithin_mm);
    EXPECT_NEAR(line.end_mm()[i], end[i], 2.0 * kWithin_mm);
  }
}

inline void expect_section(const exchange::StepReading& reading, const Recipe& recipe) {
  const stock::Section& section = reading.section;
  const bool round = recipe.width_mm <= 0.0;
  EXPECT_EQ(section.round(), round);
  EXPECT_EQ(section.hollow(), recipe.wall_mm > 0.0);
  if (round) {
    EXPECT_NEAR(section.height_mm(), recipe.height_mm, kWithin_mm);
  } else {
    EXPECT_NEAR(section.height_mm() + section.width_mm(), recipe.height_mm + recipe.width_mm,
                2.0 * kWithin_mm);
    EXPECT_NEAR(section.corner_radius_mm(), recipe.wall_mm > 0.0 ? recipe.corner_mm : 0.0,
                kWithin_mm);
  }
  if (recipe.wall_mm > 0.0) {
    EXPECT_NEAR(section.wall_mm(), recipe.wall_mm, kWithin_mm);
  }
}

inline std::vector<Row> three_bends() {
  return {{222, 0, 50, 60}, {161, 111, 73, 60}, {160, -29.5, 80, 75}};
}

inline Recipe recipe(const std::string& name, std::vector<Row> rows, double last_mm) {
  Recipe r;
  r.name = name;
  r.rows = std::move(rows);
  r.last_mm = last_mm;
  return r;
}

template <typename Change>
Recipe changed(const std::string& name, const Change& change) {
  Recipe r = recipe(name, three_bends(), 240);
  change(r);
  return r;
}

}  // namespace bight::reader
