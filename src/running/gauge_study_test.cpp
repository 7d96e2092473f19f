#include "running/gauge_study.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>

namespace bight::running {
namespace {

// Ten pieces, three people, three readings: AIAG, Measurement Systems Analysis, 4th ed., ch. III,
// read from copies in public repositories. [person][trial][piece]
constexpr double kPublished[3][3][10] = {
    {{0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36},
     {0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25},
     {0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31}},
    {{0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68},
     {0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62},
     {0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50}},
    {{0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49},
     {-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77},
     {-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16}}};

std::vector<GaugeReading> published() {
  std::vector<GaugeReading> readings;
  for (int person = 0; person < 3; ++person) {
    for (int trial = 0; trial < 3; ++trial) {
      for (int piece = 0; piece < 10; ++piece) {
        readings.push_back({std::string(1, static_cast<char>('A' + person)), std::to_string(piece),
                            kPublished[person][trial][piece]});
      }
    }
  }
  return readings;
}

// Its analysis of variance and sigmas as printed there (from memory: 0.199933, 0.226838, 1.042327,
// 27.86 %, 4 groups). The gauge's and the total sigma, recalled as 0.302373 and 1.085317, differ in
// the sixth and fifth digit from the squares' sums of the printed ones, which are checked instead.
TEST(GaugeStudyReference, PublishedExample) {
  const auto study = gauge_study(published());
  ASSERT_TRUE(study.ok());
  EXPECT_NEAR(study->people.squares, 3.1673, 5e-5);
  EXPECT_NEAR(study->pieces.squares, 88.3619, 5e-5);
  EXPECT_NEAR(study->interaction.squares, 0.3590, 5e-5);
  EXPECT_NEAR(study->repeat.squares, 2.7589, 5e-5);
  EXPECT_NEAR(study->total.squares, 94.6471, 5e-5);
  EXPECT_TRUE(study->interaction_pooled);
  EXPECT_NEAR(study->repeatability.sigma, 0.199933, 5e-7);
  EXPECT_NEAR(study->reproducibility_sigma, 0.226838, 5e-7);
  EXPECT_NEAR(study->gauge.sigma, std::hypot(0.199933, 0.226838), 1e-6);
  EXPECT_NEAR(study->piece_sigma, 1.042327, 5e-7);
  EXPECT_NEAR(study->total_sigma, std::hypot(0.199933, 0.226838, 1.042327), 1e-6);
  EXPECT_NEAR(study->share_of_total_ratio, 0.2786, 5e-5);
  EXPECT_EQ(study->distinct, 4);
}

// Two by two by two by hand: squares 200, 32, 0, 8; pooled 1.6; people 7.6; pieces 49.6.
TEST(GaugeStudy, TwoPeopleByHand) {
  std::vector<GaugeReading> readings;
  const double cells[2][2] = {{11, 15}, {21, 25}};
  for (int piece = 0; piece < 2; ++piece) {
    for (int person = 0; person < 2; ++person) {
      for (const double off : {-1.0, 1.0}) {
        readings.push_back(
            {person == 0 ? "KB" : "MT", piece == 0 ? "1" : "2", cells[piece][person] + off});
      }
    }
  }
  const auto study = gauge_study(readings, 60.0);
  ASSERT_TRUE(study.ok());
  EXPECT_NEAR(study->pieces.squares, 200, 1e-9);
  EXPECT_NEAR(study->people.squares, 32, 1e-9);
  EXPECT_NEAR(study->interaction.squares, 0, 1e-9);
  EXPECT_NEAR(study->repeat.squares, 8, 1e-9);
  EXPECT_NEAR(study->gauge.sigma, std::sqrt(9.2), 1e-9);
  EXPECT_NEAR(study->piece_sigma, std::sqrt(49.6), 1e-9);
  EXPECT_NEAR(*study->share_of_tolerance_ratio, 6 * std::sqrt(9.2) / 60, 1e-9);
  ASSERT_EQ(study->offs.size(), 2u);
  EXPECT_EQ(study->offs[1].person, "MT");
  EXPECT_NEAR(study->offs[1].off, 2.0, 1e-9);
  // One degree of freedom between two people says next to nothing of people.
  EXPECT_GT(study->gauge.interval.high, 10 * study->gauge.sigma);
}

std::vector<GaugeReading> invented(std::mt19937_64& random, int people, int pieces, int trials) {
  std::normal_distribution<double> normal;
  std::vector<double> offs, sizes;
  for (int i = 0; i < people; ++i) offs.push_back(0.3 * normal(random));
  for (int i = 0; i < pieces; ++i) sizes.push_back(2.0 * normal(random));
  std::vector<GaugeReading> readings;
  for (int i = 0; i < people; ++i) {
    for (int j = 0; j < pieces; ++j) {
      for (int k = 0; k < trials; ++k) {
        readings.push_back({std::to_string(i), std::to_string(j),
                            offs[static_cast<std::size_t>(i)] + sizes[static_cast<std::size_t>(j)] +
                                0.2 * normal(random)});
      }
    }
  }
  return readings;
}

// Simulated studies with known sigmas: how often the intervals hold them.
TEST(GaugeStudyReference, IntervalsHoldTheTruth) {
  std::mt19937_64 random(3);
  int in_repeat = 0, in_gauge = 0;
  constexpr int kTimes = 1500;
  for (int i = 0; i < kTimes; ++i) {
    const auto study = gauge_study(invented(random, 3, 8, 2));
    ASSERT_TRUE(study.ok());
    const auto holds = [](const Scatter& scatter, double truth) {
      return scatter.interval.low <= truth && truth <= scatter.interval.high;
    };
    in_repeat += holds(study->repeatability, 0.2);
    in_gauge += holds(study->gauge, std::hypot(0.2, 0.3));
  }
  EXPECT_NEAR(in_repeat / double{kTimes}, 0.95, 0.03);
  // Satterthwaite's with three people: an approximation, and where people do not show at all the
  // gauge is taken for as good as one person.
  EXPECT_GT(in_gauge / double{kTimes}, 0.80);
}

TEST(GaugeStudy, RefusesWhatIsNoStudy) {
  std::vector<GaugeReading> readings = published();
  readings.pop_back();
  EXPECT_EQ(gauge_study(readings).failure().code, "gauge.balance");
  readings = {{"KB", "1", 1}, {"KB", "1", 1}, {"KB", "2", 1}, {"KB", "2", 1}};
  EXPECT_EQ(gauge_study(readings).failure().code, "gauge.few");
  readings = published();
  readings[3].value = NAN;
  EXPECT_EQ(gauge_study(readings).failure().code, "chart.number");
  EXPECT_EQ(gauge_study({}).failure().code, "gauge.few");
}

}  // namespace
}  // namespace bight::running
