#include "mechanics/ovality.h"

#include <gtest/gtest.h>

namespace bight::mechanics {
namespace {

using stock::FlowCurve;
using stock::Section;

OvalityCase mild_steel(double od_mm, double wall_mm, double clr_mm) {
  return {*Section::round_tube(od_mm, wall_mm), *FlowCurve::swift(205000, 600, 0.005, 0.15), 0.3,
          clr_mm};
}

TEST(Ovality, BrazierLimit) {
  // Proves the closed form: r 25, t 1, E 68.9 GPa, nu 0.33 -> kappa_B 7.990068e-4 (R 1251.55),
  // M_B 1801.558 N m, zeta 2/9 (Brazier 1927; the numbers cross-checked by pi E r³ t kappa
  // (1 - 1.5 zeta) at that point).
  const auto limit = brazier_limit(25, 1, 68900, 0.33);
  ASSERT_TRUE(limit.ok());
  EXPECT_NEAR(limit->curvature_per_mm, 7.990068e-4, 1e-9);
  EXPECT_NEAR(1 / limit->curvature_per_mm, 1251.55, 0.01);
  EXPECT_NEAR(limit->moment_nmm / 1000, 1801.558, 1e-3);
  EXPECT_DOUBLE_EQ(limit->amplitude_ratio, 2.0 / 9);
  EXPECT_EQ(brazier_limit(25, 0, 68900, 0.3).failure().code, "ovality.section");
}

TEST(Ovality, SaysCollapsesInsteadOfANumber) {
  // Proves that a tight free bend has no ovality. The study of slices by finite elements
  // (unpublished, given as a blind check) found free sections collapsing beyond moderate
  // curvature for D/t 8 to 40.
  const auto tight = free_ovality(mild_steel(38.1, 1.65, 114.3));
  ASSERT_TRUE(tight.ok());
  EXPECT_EQ(tight->fate, SectionFate::kCollapses);
  EXPECT_FALSE(tight->of_nominal.has_value());
  EXPECT_NE(tight->message.find("collapses"), std::string::npos);
  const auto wide = free_ovality(mild_steel(38.1, 1.65, 1200));
  EXPECT_EQ(wide->fate, SectionFate::kHolds);
  ASSERT_TRUE(wide->of_nominal.has_value());
  EXPECT_LT(wide->of_nominal->low_ratio, wide->of_nominal->likely_ratio);
  EXPECT_LT(wide->of_nominal->likely_ratio, wide->of_nominal->high_ratio);
}

TEST(Ovality, CollapseRadiusSeparatesTheFates) {
  // Proves that collapse_clr_mm and free_ovality tell one story on both sides of each limit.
  const auto limit = collapse_clr_mm(mild_steel(30, 3, 0), FlatteningMode::kFree);
  ASSERT_TRUE(limit.ok());
  EXPECT_LT(limit->low_mm, limit->likely_mm);
  EXPECT_LT(limit->likely_mm, limit->high_mm);
  const auto fate = [](double clr_mm) { return free_ovality(mild_steel(30, 3, clr_mm))->fate; };
  EXPECT_EQ(fate(limit->likely_mm * 0.99), SectionFate::kCollapses);
  EXPECT_EQ(fate(limit->likely_mm * 1.01), SectionFate::kMayCollapse);
  EXPECT_EQ(fate(limit->high_mm * 1.01), SectionFate::kHolds);
}

TEST(Ovality, ToolsBoundTheSection) {
  // Proves the order of supports: balls hold closest, a plug between, a groove alone least.
  const auto bend = mild_steel(38.1, 1.65, 114.3);
  const double nose_mm = 38.1 - 2.21 * 1.65;
  const auto groove = supported_ovality(bend, {0.2, {}, false});
  const auto plug = supported_ovality(bend, {0.2, nose_mm, false});
  const auto balls = supported_ovality(bend, {0.2, nose_mm, true});
  ASSERT_TRUE(groove.ok() && plug.ok() && balls.ok());
  ASSERT_TRUE(groove->of_nominal && plug->of_nominal && balls->of_nominal);
  EXPECT_LE(balls->of_nominal->likely_ratio, plug->of_nominal->likely_ratio);
  EXPECT_LT(plug->of_nominal->likely_ratio, groove->of_nominal->likely_ratio);
  EXPECT_NEAR(balls->of_nominal->high_ratio, (0.21 * 1.65 + 0.2) / 38.1, 1e-12);
  EXPECT_NEAR(plug->of_nominal->low_ratio, 0.21 * 1.65 / 38.1, 1e-12);
  for (const auto& spread : {groove->of_nominal, plug->of_nominal, balls->of_nominal}) {
    EXPECT_LE(spread->low_ratio, spread->likely_ratio);
    EXPECT_LE(spread->likely_ratio, spread->high_ratio);
    EXPECT_FALSE(spread->reason.empty());
  }
}

TEST(Ovality, MeasuredMandrelBendsLieWithinThePlugBand) {
  // Plausibility: 22 x 1.0 mm rotary-draw mandrel bends measured 1.4 to 3.4 % (open data set,
  // arXiv 2509.10272). Neither radius nor metal stands in the files read, so the band is asked at
  // 2 D and 3 D of a mild steel and need only overlap what was measured.
  for (const double d_of_bend : {2.0, 3.0}) {
    const auto plug = supported_ovality(mild_steel(22, 1, d_of_bend * 22), {0.1, 22 - 2.21, false});
    ASSERT_TRUE(plug->of_nominal.has_value());
    EXPECT_LT(plug->of_nominal->low_ratio, 0.034);
    EXPECT_GT(plug->of_nominal->high_ratio, 0.014);
  }
}

TEST(Ovality, SmallestRadiusMeetsItsLimit) {
  // Proves the inverse: at the radius found the forecast is the limit, free and in a groove.
  for (const bool held : {false, true}) {
    const std::optional<BendSupport> support =
        held ? std::optional(BendSupport{0.0, {}, false}) : std::nullopt;
    auto bend = mild_steel(60.3, 3.91, 0);
    const auto radius = smallest_clr_for_ovality_mm(bend, support, 0.05);
    ASSERT_TRUE(radius.ok());
    EXPECT_LT(radius->low_mm, radius->likely_mm);
    EXPECT_LT(radius->likely_mm, radius->high_mm);
    bend.clr_mm = radius->high_mm;
    const auto forecast = held ? supported_ovality(bend, *support) : free_ovality(bend);
    ASSERT_TRUE(forecast->of_nominal.has_value());
    EXPECT_NEAR(forecast->of_nominal->high_ratio, 0.05, 2e-4);
  }
}

TEST(Ovality, CurvesAnswerAsTheForecasts) {
  // Proves the look-up for sliders against the forecasts worked out one by one: fate, ovality
  // within 1 % of itself, collapse radius within 0.2 %, for every support and both sides of
  // collapse.
  const double nose_mm = 38.1 - 2.21 * 1.65;
  const auto tube = mild_steel(38.1, 1.65, 0);
  const auto groove = OvalityCurves::make(tube, FlatteningMode::kCradled);
  const auto free = OvalityCurves::make(tube, FlatteningMode::kFree);
  ASSERT_TRUE(groove.ok() && free.ok());
  const auto same = [](const OvalityForecast& fast, const OvalityForecast& full, double clr_mm) {
    EXPECT_EQ(fast.fate, full.fate) << clr_mm;
    ASSERT_EQ(fast.of_nominal.has_value(), full.of_nominal.has_value()) << clr_mm;
    if (!full.of_nominal) return;
    EXPECT_NEAR(fast.of_nominal->low_ratio, full.of_nominal->low_ratio,
                0.015 * full.of_nominal->low_ratio);
    EXPECT_NEAR(fast.of_nominal->likely_ratio, full.of_nominal->likely_ratio,
                0.015 * full.of_nominal->likely_ratio);
    EXPECT_NEAR(fast.of_nominal->high_ratio, full.of_nominal->high_ratio,
                0.015 * full.of_nominal->high_ratio);
  };
  for (const double clr_mm : {57.15, 76.2, 114.3, 300.0, 560.0, 640.0, 900.0, 5000.0}) {
    auto bend = tube;
    bend.clr_mm = clr_mm;
    for (const BendSupport& support :
         {BendSupport{}, BendSupport{0.2, {}, false}, BendSupport{0.2, nose_mm, false},
          BendSupport{0.2, nose_mm, true}}) {
      same(*groove->at(clr_mm, support), *supported_ovality(bend, support), clr_mm);
    }
    same(*free->at(clr_mm), *free_ovality(bend), clr_mm);
  }
  const auto limit = *collapse_clr_mm(tube, FlatteningMode::kFree);
  EXPECT_NEAR(free->collapse_clr_mm().likely_mm / limit.likely_mm, 1.0, 1e-3);
  EXPECT_NEAR(free->collapse_clr_mm().high_mm / limit.high_mm, 1.0, 1e-3);
  EXPECT_EQ(free->at(100, {0.2, {}, false}).failure().code, "ovality.support");
  EXPECT_EQ(free->at(10).failure().code, "ovality.radius");
  auto bar = tube;
  bar.section = *Section::round_bar(20);
  EXPECT_EQ(OvalityCurves::make(bar, FlatteningMode::kFree).failure().code, "ovality.section");
}

TEST(Ovality, FiguresOfTheTheoryPage) {
  // Proves the worked figures of docs/theory/ovality.md, printed to one decimal; the pipeline rule
  // beside them (1.36 and 2.93 %) is recalled and not used.
  const BendSupport groove{0.2, {}, false};
  const auto small = *supported_ovality(mild_steel(38.1, 1.65, 114.3), groove);
  EXPECT_NEAR(small.of_nominal->low_ratio, 0.035, 6e-4);
  EXPECT_NEAR(small.of_nominal->likely_ratio, 0.047, 6e-4);
  EXPECT_NEAR(small.of_nominal->high_ratio, 0.063, 6e-4);
  const auto pipe = *supported_ovality(mild_steel(60.3, 3.91, 90.45), groove);
  EXPECT_NEAR(pipe.of_nominal->low_ratio, 0.058, 6e-4);
  EXPECT_NEAR(pipe.of_nominal->likely_ratio, 0.076, 6e-4);
  EXPECT_NEAR(pipe.of_nominal->high_ratio, 0.099, 6e-4);
  EXPECT_NEAR(collapse_clr_mm(mild_steel(38.1, 1.65, 0), FlatteningMode::kFree)->likely_mm, 591, 1);
  EXPECT_NEAR(free_ovality(mild_steel(219.1, 12.7, 6000))->of_nominal->likely_ratio, 0.0113, 1e-4);
  EXPECT_NEAR(free_ovality(mild_steel(60.3, 3.91, 1000))->of_nominal->likely_ratio, 0.0240, 1e-4);
}

TEST(Ovality, SaysWhenTheTheoryIsStretched) {
  // Proves that thick walls and tight bends are flagged, and ordinary ones are not.
  EXPECT_TRUE(supported_ovality(mild_steel(38.1, 1.65, 114.3), {})->beyond_range.empty());
  EXPECT_FALSE(supported_ovality(mild_steel(38.1, 1.65, 60), {})->beyond_range.empty());
  EXPECT_FALSE(supported_ovality(mild_steel(20, 4, 80), {})->beyond_range.empty());
}

TEST(Ovality, RefusesWhatItCannotAnswer) {
  // Proves the failure codes.
  auto bar = mild_steel(38.1, 1.65, 114.3);
  bar.section = *Section::round_bar(20);
  EXPECT_EQ(free_ovality(bar).failure().code, "ovality.section");
  EXPECT_EQ(free_ovality(mild_steel(38.1, 1.65, 19)).failure().code, "ovality.radius");
  const auto bend = mild_steel(38.1, 1.65, 114.3);
  EXPECT_EQ(supported_ovality(bend, {-0.1, {}, false}).failure().code, "ovality.support");
  EXPECT_EQ(supported_ovality(bend, {0, 36.0, false}).failure().code, "ovality.support");
  EXPECT_EQ(supported_ovality(bend, {0, {}, true}).failure().code, "ovality.support");
  EXPECT_EQ(smallest_clr_for_ovality_mm(bend, BendSupport{2, {}, false}, 0.05).failure().code,
            "ovality.limit");
}

}  // namespace
}  // namespace bight::mechanics
