#include "exchange/check_document.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

constexpr const char* kLog = R"(schema = 1
bender = "Spoonbill"
[limits]
zero = 0.3
scale_percent = 0.4
slip = 0.6
[[check]]
date = "2026-05-20"
who = "AB"
angle_error = 0.1
springback = { a = 1.0, b = 0.04 }
slips = [0.1, 0.2]
[[check.bends]]
set = 30
loaded = 30.1
[[check.bends]]
set = 100
finished = 95
[[check.turns]]
set = -90
turned = -89.8
[[check]]
date = "2026-02-01"
slips = [0.4]
)";

std::string changed(const std::string& from, const std::string& to) {
  std::string text = kLog;
  text.replace(text.find(from), from.size(), to);
  return text;
}

std::string refused(const std::string& text) {
  const auto log = read_check_log(*parse_toml(text, "log.toml"));
  return log.ok() ? "" : log.failure().code;
}

// Checks come in order of days; a finished angle gets its springback back: (95 + 1) / 0.96 = 100.
TEST(CheckDocument, Reads) {
  const auto log = read_check_log(*parse_toml(kLog, "log.toml"));
  ASSERT_TRUE(log.ok()) << log.failure().text();
  EXPECT_EQ(log->bender, "Spoonbill");
  EXPECT_NEAR(log->limits.scale_ratio, 0.004, 1e-12);
  ASSERT_EQ(log->checks.size(), 2u);
  EXPECT_LT(log->checks[0].at, log->checks[1].at);
  const running::MachineCheck& check = log->checks[1];
  ASSERT_EQ(check.bends.size(), 2u);
  EXPECT_NEAR(check.bends[1].done.deg(), 100.0, 1e-9);
  EXPECT_NEAR(check.rotations[0].done.deg(), -89.8, 1e-9);
  EXPECT_EQ(check.slips_mm, (std::vector<double>{0.1, 0.2}));
}

TEST(CheckDocument, SaysWhatIsWrong) {
  EXPECT_EQ(refused(changed("2026-05-20", "20 May")), "check.date");
  EXPECT_EQ(refused(changed("springback = { a = 1.0, b = 0.04 }", "")), "check.springback");
  EXPECT_EQ(refused(changed("b = 0.04", "b = 4")), "check.springback");
  EXPECT_EQ(refused(changed("loaded = 30.1", "")), "check.reading");
  EXPECT_EQ(refused(changed("turned = -89.8", "turned = 900")), "check.reading");
  EXPECT_EQ(refused(changed("slips = [0.4]", "")), "check.nothing");
  EXPECT_EQ(refused(changed("schema = 1", "schema = 2")), "check.schema");
  EXPECT_EQ(refused(changed("zero = 0.3", "nought = 0.3")), "key.unknown");
  EXPECT_EQ(refused("schema = 1\nbender = \"B\"\n"), "check.nothing");
}

TEST(CheckDocument, Json) {
  const auto log = read_check_log(*parse_toml(kLog, "log.toml"));
  std::vector<running::CheckResult> results;
  for (const running::MachineCheck& check : log->checks) {
    results.push_back(*running::check_machine(check, log->limits));
  }
  const auto json = check_json(log->bender, results, running::trends_of(results));
  EXPECT_EQ(json["checks"][0]["date"], "2026-02-01");
  EXPECT_TRUE(json["checks"][0]["angle"].is_null());
  EXPECT_NEAR(json["checks"][1]["slip_mm"]["value"].get<double>(), 0.15, 1e-9);
  EXPECT_TRUE(json["checks"][1]["rotation"]["scale"].is_null());
  EXPECT_TRUE(json["trends"].empty());
}

}  // namespace
}  // namespace bight::exchange
