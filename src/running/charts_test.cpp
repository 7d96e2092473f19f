#include "running/charts.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "learning/reference_test_util.h"

namespace bight::running {
namespace {

std::vector<double> column(const char* file, const char* name) {
  const base::CsvTable table = reference::table(std::string("nist_handbook/") + file);
  std::vector<double> values;
  for (std::size_t row = 0; row < table.num_rows(); ++row) {
    values.push_back(*table.number(row, name));
  }
  return values;
}

// NIST/SEMATECH e-Handbook 6.3.2.2, flow rates: data from memory of the handbook, limits as it
// prints them (55.8041 and 45.8159).
TEST(ChartsReference, IndividualsOfTheFlowRates) {
  const auto chart = individuals_chart(column("individuals_flowrate.csv", "flowrate"));
  ASSERT_TRUE(chart.ok());
  EXPECT_NEAR(chart->base.centre, 50.81, 1e-9);
  EXPECT_NEAR(chart->range_mean, 1.8778, 5e-5);
  EXPECT_NEAR(chart->upper, 55.8041, 5e-5);
  EXPECT_NEAR(chart->lower, 45.8159, 5e-5);
  EXPECT_NEAR(chart->range_upper, 3.267 * chart->range_mean, 1e-12);
  EXPECT_EQ(chart->ranges.size(), 9u);
  EXPECT_TRUE(signals_of(chart->readings, chart->base).empty());
}

// NIST/SEMATECH e-Handbook 6.3.2.4: data from memory of the handbook; it prints limits 52.5884 and
// 47.4115 and the smoothed values to two decimals.
TEST(ChartsReference, SmoothedValuesOfTheHandbook) {
  const std::vector<double> printed = {50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75,
                                       49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05,
                                       49.38, 49.92, 50.73, 51.23, 51.94, 51.99};
  const auto chart = ewma_chart(column("ewma_example.csv", "y"), {50.0, 2.0539}, {0.3, 3.0, true});
  ASSERT_TRUE(chart.ok());
  ASSERT_EQ(chart->smoothed.size(), printed.size());
  for (std::size_t i = 0; i < printed.size(); ++i) {
    EXPECT_NEAR(chart->smoothed[i], printed[i], 0.00501) << i;
  }
  EXPECT_NEAR(chart->upper.front(), 52.5884, 5e-5);
  EXPECT_NEAR(chart->lower.back(), 47.4115, 1e-4);
}

// The first limits are those of one reading alone, λ sigma wide per width, and settle.
TEST(Charts, EwmaLimitsOpenFromTheFirstReading) {
  const std::vector<double> zeros(200, 0.0);
  const auto chart = ewma_chart(zeros, {0.0, 1.0}, {0.2, 3.0, false});
  EXPECT_NEAR(chart->upper.front(), 3.0 * 0.2, 1e-12);
  EXPECT_NEAR(chart->upper.back(), 3.0 * std::sqrt(0.2 / 1.8), 1e-12);
}

std::string names(const std::vector<double>& readings, std::span<const Pattern> patterns) {
  std::string out;
  for (const Signal& signal : signals_of(readings, {0.0, 1.0}, patterns)) {
    out += std::to_string(signal.at) + ":" + std::string(pattern_name(signal.pattern)) +
           (signal.side > 0   ? "+"
            : signal.side < 0 ? "-"
                              : "") +
           " ";
  }
  return out;
}

TEST(Charts, EachPatternIsSeenWhereItIsComplete) {
  const auto only = [](Pattern pattern, const std::vector<double>& readings) {
    return names(readings, std::vector<Pattern>{pattern});
  };
  EXPECT_EQ(only(Pattern::kBeyondThree, {0, 3.1, 3.0, -3.1}), "1:one-beyond-3+ 3:one-beyond-3- ");
  EXPECT_EQ(only(Pattern::kTwoBeyondTwo, {2.1, 0, 2.1, 0, 0, -2.1, 2.1}),
            "2:two-of-three-beyond-2+ ");
  EXPECT_EQ(only(Pattern::kFourBeyondOne, {1.1, 1.1, 0, 1.1, 1.1, 0}), "4:four-of-five-beyond-1+ ");
  EXPECT_EQ(only(Pattern::kEightOnOneSide, {-1, -1, -1, -1, -1, -1, -1, -1, 1}),
            "7:eight-on-one-side- ");
  EXPECT_EQ(only(Pattern::kSixRising, {0, .1, .2, .3, .4, .5, .5}), "5:six-rising+ ");
  EXPECT_EQ(only(Pattern::kSixRising, {0, -.1, -.2, -.3, -.4, -.5}), "5:six-rising- ");
  EXPECT_EQ(only(Pattern::kFourteenAlternate, {0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 2}),
            "13:fourteen-alternate ");
  EXPECT_EQ(only(Pattern::kFifteenNear, std::vector<double>(15, 0.5)), "14:fifteen-near ");
  EXPECT_EQ(only(Pattern::kEightFar, {1.1, -1.1, 1.1, -1.1, 1.1, -1.1, 1.1, -1.1}), "7:eight-far ");
  EXPECT_EQ(only(Pattern::kEightFar, std::vector<double>(8, 1.1)), "");
}

// Average readings until a false alarm, by simulation, seed fixed.
template <typename Alarm>
double average_length(double shift, int runs, Alarm alarm) {
  std::mt19937_64 random(20261128);
  std::normal_distribution<double> normal(shift, 1.0);
  double sum = 0.0;
  for (int run = 0; run < runs; ++run) sum += alarm([&] { return normal(random); });
  return sum / runs;
}

// The four zone rules together give a false alarm every 91.75 readings on average [Champ and
// Woodall, Technometrics 29 (1987) 393-399, from memory; the handbook's 6.3.2 repeats it].
TEST(ChartsReference, FalseAlarmsOfTheZoneRules) {
  const std::vector<Pattern> zones = {Pattern::kBeyondThree, Pattern::kTwoBeyondTwo,
                                      Pattern::kFourBeyondOne, Pattern::kEightOnOneSide};
  constexpr int kRuns = 6000;
  const double average = average_length(0.0, kRuns, [&](auto next) {
    std::vector<double> last;
    for (int count = 1;; ++count) {
      last.push_back(next());
      if (last.size() > 8) last.erase(last.begin());
      for (const Signal& signal : signals_of(last, {0.0, 1.0}, zones)) {
        if (signal.at + 1 == last.size()) return static_cast<double>(count);
      }
    }
  });
  // The mean's own scatter is about 91/√6000 = 1.2.
  EXPECT_NEAR(average, 91.75, 4.0);
}

// λ 0.2 with width 2.962: 500 readings to a false alarm, 10.5 to a shift by one sigma [Lucas and
// Saccucci, Technometrics 32 (1990) 1-12, from memory].
TEST(ChartsReference, AlarmsOfTheSmoothedChart) {
  const auto alarm = [](auto next) {
    const double limit = 2.962 * std::sqrt(0.2 / 1.8);
    double smoothed = 0.0;
    for (int count = 1;; ++count) {
      const auto chart =
          ewma_chart(std::vector<double>{next()}, {smoothed, 1.0}, {0.2, 2.962, true});
      smoothed = chart->smoothed.back();
      if (std::abs(smoothed) > limit) return static_cast<double>(count);
    }
  };
  EXPECT_NEAR(average_length(0.0, 2000, alarm), 500.0, 40.0);
  EXPECT_NEAR(average_length(1.0, 5000, alarm), 10.5, 0.5);
}

TEST(Charts, RefusesWhatMakesNoChart) {
  EXPECT_EQ(baseline_of(std::vector<double>{1.0}).failure().code, "chart.few");
  EXPECT_EQ(baseline_of(std::vector<double>{1.0, NAN}).failure().code, "chart.number");
  EXPECT_EQ(individuals_chart(std::vector<double>{}).failure().code, "chart.few");
  EXPECT_EQ(ewma_chart(std::vector<double>{1.0}, {0, 1}, {0.0, 3.0}).failure().code,
            "chart.number");
  EXPECT_EQ(ewma_chart(std::vector<double>{HUGE_VAL}, {0, 1}).failure().code, "chart.number");
}

TEST(Charts, EveryPatternHasWordsAndSource) {
  for (int i = 0; i < kNumPatterns; ++i) {
    EXPECT_FALSE(pattern_words(static_cast<Pattern>(i)).empty());
    EXPECT_FALSE(pattern_source(static_cast<Pattern>(i)).empty());
  }
}

}  // namespace
}  // namespace bight::running
