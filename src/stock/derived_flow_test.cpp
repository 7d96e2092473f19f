#include <gtest/gtest.h>

#include "stock/flow_curve.h"

namespace bight::stock {
namespace {

// From Rp0.2, Rm and A the curve passes the proof stress and implies the tensile strength;
// elastic strain is neglected in the construction, which is worth at most Rm/E of Rm.
TEST(DerivedFlow, MeetsTheCertificate) {
  struct Row {
    double youngs_mpa, proof_mpa, tensile_mpa, elongation_ratio;
  };
  for (const Row& row :
       {Row{205000, 310, 450, 0.30}, Row{193000, 290, 620, 0.55}, Row{68900, 276, 310, 0.12},
        Row{205000, 480, 550, 0.15}, Row{117000, 70, 230, 0.45}, Row{205000, 310, 450, 0.0}}) {
    const auto flow =
        flow_curve(row.youngs_mpa, row.proof_mpa, row.tensile_mpa, row.elongation_ratio);
    ASSERT_TRUE(flow.ok()) << flow.failure().text();
    EXPECT_NEAR(flow->curve.proof_mpa(), row.proof_mpa, 1e-6 * row.proof_mpa);
    EXPECT_NEAR(flow->curve.implied_tensile_mpa(), row.tensile_mpa,
                row.tensile_mpa * 1.5 * row.tensile_mpa / row.youngs_mpa);
    EXPECT_FALSE(flow->construction.empty());
  }
}

// The pencil example of docs/theory/flow_curve.md: Rp0.2 300, Rm 440, A 25 %.
TEST(DerivedFlowReference, CertificateByHand) {
  const auto flow = flow_curve(205000, 300, 440, 0.25);
  ASSERT_TRUE(flow.ok());
  const auto& law = std::get<FlowCurve::Swift>(flow->curve.law());
  EXPECT_NEAR(law.exponent_ratio, 0.15733, 1e-5);
  EXPECT_NEAR(law.prestrain_ratio, 0.003177, 1e-6);
  EXPECT_NEAR(law.strength_mpa, 686.70, 0.01);
}

// A known K and n are kept; the start is moved so that the proof stress is met.
TEST(DerivedFlow, KeepsAPublishedPair) {
  Material m;
  m.youngs_mpa = {205000, Provenance::kPublishedTypical, "t"};
  m.yield_mpa = {330, Provenance::kPublishedTypical, "t"};
  m.tensile_mpa = {420, Provenance::kPublishedTypical, "t"};
  m.hollomon = Hollomon{673, 0.17, Provenance::kUnconfirmed, "t"};
  const auto flow = flow_curve(m);
  ASSERT_TRUE(flow.ok());
  EXPECT_NEAR(flow->curve.proof_mpa(), 330, 1e-9);
  EXPECT_EQ(std::get<FlowCurve::Swift>(flow->curve.law()).strength_mpa, 673);
  EXPECT_EQ(flow->provenance, Provenance::kUnconfirmed);
  m.hollomon.reset();
  EXPECT_EQ(flow_curve(m)->provenance, Provenance::kDerived);
}

// A tensile strength below the proof stress is no certificate.
TEST(DerivedFlow, RefusesNonsense) {
  EXPECT_EQ(flow_curve(205000, 350, 340, 0.2).failure().code, "flow.strength");
  EXPECT_EQ(flow_curve(0, 350, 440, 0.2).failure().code, "flow.youngs");
}

}  // namespace
}  // namespace bight::stock
