#include "exchange/watch_json.h"

#include <gtest/gtest.h>

#include "running/sample_run_test_util.h"

namespace bight::exchange {
namespace {

TEST(WatchJson, HoldsChartCapabilityAndAdvice) {
  running::Run run = running::two_bend_run(20);
  std::vector<running::Event> events;
  const double offs_deg[] = {0.05, -0.04, 0.06, -0.05, 0.03, 0.7};
  for (int i = 0; i < 6; ++i) {
    events.push_back(running::event("k" + std::to_string(i), i,
                                    running::read_hit(i + 1, 1, 94.6, 90.0 + offs_deg[i])));
  }
  ASSERT_TRUE(running::take_events(run, events).ok());
  const auto watch = running::watch_step(run, running::state_of(run), 1, {});
  ASSERT_TRUE(watch.ok());
  const auto out = watch_json(*watch);
  EXPECT_EQ(out["readings"].size(), 6u);
  EXPECT_EQ(out["chart"]["smoothed"].size(), 6u);
  EXPECT_EQ(out["chart"]["ranges"].size(), 5u);
  EXPECT_EQ(out["advice"]["call"], "stop");
  EXPECT_EQ(out["advice"]["suspects"][0], 6);
  EXPECT_TRUE(out["capability"]["ppk"]["interval"].is_array());
  EXPECT_TRUE(out["trend"]["per_piece"].is_number());
}

TEST(WatchJson, ARunWithoutReadingsHasNulls) {
  const running::Run run = running::two_bend_run(20);
  const auto out = watch_json(*running::watch_step(run, running::state_of(run), 1, {}));
  EXPECT_TRUE(out["trend"].is_null());
  EXPECT_TRUE(out["capability"].is_null());
  EXPECT_EQ(out["advice"]["measure_piece"], 1);
}

TEST(WatchJson, HoldsTheGaugeStudy) {
  std::vector<running::GaugeReading> readings;
  for (const char* person : {"KB", "MT"}) {
    for (int piece = 0; piece < 3; ++piece) {
      for (const double off : {-0.1, 0.1}) {
        readings.push_back({person, std::to_string(piece), piece + off});
      }
    }
  }
  const auto out = gauge_json(*running::gauge_study(readings));
  EXPECT_EQ(out["people"], 2);
  EXPECT_EQ(out["offs"][1]["person"], "MT");
  EXPECT_TRUE(out["share_of_tolerance"].is_null());
  EXPECT_GT(out["repeatability"]["sigma"], 0.0);
}

TEST(WatchJson, HoldsTheGuide) {
  const auto guide = running::TroubleGuide::built_in();
  ASSERT_TRUE(guide.ok());
  const auto first = trouble_json(*guide->state("hump", {}, {}));
  EXPECT_EQ(first["question"], "where");
  EXPECT_TRUE(first["change"].is_null());
  const auto next = trouble_json(*guide->state("hump", {}, {{"where", "trailing"}}));
  EXPECT_EQ(next["choices"].size(), 4u);
  EXPECT_TRUE(next["change"]["source"].is_string());
}

}  // namespace
}  // namespace bight::exchange
