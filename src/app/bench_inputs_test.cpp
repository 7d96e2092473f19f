#include "app/bench_inputs.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/cli.h"

namespace bight::app {
namespace {

using ::testing::HasSubstr;

struct Ended {
  int code = -1;
  std::string out;
  std::string err;
};

Ended bight(const std::vector<std::string>& args) {
  std::ostringstream out;
  std::ostringstream err;
  Terminal terminal{out, err};
  Ended ended;
  ended.code = run(args, terminal);
  ended.out = out.str();
  ended.err = err.str();
  return ended;
}

std::string demo(const std::string& file) {
  return std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater/" + file;
}

std::string scratch(const std::string& name, const std::string& text) {
  const std::string path = ::testing::TempDir() + name;
  std::ofstream(path) << text;
  return path;
}

const std::string kRail = demo("parts/pulpit-rail.toml");
const std::string kFirst = demo("measured/pulpit-rail-first.toml");

// The demo's pulpit rail: the first piece is outside, its correction says what to key in.
TEST(BenchCommands, DemoPiece) {
  const Ended inspected = bight({"inspect", kRail, kFirst});
  EXPECT_EQ(inspected.code, kStopped) << inspected.err;
  EXPECT_THAT(inspected.out, HasSubstr("outside"));
  const Ended corrected = bight({"correct", kRail, kFirst, "--json"});
  ASSERT_EQ(corrected.code, kDone) << corrected.err;
  const nlohmann::json json = nlohmann::json::parse(corrected.out);
  EXPECT_EQ(json["part"], "Pulpit rail, port");
  int num_corrected = 0;
  for (const auto& change : json["changes"]) num_corrected += change["state"] == "corrected";
  EXPECT_GE(num_corrected, 3);
}

// What is agreed on the command line counts over the file: nothing is outside a wide zone.
TEST(BenchCommands, AgreedOnTheCommandLine) {
  const std::string report = ::testing::TempDir() + "bight_inspection.pdf";
  EXPECT_EQ(bight({"inspect", kRail, kFirst, "--pdf", report, "--paper", "letter"}).code, kStopped);
  std::ifstream written(report);
  std::string start(5, ' ');
  written.read(start.data(), 5);
  EXPECT_EQ(start, "%PDF-");
  EXPECT_EQ(bight({"inspect", kRail, kFirst, "--pdf", "report.svg"}).code, kUnwritable);
  EXPECT_EQ(bight({"inspect", kRail, kFirst, "--pdf", "/no/such/report.pdf"}).code, kUnwritable);
  const Ended wide = bight({"inspect", kRail, kFirst, "--align", "fit", "--angle", "9", "--length",
                            "1in", "--corner", "40", "--end", "40", "--json"});
  EXPECT_EQ(wide.code, kDone) << wide.err;
  const nlohmann::json json = nlohmann::json::parse(wide.out);
  EXPECT_EQ(json["verdict"], "within");
  EXPECT_EQ(json["agreed"]["length_mm"], 25.4);
  EXPECT_EQ(bight({"inspect", kRail, kFirst, "--datum", "A,9,B"}).code, kUnreadable);
  EXPECT_EQ(bight({"inspect", kRail, kFirst, "--align", "best"}).code, kUsage);
  EXPECT_THAT(bight({"inspect", kRail, kFirst, "--zone", "wide"}).err, HasSubstr("--zone"));
  EXPECT_THAT(bight({"inspect", kRail, kFirst, "--angle", "wide"}).err, HasSubstr("--angle"));
}

// A table asks for its unit; a piece of another part is refused.
TEST(BenchCommands, Refusals) {
  const std::string table =
      scratch("angles.csv", "bend,straight,angle\n1,100,40\n2,100,\n3,,\n4,,\n");
  const Ended asked = bight({"correct", kRail, table});
  EXPECT_EQ(asked.code, kUnreadable);
  EXPECT_THAT(asked.err, HasSubstr("ask.units"));
  EXPECT_EQ(bight({"correct", kRail, table, "--answer", "units=mm"}).code, kDone);
  const std::string other = scratch("other.toml", "part = \"Another\"\nbends = [{}, {}, {}, {}]\n");
  EXPECT_THAT(bight({"inspect", kRail, other}).err, HasSubstr("measured.part"));
  const std::string nothing = scratch("nothing.toml", "bends = [{}, {}, {}, {}]\n");
  EXPECT_THAT(bight({"correct", kRail, nothing}).err, HasSubstr("correct.nothing"));
  EXPECT_THAT(bight({"inspect", kRail, nothing}).err, HasSubstr("inspect.nothing"));
}

}  // namespace
}  // namespace bight::app
