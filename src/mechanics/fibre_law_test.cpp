#include "mechanics/fibre_law.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace bight::mechanics {
namespace {

using stock::FlowCurve;

// The table against the curve it was made from (Newton's method in the stock room), free section.
TEST(FibreLaw, FollowsItsCurve) {
  const std::vector<FlowCurve> curves{
      *FlowCurve::perfect(205e3, 350),           *FlowCurve::bilinear(205e3, 350, 2050),
      *FlowCurve::hollomon(205e3, 550, 0.2),     *FlowCurve::swift(193e3, 1425, 0.02, 0.5),
      *FlowCurve::swift(205e3, 700, 1e-4, 0.15), *FlowCurve::voce(68.9e3, 150, 310, 12)};
  for (const FlowCurve& curve : curves) {
    const FibreLaw law(curve);
    for (double e = 1e-5; e < 1.5; e *= 1.07) {
      const double s = curve.stress_mpa(e);
      EXPECT_NEAR(law.stress_mpa(e), s, 2e-5 * s) << curve.text() << " at " << e;
      EXPECT_DOUBLE_EQ(law.stress_mpa(-e), -law.stress_mpa(e));
      const double h = 1e-7 * e;
      const double slope = (law.stress_mpa(e + h) - law.stress_mpa(e - h)) / (2 * h);
      const bool at_yield = std::abs(e / law.yield_strain_ratio() - 1) < 1e-5;
      if (at_yield) continue;
      EXPECT_NEAR(law.tangent_mpa(e), slope, 1e-6 * curve.youngs_mpa() + 2e-3 * slope);
    }
  }
}

// Plane strain, perfectly plastic (Hill 1950): axial yield 2/sqrt(3) of the uniaxial, elastic
// slope E/(1 - nu^2), all thinning in the wall.
TEST(FibreLaw, PlaneStrainLimits) {
  const FibreLaw law(*FlowCurve::perfect(200e3, 300), 1.0, 0.3);
  EXPECT_NEAR(law.stress_mpa(0.1), 300 * 2 / std::sqrt(3.0), 1e-9);
  EXPECT_NEAR(law.modulus_mpa(), 200e3 / 0.91, 1e-6);
  EXPECT_DOUBLE_EQ(law.thinning_share_ratio(), 1.0);
  EXPECT_DOUBLE_EQ(FibreLaw(*FlowCurve::perfect(200e3, 300)).thinning_share_ratio(), 0.5);
}

// Work of the axial and hoop stresses is work of the flow stress (virtual work, any hold). Hoop
// stress from the flow rule: s_hoop = flow * 2 hold / (3 sqrt(1 + hold^2/3)).
TEST(FibreLaw, WorkIsConjugate) {
  const FlowCurve curve = *FlowCurve::swift(205e3, 700, 0.01, 0.2);
  for (double hold : {0.0, 0.3, 0.7, 1.0}) {
    const FibreLaw law(curve, hold, 0.3);
    const double e = 0.2;
    const double p = law.equivalent_plastic_ratio(e);
    const double factor = std::sqrt(1.0 + hold * hold / 3.0);
    const double hoop_mpa = curve.flow_mpa(p) * 2.0 * hold / (3.0 * factor);
    const double work = law.stress_mpa(e) - 0.5 * (1.0 - hold) * hoop_mpa;  // per axial strain
    EXPECT_NEAR(work, curve.flow_mpa(p) * factor, 1e-4 * work) << hold;
  }
}

}  // namespace
}  // namespace bight::mechanics
