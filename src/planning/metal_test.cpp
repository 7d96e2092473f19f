#include "planning/metal.h"

#include <gtest/gtest.h>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;

workshop::Bender driven() {
  workshop::Bender bender = sample::bender("One");
  bender.torque_max_nmm = 6.5e6;
  bender.power_w = 2200;
  bender.speed_max_rpm = 4;
  return bender;
}

// 38.1 x 1.6 on R 114.3: wall factor 23.8, 3.0 D, quotient 7.9; mandrel start about two thirds of
// the deepest position (trade worked case; mill handbook 2018, p. 90; trade formula sheet).
TEST(MetalReference, TradeQuotients) {
  workshop::DieSet die = sample::die("D114", 114.3, 38.1);
  die.mandrel = true;
  const part::Part part = sample::u_part();
  const MetalForecast metal =
      *forecast_metal(part, part.section, die, driven(), Angle::degrees(94));
  EXPECT_NEAR(metal.wall_factor_ratio, 23.8, 0.05);
  EXPECT_NEAR(metal.d_of_bend_ratio, 3.0, 1e-9);
  EXPECT_NEAR(*metal.wrinkle_quotient_ratio, 23.8 / 3.0, 0.05);
  EXPECT_TRUE(metal.nose_mm.has_value());
  EXPECT_NEAR(*metal.nose_mm, 38.1 - 2.21 * 1.6, 1e-9);
  // Outer strain a little above D/2R = 16.7 %, from the shift of the neutral layer.
  EXPECT_GT(metal.outer_strain_ratio, 0.15);
  EXPECT_LT(metal.outer_strain_ratio, 0.20);
  EXPECT_LT(metal.wall_outer.low_mm, metal.wall_outer.likely_mm);
  EXPECT_LT(metal.wall_outer.high_mm, metal.wall_inner.likely_mm);
  ASSERT_TRUE(metal.speed.has_value());
  EXPECT_GT(metal.speed->advised_rpm, 0.0);
}

// Thin wall round a tight die without a mandrel draws both cautions.
TEST(Metal, ThinWallWithoutMandrelIsWarned) {
  part::Part part = sample::u_part();
  part.section = *stock::Section::round_tube(38.1, 0.9);
  const MetalForecast metal = *forecast_metal(part, part.section, sample::die("D76", 76.2, 38.1),
                                              driven(), Angle::degrees(94));
  EXPECT_NE(sample::find(metal.findings, "metal.tooling"), nullptr);
  EXPECT_NE(sample::find(metal.findings, "metal.wrinkle"), nullptr);
}

// Solid bar has neither mandrel nor wrinkles, and a rectangular tube no ovality.
TEST(Metal, OnlyWhatApplies) {
  part::Part part = sample::u_part();
  part.section = *stock::Section::round_bar(20);
  const MetalForecast bar =
      *forecast_metal(part, part.section, sample::die("B", 60, 20), driven(), Angle::degrees(94));
  EXPECT_FALSE(bar.nose_mm.has_value());
  EXPECT_TRUE(bar.tooling.empty());
  EXPECT_FALSE(bar.ovality.has_value());
  part.section = *stock::Section::rect_tube(30, 30, 2, 4);
  const MetalForecast box =
      *forecast_metal(part, part.section, sample::die("Q", 90, 30), driven(), Angle::degrees(94));
  EXPECT_FALSE(box.ovality.has_value());
}

TEST(Metal, ImpossibleRadiusIsRefused) {
  const part::Part part = sample::u_part();
  EXPECT_EQ(
      forecast_metal(part, part.section, sample::die("X", 15, 38.1), driven(), Angle::degrees(94))
          .failure()
          .code,
      "bend.radius");
}

// A recalled elongation warns; one from a mill certificate stops.
TEST(Metal, OnlyAFirmElongationStops) {
  part::Part part = sample::u_part();
  part.material.elongation_ratio = stock::Sourced{0.08, stock::Provenance::kUnconfirmed, "test"};
  const workshop::DieSet die = sample::die("D114", 114.3, 38.1);
  const auto severity = [&] {
    const MetalForecast metal =
        *forecast_metal(part, part.section, die, driven(), Angle::degrees(94));
    return sample::find(metal.findings, "metal.elongation")->severity;
  };
  EXPECT_EQ(severity(), part::Severity::kCaution);
  part.material.elongation_ratio->provenance = stock::Provenance::kMillCertificate;
  EXPECT_EQ(severity(), part::Severity::kStop);
}

}  // namespace
}  // namespace bight::planning
