#include "learning/springback_model.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "learning/invented_shop_test_util.h"

namespace bight::learning {
namespace {

using base::Angle;

const FirstLine kFirst{Angle::degrees(0.38), 0.021};

BendReading reading(double set_deg, double finished_deg, std::string heat = "new",
                    std::string name = "a trial") {
  return {{Angle::degrees(set_deg), Angle::degrees(finished_deg)},
          std::move(name),
          "tube and die",
          std::move(heat),
          "",
          "",
          kFirst};
}

SpringbackTarget target(std::string run = "") {
  return {"tube and die", "new", std::move(run), kFirst};
}

double set_deg(const SpringbackModel& model, double finished_deg) {
  return model.set_for(Angle::degrees(finished_deg)).deg();
}

double half_deg(const SpringbackModel& model, double finished_deg) {
  const AngleInterval band = model.set_band(Angle::degrees(finished_deg));
  return (band.high - band.low).deg() / 2.0;
}

// Trials of a job that names no heat are told as such.
TEST(SpringbackModel, AHeatThatNobodyNamedIsNotThisHeat) {
  SpringbackTarget nameless = target();
  nameless.heat = "";
  EXPECT_EQ(SpringbackModel::make(nameless, {reading(20, 18.2, ""), reading(90, 86, "")}).basis(),
            "2 trials, no heat named");
}

TEST(SpringbackModel, WithoutReadingsItIsTheFirstValue) {
  const SpringbackModel model = SpringbackModel::make(target(), {});
  EXPECT_NEAR(model.constant().deg(), 0.38, 1e-9);
  EXPECT_NEAR(model.proportional_ratio(), 0.021, 1e-12);
  EXPECT_EQ(model.basis(), "prior only");
  // At least the 40 % by which published models miss, of 2.3° lost.
  EXPECT_GT(half_deg(model, 90.0), 0.9);
}

// Two trials, 20 -> 18.2 and 120 -> 114.4, against the two-angle method's 45 -> 47.86 and
// 90 -> 94.64 (common practice, no source): the first value's pull stays below the 0.1° to which a
// keypad takes an angle.
TEST(SpringbackModelReference, TwoTrialsAgreeWithTheTwoAngleMethod) {
  const SpringbackModel model =
      SpringbackModel::make(target(), {reading(20, 18.2), reading(120, 114.4)});
  EXPECT_NEAR(set_deg(model, 45.0), 47.86, 0.05);
  EXPECT_NEAR(set_deg(model, 90.0), 94.64, 0.05);
  EXPECT_EQ(model.basis(), "2 trials on this heat");
}

// A new heat after one 90 (set 94.64, finished 88.7): the shop scales both constants by 1.28 and
// keys in 32.9, 96.0 and 127.5 for 30, 90 and 120 (common practice, no source). Here the same to
// 0.1°, from the family, without a rule for the case.
TEST(SpringbackModelReference, OneNinetyRescalesANewHeat) {
  const std::vector<BendReading> all = {reading(20, 18.2, "old"), reading(120, 114.4, "old"),
                                        reading(94.64, 88.7, "new")};
  const SpringbackModel model = SpringbackModel::make(target(), all);
  EXPECT_NEAR(set_deg(model, 30.0), 32.9, 0.05);
  EXPECT_NEAR(set_deg(model, 90.0), 96.0, 0.05);
  EXPECT_NEAR(set_deg(model, 120.0), 127.5, 0.05);
  EXPECT_EQ(model.basis(), "3 bends on 2 heats, 1 on this one");
  // The old table is kept.
  SpringbackTarget old = target();
  old.heat = "old";
  EXPECT_NEAR(set_deg(SpringbackModel::make(old, all), 90.0), 94.64, 0.1);
}

// A heat not yet bent starts from the other heat's line, not from the first value, and admits that
// heats differ.
TEST(SpringbackModel, NewHeatStartsFromTheFamily) {
  const SpringbackModel none = SpringbackModel::make(target(), {});
  const SpringbackModel family =
      SpringbackModel::make(target(), {reading(20, 18.2, "old"), reading(120, 114.4, "old")});
  EXPECT_GT(set_deg(family, 90.0), (set_deg(none, 90.0) + 94.64) / 2.0);
  EXPECT_GT(half_deg(family, 90.0), 0.5);
  EXPECT_EQ(family.basis(), "2 bends on 1 heat, none on this one");
}

// Another die's bends move the first value of this one, and less than its own would.
TEST(SpringbackModel, OtherDiesHelp) {
  std::vector<BendReading> others = {reading(20, 18.2), reading(120, 114.4)};
  for (BendReading& r : others) r.kind = "same tube, other die";
  const SpringbackModel none = SpringbackModel::make(target(), {});
  const SpringbackModel helped = SpringbackModel::make(target(), others);
  const SpringbackModel own =
      SpringbackModel::make(target(), {reading(20, 18.2), reading(120, 114.4)});
  EXPECT_GT(set_deg(helped, 90.0), set_deg(none, 90.0) + 0.2);
  EXPECT_LT(set_deg(helped, 90.0), set_deg(own, 90.0) - 0.2);
  EXPECT_GT(half_deg(helped, 90.0), half_deg(own, 90.0));
  EXPECT_EQ(helped.basis(), "2 bends of other tubes or dies");
}

// Against brute force: a and b on a grid, prior times likelihood summed for each level of noise and
// of prior width, in degrees, with none of the matrices. Heats and kinds taken out so that a and b
// are all there is.
TEST(SpringbackModelReference, GridIntegration) {
  SpringbackBelief belief;
  belief.kind_ratio = 1e-9;
  belief.heat_ratio = {1e-9};
  belief.heat_weight = {1.0};
  const std::vector<std::array<double, 2>> trials = {{30, 28.4}, {60, 57.1}, {95, 91.0}};
  std::vector<BendReading> readings;
  for (const auto& t : trials) readings.push_back(reading(t[0], t[1]));
  const SpringbackModel model = SpringbackModel::make(target(), readings, belief);
  ASSERT_TRUE(model.left_out().empty());

  const double x = 75.0;
  const double limit = 71.6;
  double total = 0.0;
  double sum_a = 0.0;
  double sum_b = 0.0;
  double sum_above = 0.0;
  for (std::size_t k = 0; k < belief.beyond_ratio.size(); ++k) {
    const double wide = belief.beyond_ratio[k];
    const double var_a = wide * wide * (0.38 * 0.38 * 0.6 * 0.6 + 0.4 * 0.4);
    const double sd_b = wide * 0.021 * 0.2;
    for (int n = -4; n <= 4; ++n) {
      const double noise = 0.12 * std::exp(0.5 * 0.5625 * n);
      const double prior = belief.beyond_weight[k] * std::exp(-0.5 * std::pow(0.5625 * n, 2.0));
      for (double a = -4.0; a <= 5.0; a += 0.02) {
        for (double b = -0.05; b <= 0.12; b += 0.0004) {
          double square = std::pow(a - 0.38, 2.0) / var_a + std::pow((b - 0.021) / sd_b, 2.0);
          for (const auto& t : trials) {
            square += std::pow((t[0] - t[1] - a - b * t[0]) / noise, 2.0);
          }
          const double weight =
              prior * std::exp(-0.5 * square) / (std::sqrt(var_a) * sd_b * std::pow(noise, 3.0));
          total += weight;
          sum_a += weight * a;
          sum_b += weight * b;
          // Half of the noise belongs to the gauge and does not move the bend.
          const double off = limit - (x - a - b * x);
          sum_above += weight * 0.5 * std::erfc(off / (noise * std::sqrt(0.5) * std::sqrt(2.0)));
        }
      }
    }
  }
  EXPECT_NEAR(model.constant().deg(), sum_a / total, 2e-4);
  EXPECT_NEAR(model.proportional_ratio(), sum_b / total, 2e-6);
  EXPECT_NEAR(model.chance_above(Angle::degrees(x), Angle::degrees(limit)), sum_above / total,
              2e-4);
}

// A misread trial among sound ones is set aside, named, and does not move the line.
TEST(SpringbackModel, OutlierIsResistedAndNamed) {
  const std::vector<BendReading> sound = {reading(20, 18.2), reading(60, 56.7),
                                          reading(120, 114.4)};
  std::vector<BendReading> all = sound;
  all.push_back(reading(90, 84.0, "new", "trial 4"));
  const SpringbackModel model = SpringbackModel::make(target(), all);
  ASSERT_EQ(model.left_out().size(), 1u);
  EXPECT_EQ(model.left_out()[0].index, 3u);
  EXPECT_EQ(model.left_out()[0].why.code, "trials.outlier");
  EXPECT_EQ(model.left_out()[0].why.where, "trial 4");
  EXPECT_NE(model.left_out()[0].why.message.find("1.6° less"), std::string::npos);
  EXPECT_NEAR(set_deg(model, 90.0), set_deg(SpringbackModel::make(target(), sound), 90.0), 1e-9);
}

TEST(SpringbackModel, NonsenseIsLeftOut) {
  const SpringbackModel model =
      SpringbackModel::make(target(), {reading(90, 93), reading(90, -1), reading(0, 0)});
  ASSERT_EQ(model.left_out().size(), 3u);
  for (const LeftOut& left : model.left_out()) EXPECT_EQ(left.why.code, "trials.number");
  EXPECT_EQ(model.basis(), "prior only");
}

// Springback that grows by 0.06° from bend to bend of a run: the next bend is foreseen better by
// the model that knows the run than by the one that takes the bends as they come.
TEST(SpringbackModel, DriftWithinARunIsFollowed) {
  std::vector<BendReading> run;
  for (int i = 0; i < 12; ++i) {
    BendReading r = reading(90.0, 86.0 - 0.06 * i + 0.05 * (i % 2 == 0 ? 1 : -1));
    r.run = "morning";
    run.push_back(r);
  }
  const SpringbackModel known = SpringbackModel::make(target("morning"), run);
  for (BendReading& r : run) r.run.clear();
  const SpringbackModel mixed = SpringbackModel::make(target(), run);
  const double next_deg = 86.0 - 0.06 * 12;
  const auto miss_deg = [&](const SpringbackModel& m) {
    return std::abs(m.finished_at(Angle::degrees(90)).deg() - next_deg);
  };
  EXPECT_LT(miss_deg(known), 0.12);
  EXPECT_GT(miss_deg(mixed), 0.25);
  EXPECT_GT(known.drift().deg(), 0.3);
  EXPECT_EQ(mixed.drift().deg(), 0.0);
}

// Two hits on one bend share what is peculiar to that bend, so they teach less of the next one than
// two bends do.
TEST(SpringbackModel, HitsOnOneBendCountLess) {
  std::vector<BendReading> hits = {reading(90, 86), reading(91, 86.95), reading(92, 87.9)};
  const SpringbackModel three_bends = SpringbackModel::make(target(), hits);
  for (BendReading& r : hits) r.bend = "piece 1, bend 1";
  const SpringbackModel one_bend = SpringbackModel::make(target(), hits);
  EXPECT_GT(half_deg(one_bend, 90.0), half_deg(three_bends, 90.0));
}

// More than the model holds: the nearest and newest count.
TEST(SpringbackModel, OldestUnrelatedReadingsGiveWay) {
  std::vector<BendReading> many(200, reading(90, 86, "old"));
  many.push_back(reading(90, 85.5, "new"));
  const SpringbackModel model = SpringbackModel::make(target(), many);
  EXPECT_EQ(model.num_kind(), kMostReadings);
  EXPECT_EQ(model.num_own(), 1u);
}

// Coverage: the 90 % band of the next bend in 500 invented shops (hidden line, scatter and heats),
// in every state of knowledge from none to 18 bends. All together 88 to 92 %; a state by itself
// within 87 to 93 %, but never too narrow is what matters before the first bend, where the engine's
// band has to hold more than these shops.
TEST(SpringbackModelProperty, BandsCoverInventedShops) {
  struct Known {
    int first_heat, second_heat, own;
  };
  const Known states[] = {{0, 0, 0}, {0, 0, 1}, {0, 0, 2}, {0, 0, 5},
                          {4, 0, 0}, {4, 0, 1}, {8, 8, 0}, {8, 8, 2}};
  const int num_next = 5;
  int inside[8] = {};
  const int num_shops = 500;
  for (int number = 0; number < num_shops; ++number) {
    invented::Shop shop(1000 + static_cast<std::uint64_t>(number));
    for (int s = 0; s < 8; ++s) {
      std::vector<BendReading> known;
      for (int i = 0; i < states[s].first_heat; ++i) known.push_back(shop.any_bend("first"));
      for (int i = 0; i < states[s].second_heat; ++i) known.push_back(shop.any_bend("second"));
      for (int i = 0; i < states[s].own; ++i) known.push_back(shop.any_bend("own"));
      const SpringbackModel model = SpringbackModel::make(shop.target("own"), known);
      for (int i = 0; i < num_next; ++i) {
        const BendReading next = shop.any_bend("own");
        const AngleInterval band = model.finished_band(next.angles.set);
        const Angle finished = next.angles.finished;
        inside[s] += finished >= band.low && finished <= band.high ? 1 : 0;
      }
    }
  }
  int all = 0;
  for (int s = 0; s < 8; ++s) {
    all += inside[s];
    const double share = static_cast<double>(inside[s]) / (num_shops * num_next);
    EXPECT_GT(share, 0.87) << "state " << s;
    EXPECT_LT(share, s == 0 ? 0.97 : 0.93) << "state " << s;
    RecordProperty("state " + std::to_string(s), std::to_string(share));
  }
  const double share = static_cast<double>(all) / (8 * num_shops * num_next);
  EXPECT_GT(share, 0.88);
  EXPECT_LT(share, 0.92);
}

// After two trials at 20° and 120° and a scatter of 0.1°, at least 90 % of the next bends lie
// within 0.25° of what was wanted.
TEST(SpringbackModelProperty, TwoTrialsBringTheNextBendWithinAQuarterDegree) {
  int within = 0;
  int all = 0;
  for (int number = 0; number < 500; ++number) {
    invented::Shop shop(9000 + static_cast<std::uint64_t>(number));
    shop.noise_deg = 0.1;
    const SpringbackModel model =
        SpringbackModel::make(shop.target("own"), {shop.bend(20, "own"), shop.bend(120, "own")});
    for (double wanted_deg = 20; wanted_deg <= 120; wanted_deg += 20) {
      const Angle wanted = Angle::degrees(wanted_deg);
      const Angle finished = shop.finished(model.set_for(wanted), "own");
      within += std::abs((finished - wanted).deg()) <= 0.25 ? 1 : 0;
      ++all;
    }
  }
  EXPECT_GE(within, all * 9 / 10);
}

}  // namespace
}  // namespace bight::learning
