#include "mechanics/fracture.h"

#include <gtest/gtest.h>

#include <cmath>

namespace bight::mechanics {
namespace {

using stock::FlowCurve;
using stock::Section;

constexpr double kInch = 25.4;

TEST(Fracture, RequiredElongation) {
  // Proves D/(2R): 33.3, 25, 16.7 % at 1.5, 2, 3 D (trade formula sheet Pe = Ro/R - 1 and a
  // bending shop's page, both read).
  const auto tube = *Section::round_tube(50.8, 1.65);
  for (const auto& [d_of_bend, percent] :
       {std::pair{1.0, 50.0}, {1.5, 33.333}, {2.0, 25.0}, {3.0, 16.667}, {6.0, 8.333}}) {
    EXPECT_NEAR(100 * outer_strain(tube, d_of_bend * 50.8)->plain_ratio, percent, 0.05);
  }
}

TEST(Fracture, ShiftedNeutralLayer) {
  // Proves (R + r)/sqrt(R² - r²) - 1: 50.8 x 1.65 at 2 D -> 28.0 % (derived, worked by hand), and
  // the order of the spread.
  const auto strain = outer_strain(*Section::round_tube(50.8, 1.65), 101.6);
  EXPECT_NEAR(100 * strain->shifted_ratio, 28.0, 0.05);
  EXPECT_LT(strain->spread.low_ratio, strain->spread.likely_ratio);
  EXPECT_LT(strain->spread.likely_ratio, strain->spread.high_ratio);
}

TEST(Fracture, ElasticRadius) {
  // Proves R = D/(2 e): 347 tube of 0.25 in, e 0.0011 -> 113.6 in; 0.2 % -> 62.5 in; 0.100, 0.450,
  // 0.500 in at 0.2 % -> 25.0, 112.5, 125.0 in (published worked example and table, read).
  const auto radius_in = [](double od_in, double strain) {
    return *elastic_clr_mm(*Section::round_tube(od_in * kInch, 0.02 * kInch), strain) / kInch;
  };
  EXPECT_NEAR(radius_in(0.25, 0.0011), 113.6, 0.1);
  EXPECT_NEAR(radius_in(0.25, 0.002), 62.5, 0.1);
  EXPECT_NEAR(radius_in(0.1, 0.002), 25.0, 0.1);
  EXPECT_NEAR(radius_in(0.45, 0.002), 112.5, 0.1);
  EXPECT_NEAR(radius_in(0.5, 0.002), 125.0, 0.1);
}

TEST(Fracture, EasyAndHardWay) {
  // Proves flat 50 x 10 on inside radius 150: easy way 3.2 %, hard way 14.3 % (worked by hand:
  // 5/155 and 25/175).
  const auto easy = way_strains(*Section::rect_bar(10, 50), 150);
  EXPECT_NEAR(100 * easy->as_given_ratio, 3.2, 0.05);
  EXPECT_NEAR(100 * easy->turned_ratio, 14.3, 0.05);
  EXPECT_FALSE(easy->as_given_is_hard);
  EXPECT_TRUE(way_strains(*Section::rect_bar(50, 10), 150)->as_given_is_hard);
}

TEST(Fracture, UniformElongation) {
  // Proves Considère: Swift necks at plastic strain n - e0 (elasticity negligible), and a curve
  // without hardening never stretches uniformly.
  const auto swift = *FlowCurve::swift(2e7, 600, 0.02, 0.2);
  EXPECT_NEAR(uniform_elongation_ratio(swift), std::expm1(0.18), 1e-4);
  EXPECT_EQ(uniform_elongation_ratio(*FlowCurve::perfect(205000, 350)), 0.0);
}

TEST(Fracture, VerdictsByElongation) {
  // Proves caution above uniform elongation, stop when the whole band lies above the total, and
  // that the shifted variant turns a close pass into a caution.
  const auto tube = *Section::round_tube(50, 2);
  const auto curve = *FlowCurve::swift(2e7, 600, 0.0001, 0.2);  // uniform 22 %
  const auto verdict = [&](double d_of_bend) {
    return crack_forecast(tube, curve, 0.30, d_of_bend * 50)->verdict;
  };
  EXPECT_EQ(verdict(4.0), CrackVerdict::kWithin);    // 12.5 %
  EXPECT_EQ(verdict(2.35), CrackVerdict::kCaution);  // 21.3 %, shifted above 22 %
  EXPECT_EQ(verdict(2.0), CrackVerdict::kCaution);   // 25 %
  EXPECT_EQ(verdict(1.65), CrackVerdict::kCaution);  // 30.3 %, mid-wall 29.1 %
  EXPECT_EQ(verdict(1.5), CrackVerdict::kStop);      // 33 %, mid-wall 32 %
  const auto unknown = crack_forecast(tube, curve, std::nullopt, 75);
  EXPECT_EQ(unknown->verdict, CrackVerdict::kCaution);
  EXPECT_NE(unknown->message.find("total unknown"), std::string::npos);
  // A metal that broke at 10 % has no uniform elongation of 22 %.
  EXPECT_DOUBLE_EQ(crack_forecast(tube, curve, 0.10, 500)->uniform_ratio, 0.10);
}

TEST(Fracture, SmallestRadiusForElongation) {
  // Proves the inverse of the plain strain.
  const auto tube = *Section::round_tube(50, 2);
  const double radius_mm = *smallest_clr_for_strain_mm(tube, 0.25);
  EXPECT_NEAR(outer_strain(tube, radius_mm)->plain_ratio, 0.25, 1e-12);
}

TEST(Fracture, RefusesWhatItCannotAnswer) {
  // Proves the failure codes.
  const auto tube = *Section::round_tube(50, 2);
  const auto curve = *FlowCurve::perfect(205000, 350);
  EXPECT_EQ(outer_strain(tube, 25).failure().code, "fracture.radius");
  EXPECT_EQ(crack_forecast(tube, curve, 25.0, 100).failure().code, "fracture.elongation");
  EXPECT_EQ(smallest_clr_for_strain_mm(tube, 0).failure().code, "fracture.elongation");
  EXPECT_EQ(elastic_clr_mm(tube, -0.1).failure().code, "fracture.elongation");
  EXPECT_EQ(way_strains(tube, -1).failure().code, "fracture.radius");
}

}  // namespace
}  // namespace bight::mechanics
