// The bender command through the command line.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/cli.h"

namespace bight::app {
namespace {

using ::testing::HasSubstr;

const std::string kLog =
    std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater/measured/wagtail-checks.toml";

struct Outcome {
  int code = 0;
  std::string out, err;
};

Outcome bight(const std::vector<std::string>& args) {
  std::ostringstream out, err;
  Terminal terminal{out, err};
  const int code = run(args, terminal);
  return {code, out.str(), err.str()};
}

// The demo's bender: each check on its own, and the zero that creeps.
TEST(CommandBender, CheckOfTheDemo) {
  const Outcome text = bight({"bender", "check", "Wagtail", kLog});
  EXPECT_EQ(text.code, kDone) << text.err;
  for (const char* words : {"2026-05-18, AB", "angle zero", "angle scale", "slip", "a month"}) {
    EXPECT_THAT(text.out, HasSubstr(words));
  }
  const auto json =
      nlohmann::json::parse(bight({"bender", "check", "Wagtail", kLog, "--json"}).out);
  EXPECT_EQ(json["checks"].size(), 3u);
  EXPECT_EQ(json["trends"][0]["what"], "angle zero");
  EXPECT_GT(json["trends"][0]["per_month"].get<double>(), 0.0);
}

// A clamp that slips by a millimetre ends with the code of a stop and says what to look at.
TEST(CommandBender, OffEndsWithTwo) {
  const std::string path = ::testing::TempDir() + "bight_bender_check.toml";
  std::ofstream(path) << "schema = 1\n[[check]]\ndate = \"2026-05-20\"\nslips = [1.1, 1.0, 0.9]\n";
  const Outcome slipping = bight({"bender", "check", "Heron", path});
  EXPECT_EQ(slipping.code, kStopped);
  EXPECT_THAT(slipping.out, HasSubstr("the tube slips"));
  EXPECT_THAT(bight({"bender", "check", "Nobody", path}).err, HasSubstr("check.bender"));
  EXPECT_THAT(bight({"bender", "check", "Heron", kLog}).err, HasSubstr("check.bender"));
}

}  // namespace
}  // namespace bight::app
