// The roll command through the command line.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "app/cli.h"

namespace bight::app {
namespace {

struct Outcome {
  int code = 0;
  std::string out;
  std::string err;
};

Outcome bight(const std::vector<std::string>& args) {
  std::ostringstream out;
  std::ostringstream err;
  Terminal terminal{out, err};
  const int code = run(args, terminal);
  return {code, out.str(), err.str()};
}

TEST(CommandRoll, NextPassFromTheLog) {
  // Proves the ring roller's example at the bench: 20.0 -> 3200 and 24.0 -> 2100 give 28.65 for
  // 1500, stop at 28.1 (linear curvature, common practice; worked by hand).
  const Outcome outcome = bight(
      {"roll", "42.4x2.6 tube", "--radius", "1500", "--pass", "20.0:3200", "--pass", "24.0:2100"});
  EXPECT_EQ(outcome.code, kDone) << outcome.err;
  EXPECT_NE(outcome.out.find("28.65 mm on the scale; stop at 28.10 mm"), std::string::npos)
      << outcome.out;
}

TEST(CommandRoll, JsonHoldsPassesInMillimetres) {
  // Proves the JSON of planned passes, and that --units only changes what bare numbers mean.
  const auto metric = nlohmann::json::parse(
      bight({"roll", "42.4x2.6 mm tube", "--radius", "1500", "--spacing", "300", "--bottom", "160",
             "--top", "160", "--passes", "3", "--json"})
          .out);
  ASSERT_EQ(metric["passes"].size(), 3u);
  EXPECT_NEAR(metric["passes"][2]["released_radius_mm"].get<double>(), 1500, 1e-3);
  EXPECT_GT(metric["passes"][2]["top_force_n"].get<double>(), 1000);
  EXPECT_LT(metric["passes"][0]["position_mm"].get<double>(),
            metric["passes"][2]["position_mm"].get<double>());
  const auto mixed = nlohmann::json::parse(
      bight({"roll", "42.4x2.6 mm tube", "--radius", "1500 mm", "--spacing", "300 mm", "--bottom",
             "160 mm", "--top", "160 mm", "--passes", "3", "--units", "in", "--json"})
          .out);
  EXPECT_EQ(mixed["passes"], metric["passes"]);
}

TEST(CommandRoll, RingAsksBeforeItAnswers) {
  // Proves that a diameter without its line is a question, and the cut of 15 in hoops of 1/4 in
  // flat: 47.91 in inside, 46.34 in and five per 20 ft stick outside (worked by hand).
  const std::vector<std::string> ring{"roll", "6.35 x 25.4 mm flat bar", "--diameter", "15 in"};
  const auto with = [&](std::vector<std::string> more) {
    std::vector<std::string> args = ring;
    args.insert(args.end(), more.begin(), more.end());
    return bight(args);
  };
  const Outcome unsaid = with({});
  EXPECT_EQ(unsaid.code, kUnreadable);
  EXPECT_NE(unsaid.err.find("[ring.measure]"), std::string::npos) << unsaid.err;
  const auto inside = nlohmann::json::parse(with({"--measured", "inside", "--json"}).out);
  EXPECT_NEAR(inside["ring"]["cut_mm"].get<double>() / 25.4, 47.91, 0.005);
  const auto outside = nlohmann::json::parse(
      with({"--measured", "outside", "--stick", "20 ft", "--kerf", "0.1 in", "--json"}).out);
  EXPECT_NEAR(outside["ring"]["cut_mm"].get<double>() / 25.4, 46.34, 0.005);
  EXPECT_EQ(outside["ring"]["per_stick"].get<int>(), 5);
}

TEST(CommandRoll, EasyAndHardWay) {
  // Proves the words and figures for flat 50 x 10 on inside radius 150: 3.2 % easy, 14.3 % hard
  // (worked by hand).
  const std::vector<std::string> easy{"roll", "10 x 50 mm flat bar", "--radius",
                                      "150",  "--measured",          "inside"};
  EXPECT_NE(bight(easy).out.find("3.2 % this way (easy way, like a belt), 14.3 % turned"),
            std::string::npos)
      << bight(easy).out;
  std::vector<std::string> hard = easy;
  hard.push_back("--turned");
  EXPECT_NE(bight(hard).out.find("14.3 % this way (hard way, like a washer)"), std::string::npos);
}

TEST(CommandRoll, SizeAsWordsOrOption) {
  // Proves that roll and bend both take the size as words and as --size.
  const std::string worded = bight({"roll", "42.4", "x", "2.6", "tube", "--radius", "1500"}).out;
  EXPECT_EQ(bight({"roll", "--radius", "1500", "--size", "42.4 x 2.6 tube"}).out, worded);
  EXPECT_NE(worded, "");
  const std::string bent = bight({"bend", "42.4", "x", "2.6", "--die-radius", "150"}).out;
  EXPECT_EQ(bight({"bend", "--size", "42.4 x 2.6", "--die-radius", "150"}).out, bent);
  EXPECT_NE(bent, "");
  EXPECT_EQ(bight({"bend", "--die-radius", "150"}).code, kUsage);
}

TEST(CommandRoll, StopsAndRefusals) {
  // Proves the exit codes: a collapsing tube stops, unreadable lengths and passes are refused, and
  // a missing target is a wrong command line.
  EXPECT_EQ(bight({"roll", "42.4x1.5 tube", "--radius", "212"}).code, kStopped);
  EXPECT_EQ(bight({"roll", "42.4x2.6 tube", "--radius", "wide"}).code, kUnreadable);
  const Outcome pass = bight({"roll", "42.4x2.6 tube", "--radius", "1500", "--pass", "20.0"});
  EXPECT_EQ(pass.code, kUnreadable);
  EXPECT_NE(pass.err.find("24.0:2100"), std::string::npos);
  EXPECT_EQ(bight({"roll", "42.4x2.6 tube"}).code, kUsage);
  EXPECT_EQ(bight({"roll", "42.4x2.6 tube", "--radius", "1500", "--spacing", "300"}).code, kUsage);
}

TEST(CommandRoll, AnglesAndChannels) {
  // Proves that toes in and out are told apart at the command line (ring of 50 x 50 x 5 measured
  // outside, centroid 14.342 from the heel by hand) and that a name of a series is refused.
  const std::vector<std::string> ring{"roll",       "L 50x50x5 mm", "--diameter", "1500",
                                      "--measured", "outside",      "--json"};
  const auto in = nlohmann::json::parse(bight(ring).out);
  EXPECT_NEAR(in["centreline_radius_mm"].get<double>(), 750 - 14.342, 1e-3);
  std::vector<std::string> toes_out = ring;
  toes_out.insert(toes_out.end(), {"--toes", "out"});
  const auto out = nlohmann::json::parse(bight(toes_out).out);
  EXPECT_NEAR(out["centreline_radius_mm"].get<double>(), 750 - 50 + 14.342, 1e-3);
  EXPECT_EQ(bight({"roll", "U 100", "--radius", "900"}).code, kUnreadable);
  EXPECT_EQ(bight({"bend", "--size", "L 50x50x5", "--die-radius", "200"}).code, kUnreadable);
}

}  // namespace
}  // namespace bight::app
