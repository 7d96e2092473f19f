#include "stock/flow_curve.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace bight::stock {
namespace {

std::vector<FlowCurve> one_of_each() {
  return {*FlowCurve::perfect(205000, 350),
          *FlowCurve::bilinear(205000, 350, 2050),
          *FlowCurve::hollomon(205000, 550, 0.2),
          *FlowCurve::swift(193000, 1425, 0.02, 0.5),
          *FlowCurve::voce(68900, 150, 310, 12),
          *FlowCurve::tabulated(205000, {{0, 300}, {0.01, 340}, {0.05, 400}, {0.2, 480}})};
}

// A stress read at total strain e = p + s(p)/E gives s(p) back: the two faces of a curve agree.
TEST(FlowCurve, TotalAndPlasticStrainAgree) {
  for (const FlowCurve& curve : one_of_each()) {
    for (double p : {0.0, 1e-5, 1e-4, 0.002, 0.03, 0.25, 0.8}) {
      const double s = curve.flow_mpa(p);
      EXPECT_NEAR(curve.stress_mpa(p + s / curve.youngs_mpa()), s, 1e-9 * s) << curve.text() << p;
    }
  }
}

// The slope is the derivative of the flow stress (central differences).
TEST(FlowCurve, SlopeIsTheDerivative) {
  for (const FlowCurve& curve : one_of_each()) {
    for (double p : {0.003, 0.03, 0.15}) {
      const double h = 1e-6;
      const double slope = (curve.flow_mpa(p + h) - curve.flow_mpa(p - h)) / (2 * h);
      EXPECT_NEAR(curve.hardening_mpa(p), slope, 1e-5 * (1.0 + slope)) << curve.text();
    }
  }
}

// Odd, elastic below yield, never falling.
TEST(FlowCurve, IsOddElasticThenRising) {
  for (const FlowCurve& curve : one_of_each()) {
    const double limit = curve.yield_mpa() / curve.youngs_mpa();
    EXPECT_DOUBLE_EQ(curve.stress_mpa(0.5 * limit), 0.5 * curve.yield_mpa());
    double last = 0.0;
    for (double e = 0.0; e < 0.5; e += 0.0007) {
      EXPECT_GE(curve.stress_mpa(e), last - 1e-9);
      EXPECT_DOUBLE_EQ(curve.stress_mpa(-e), -curve.stress_mpa(e));
      last = curve.stress_mpa(e);
    }
  }
}

// Hollomon's law is s = K e^n in total strain: its value at 10 % is K 0.1^n by hand.
TEST(FlowCurveReference, HollomonByHand) {
  const FlowCurve curve = *FlowCurve::hollomon(205000, 550, 0.2);
  EXPECT_NEAR(curve.stress_mpa(0.1), 550 * std::pow(0.1, 0.2), 1e-9);
  // Where the power meets the elastic line: (550/205000)^(1/0.8) * 205000.
  EXPECT_NEAR(curve.yield_mpa(), 205000 * std::pow(550.0 / 205000.0, 1.25), 1e-9);
}

// Considère (1885): the load maximum of s = K e^n is at e = n, Rm = K (n/e)^n.
TEST(FlowCurveReference, ConsidereForPowerLaw) {
  const FlowCurve curve = *FlowCurve::hollomon(205000, 550, 0.2);
  EXPECT_NEAR(curve.implied_tensile_mpa(), 550 * std::pow(0.2 / std::exp(1.0), 0.2), 1e-4);
}

// Scaling multiplies the stress at every plastic strain; Hollomon's law at every total strain.
TEST(FlowCurve, ScaledIsStronger) {
  for (const FlowCurve& curve : one_of_each()) {
    const FlowCurve strong = curve.scaled(1.1);
    EXPECT_EQ(strong.youngs_mpa(), curve.youngs_mpa());
    if (std::holds_alternative<FlowCurve::HollomonLaw>(curve.law())) {
      EXPECT_NEAR(strong.stress_mpa(0.1), 1.1 * curve.stress_mpa(0.1), 1e-9);
    } else if (std::holds_alternative<FlowCurve::Bilinear>(curve.law())) {
      // The tangent modulus is scaled; in plastic strain that is 1.1 but for (Et/E)^2.
      EXPECT_NEAR(strong.flow_mpa(0.1), 1.1 * curve.flow_mpa(0.1), 0.3);
    } else {
      EXPECT_NEAR(strong.flow_mpa(0.1), 1.1 * curve.flow_mpa(0.1), 1e-9) << curve.text();
    }
  }
}

// More hardening keeps the start (power laws: the proof stress) and raises the stress at 20 %.
TEST(FlowCurve, HardenedKeepsTheStart) {
  for (const FlowCurve& curve : one_of_each()) {
    const FlowCurve more = curve.hardened(1.2);
    EXPECT_NEAR(more.proof_mpa(), curve.proof_mpa(), 0.015 * curve.proof_mpa()) << curve.text();
    EXPECT_EQ(more.flow_mpa(0.2) > curve.flow_mpa(0.2), curve.hardens()) << curve.text();
    EXPECT_NEAR(curve.hardened(1.0).flow_mpa(0.1), curve.flow_mpa(0.1), 1e-9);
    const FlowCurve stiff = curve.stiffened(1.1);
    EXPECT_NEAR(stiff.youngs_mpa(), 1.1 * curve.youngs_mpa(), 1e-9);
    EXPECT_NEAR(stiff.flow_mpa(0.1), curve.flow_mpa(0.1), 1e-3 * curve.flow_mpa(0.1));
  }
}

TEST(FlowCurve, RefusesNonsense) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(FlowCurve::perfect(0, 350).failure().code, "flow.youngs");
  EXPECT_EQ(FlowCurve::perfect(nan, 350).failure().code, "flow.youngs");
  EXPECT_EQ(FlowCurve::perfect(205000, 205000).failure().code, "flow.yield");
  EXPECT_EQ(FlowCurve::perfect(205000, -1).failure().code, "flow.yield");
  EXPECT_EQ(FlowCurve::hollomon(205000, 550, 1.2).failure().code, "flow.hardening");
  EXPECT_EQ(FlowCurve::swift(205000, 550, 0.0, 0.2).failure().code, "flow.hardening");
  EXPECT_EQ(FlowCurve::swift(205000, 550, 0.01, nan).failure().code, "flow.hardening");
  EXPECT_EQ(FlowCurve::bilinear(205000, 350, 205000).failure().code, "flow.hardening");
  EXPECT_EQ(FlowCurve::voce(205000, 350, 340, 5).failure().code, "flow.hardening");
  EXPECT_EQ(FlowCurve::voce(205000, 350, 360, -5).failure().code, "flow.hardening");
  EXPECT_EQ(FlowCurve::tabulated(205000, {}).failure().code, "flow.hardening");
  EXPECT_EQ(FlowCurve::tabulated(205000, {{0, 300}, {0.1, 290}}).failure().code, "flow.hardening");
}

// Unloading modulus, hand value: E0 193, Ea 165 GPa, xi 50, p 0.02 -> 193 - 28 (1 - e^-1).
TEST(UnloadingModulus, FallsTowardsItsSaturation) {
  const UnloadingModulus u{165000, 50, Provenance::kUnconfirmed, "t"};
  EXPECT_DOUBLE_EQ(u.at(193000, 0), 193000);
  EXPECT_NEAR(u.at(193000, 0.02), 193000 - 28000 * (1 - std::exp(-1.0)), 1e-9);
}

}  // namespace
}  // namespace bight::stock
