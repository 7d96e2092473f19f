// The whole way: file, helper process, JSON, reading. Crashes of the kernel end there.
#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "exchange/step_reading.h"
#include "exchange/step_write.h"

namespace bight::reader {
namespace {

using exchange::read_step;
using exchange::StepOptions;

std::string scratch(const std::string& name) {
  const auto folder = std::filesystem::temp_directory_path() / "bight_reader_test";
  std::filesystem::create_directories(folder);
  return folder / name;
}

std::string write_file(const std::string& name, const std::string& text) {
  const std::string path = scratch(name);
  std::ofstream(path, std::ios::binary) << text;
  return path;
}

std::string tube_text() {
  using base::Angle;
  const auto table = geometry::BendTable::make(
      {{100, Angle(), Angle::degrees(90), 60}, {50, Angle::degrees(30), Angle::degrees(45), 60}},
      80);
  const auto section = stock::Section::round_tube(25, 2);
  return *exchange::step_text(*section, geometry::lay_out(*table), {.name = "Rail ß"});
}

class Sandboxed : public testing::Test {
 protected:
  void SetUp() override { ::setenv("BIGHT_READER", BIGHT_READER_PROGRAM, 1); }
  void TearDown() override { ::unsetenv("BIGHT_READER"); }
};

// A tube read through the helper is the tube that was written.
TEST_F(Sandboxed, ReadsATube) {
  const auto reading = read_step(write_file("sandboxed.step", tube_text()));
  ASSERT_TRUE(reading.ok()) << reading.failure().text();
  EXPECT_EQ(reading->section.text(), "25 x 2");
  ASSERT_EQ(reading->table.num_bends(), 2U);
  EXPECT_NEAR(reading->table.rows()[1].rotation.deg(), 30.0, 1e-6);
  EXPECT_NEAR(reading->table.straight_mm(0), 100.0, 1e-6);
  EXPECT_EQ(reading->unit, "millimetre");
  EXPECT_FALSE(reading->findings.empty());
}

// Swapping ends reaches the helper.
TEST_F(Sandboxed, SwapsEnds) {
  const std::string path = write_file("sandboxed.step", tube_text());
  const auto one = read_step(path);
  const auto other = read_step(path, {.swap_ends = true});
  ASSERT_TRUE(one.ok() && other.ok());
  EXPECT_TRUE(one->table.reversed() == other->table);
}

// A failure names the file and says what is wrong.
TEST_F(Sandboxed, FailureNamesTheFile) {
  const std::string path = write_file("rubbish.step", "this is no STEP file\n");
  const auto reading = read_step(path);
  ASSERT_FALSE(reading.ok());
  EXPECT_EQ(reading.failure().code, "step.syntax");
  EXPECT_EQ(reading.failure().where, path);
}

// Bytes changed at random: a reading or a failure with a sentence, whatever the kernel does inside.
TEST_F(Sandboxed, ChangedBytesAlwaysEndInAnAnswer) {
  const std::string text = tube_text();
  std::mt19937 random(20240607);
  int refused = 0;
  for (int round = 0; round < 40; ++round) {
    std::string changed = text;
    for (int k = 0; k < 12; ++k) {
      changed[random() % changed.size()] = static_cast<char>(32 + random() % 95);
    }
    const auto reading = read_step(write_file("changed.step", changed));
    if (reading.ok()) continue;
    ++refused;
    const std::string& code = reading.failure().code;
    EXPECT_TRUE(code.rfind("step.", 0) == 0 || code == "sandbox.crash") << code;
    EXPECT_FALSE(reading.failure().message.empty());
  }
  EXPECT_GT(refused, 0);
}

// Limits: input size, answer size, clock.
TEST_F(Sandboxed, LimitsHold) {
  const std::string path = write_file("sandboxed.step", tube_text());
  StepOptions options;
  options.limits.input_bytes = 1000;
  EXPECT_EQ(read_step(path, options).failure().code, "sandbox.size");
  options = {};
  options.limits.output_bytes = 100;
  EXPECT_EQ(read_step(path, options).failure().code, "sandbox.size");
  options = {};
  options.limits.wall_s = 0.001;
  EXPECT_EQ(read_step(path, options).failure().code, "sandbox.time");
}

#ifndef BIGHT_ADDRESS_SANITIZER  // its shadow memory rules out any limit on address space
// A file that needs more memory than allowed is refused as such, not as a damaged file.
TEST_F(Sandboxed, MemoryLimitHolds) {
  std::string text = tube_text();
  const std::string end = "ENDSEC;\nEND-ISO";
  std::string ballast;
  for (int i = 0; i < 150000; ++i) {
    ballast += "#" + std::to_string(100000 + i) + "=CARTESIAN_POINT('',(0.,1.,2.));\n";
  }
  text.insert(text.rfind(end), ballast);
  const std::string path = write_file("ballast.step", text);
  StepOptions options;
  options.limits.memory_bytes = std::size_t{64} << 20;
  const auto refused = read_step(path, options);
  ASSERT_FALSE(refused.ok());
  EXPECT_EQ(refused.failure().code, "sandbox.memory") << refused.failure().text();
  EXPECT_TRUE(read_step(path).ok());
}
#endif

// A helper that is missing, or knows no such files, is said to be.
TEST_F(Sandboxed, MissingHelperIsNamed) {
  const std::string path = write_file("sandboxed.step", tube_text());
  EXPECT_EQ(exchange::run_reader("nonsense", path).failure().code, "sandbox.reader");
  ::setenv("BIGHT_READER", "/nowhere/bight-reader", 1);
  EXPECT_EQ(read_step(path).failure().code, "sandbox.reader");
}

}  // namespace
}  // namespace bight::reader
