#include "stock/material.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>

namespace bight::stock {
namespace {

Material plain_tube() {
  Material m;
  m.name = "test tube";
  m.density_kg_per_m3 = 7850;
  m.youngs_mpa = {205000, Provenance::kUnconfirmed, "invented"};
  m.yield_min_mpa = Sourced{235, Provenance::kPublishedMinimum, "invented"};
  m.yield_mpa = {300, Provenance::kPublishedTypical, "invented"};
  m.tensile_mpa = {410, Provenance::kPublishedTypical, "invented"};
  m.hollomon = Hollomon{680, 0.19, Provenance::kPublishedTypical, "invented"};
  return m;
}

// Considère's condition found numerically: the largest engineering stress K e^n / exp(e) over the
// true strain e is the tensile strength (G. E. Dieter, Mechanical Metallurgy, section 8-3, from
// memory).
TEST(MaterialReference, ImpliedTensileIsTheLargestEngineeringStress) {
  for (const auto& [strength_mpa, exponent_ratio] :
       {std::pair{205.0, 0.20}, std::pair{1275.0, 0.45}, std::pair{410.0, 0.05}}) {
    double largest_mpa = 0.0;
    for (int i = 1; i <= 100000; ++i) {
      const double strain_ratio = i * 1e-5;
      largest_mpa = std::max(largest_mpa, strength_mpa * std::pow(strain_ratio, exponent_ratio) *
                                              std::exp(-strain_ratio));
    }
    EXPECT_NEAR(implied_tensile_mpa(strength_mpa, exponent_ratio), largest_mpa, 1e-6 * largest_mpa);
  }
}

// Published pairs against published tensile strengths (encyclopaedia table after Kalpakjian;
// aluminium data page: 6061-O Rm 124; 5052-O Rm 193 recalled): 6061-O 205 / 0.20 implies 122,
// 5052-O 210 / 0.13 implies 141 and is refused.
TEST(MaterialReference, PublishedPairs) {
  EXPECT_NEAR(implied_tensile_mpa(205, 0.20), 122, 0.5);
  EXPECT_NEAR(implied_tensile_mpa(210, 0.13), 141, 0.5);
  EXPECT_NEAR(implied_tensile_mpa(530, 0.44), 238, 0.5);
  EXPECT_NEAR(implied_tensile_mpa(900, 0.49), 389, 0.5);
  const Hollomon good{205, 0.20, Provenance::kPublishedTypical, "table"};
  EXPECT_FALSE(checked_hollomon(good, 124).rejected.has_value());
  EXPECT_EQ(checked_hollomon(good, 124).pair, good);
  const auto refused = checked_hollomon({210, 0.13, Provenance::kPublishedTypical, "table"}, 193);
  ASSERT_TRUE(refused.rejected.has_value());
  EXPECT_NE(refused.rejected->find("141 MPa, -27 %"), std::string::npos) << *refused.rejected;
  EXPECT_EQ(refused.pair.provenance, Provenance::kDerived);
  EXPECT_DOUBLE_EQ(refused.pair.exponent_ratio, 0.13);
  EXPECT_NEAR(implied_tensile_mpa(refused.pair.strength_mpa, 0.13), 193, 1e-9);
}

// K from Rm and Rm from K undo each other, and a checked pair always implies Rm within the limit.
RC_GTEST_PROP(MaterialProperty, CheckedPairsAreConsistent, ()) {
  const double exponent_ratio = *rc::gen::inRange(1, 900) / 1000.0;
  const double strength_mpa = *rc::gen::inRange(20, 6000);
  const double tensile_mpa = *rc::gen::inRange(20, 3500);
  const double back_mpa =
      implied_tensile_mpa(derived_strength_mpa(tensile_mpa, exponent_ratio), exponent_ratio);
  RC_ASSERT(std::abs(back_mpa - tensile_mpa) < 1e-9 * tensile_mpa);
  const auto checked = checked_hollomon(
      {strength_mpa, exponent_ratio, Provenance::kPublishedTypical, "table"}, tensile_mpa);
  const double implied_mpa =
      implied_tensile_mpa(checked.pair.strength_mpa, checked.pair.exponent_ratio);
  RC_ASSERT(std::abs(implied_mpa / tensile_mpa - 1.0) <= kHollomonMismatch_ratio + 1e-9);
  RC_ASSERT(checked.rejected.has_value() == (checked.pair.provenance == Provenance::kDerived));
}

// The certificate's numbers win, say so, and leave everything else alone.
TEST(Certified, TakesTheCertificatesNumbers) {
  Certificate c;
  c.heat = "H4711";
  c.yield_mpa = 322;
  c.tensile_mpa = 428;
  c.elongation_ratio = 0.27;
  const auto m = certified(plain_tube(), c);
  ASSERT_TRUE(m.ok()) << m.failure().text();
  EXPECT_EQ(m->heat, "H4711");
  EXPECT_EQ(m->yield_mpa,
            (Sourced{322, Provenance::kMillCertificate, "mill certificate, heat H4711"}));
  EXPECT_DOUBLE_EQ(m->tensile_mpa.value, 428);
  EXPECT_DOUBLE_EQ(m->elongation_ratio->value, 0.27);
  EXPECT_EQ(m->youngs_mpa, plain_tube().youngs_mpa);
  EXPECT_EQ(m->yield_min_mpa, plain_tube().yield_min_mpa);
  EXPECT_EQ(m->hollomon, plain_tube().hollomon);  // implies 411 MPa, 4 % off
  EXPECT_FALSE(m->hollomon_rejected.has_value());
}

// An empty certificate changes nothing.
TEST(Certified, EmptyCertificate) { EXPECT_EQ(*certified(plain_tube(), {}), plain_tube()); }

// A catalogue pair that contradicts the certificate's Rm is derived anew from it.
TEST(Certified, RederivesAContradictedPair) {
  Certificate c;
  c.tensile_mpa = 520;
  c.yield_mpa = 450;
  const auto m = certified(plain_tube(), c);
  ASSERT_TRUE(m.ok());
  EXPECT_EQ(m->hollomon->provenance, Provenance::kDerived);
  EXPECT_NEAR(implied_tensile_mpa(m->hollomon->strength_mpa, m->hollomon->exponent_ratio), 520,
              1e-9);
  EXPECT_TRUE(m->hollomon_rejected.has_value());
}

// K and n from a certificate are used together, or one of them completed.
TEST(Certified, FlowCurve) {
  Certificate both;
  both.strength_mpa = 700;
  both.exponent_ratio = 0.20;
  const auto m = certified(plain_tube(), both);
  EXPECT_EQ(m->hollomon->provenance, Provenance::kMillCertificate);
  EXPECT_DOUBLE_EQ(m->hollomon->strength_mpa, 700);

  Certificate only_n;
  only_n.exponent_ratio = 0.15;
  const auto from_n = certified(plain_tube(), only_n);
  EXPECT_DOUBLE_EQ(from_n->hollomon->exponent_ratio, 0.15);
  EXPECT_NEAR(implied_tensile_mpa(from_n->hollomon->strength_mpa, 0.15), 410, 1e-9);
  EXPECT_EQ(from_n->hollomon->provenance, Provenance::kDerived);

  Certificate only_k;
  only_k.strength_mpa = 690;
  const auto from_k = certified(plain_tube(), only_k);
  EXPECT_DOUBLE_EQ(from_k->hollomon->strength_mpa, 690);
  EXPECT_DOUBLE_EQ(from_k->hollomon->exponent_ratio, 0.19);
  EXPECT_EQ(from_k->hollomon->provenance, Provenance::kPublishedTypical);

  Material without = plain_tube();
  without.hollomon.reset();
  EXPECT_FALSE(certified(without, only_k)->hollomon.has_value());
  EXPECT_FALSE(certified(without, {})->hollomon.has_value());
}

// Numbers that cannot be are refused by name: psi, per cent and GPa typed for MPa and ratio.
TEST(Certified, RefusesNumbersThatCannotBe) {
  const auto where = [](auto change) {
    Certificate c;
    change(c);
    const auto m = certified(plain_tube(), c);
    if (m.ok()) return std::string("accepted");
    EXPECT_EQ(m.failure().code, "material.certificate");
    return m.failure().where;
  };
  EXPECT_EQ(where([](auto& c) { c.tensile_mpa = 60000; }), "tensile strength");
  EXPECT_EQ(where([](auto& c) { c.yield_mpa = -1; }), "yield strength");
  EXPECT_EQ(where([](auto& c) { c.yield_mpa = std::numeric_limits<double>::quiet_NaN(); }),
            "yield strength");
  EXPECT_EQ(where([](auto& c) { c.elongation_ratio = 25; }), "elongation");
  EXPECT_EQ(where([](auto& c) { c.youngs_mpa = 205; }), "modulus of elasticity");
  EXPECT_EQ(where([](auto& c) { c.strength_mpa = 0; }), "strength coefficient K");
  EXPECT_EQ(where([](auto& c) { c.exponent_ratio = 1.2; }), "hardening exponent n");
  EXPECT_EQ(where([](auto& c) {
              c.yield_mpa = 430;
              c.tensile_mpa = 420;
            }),
            "tensile strength");
  // Against the catalogue's yield of 300: only half of the certificate was typed.
  EXPECT_EQ(where([](auto& c) { c.tensile_mpa = 290; }), "tensile strength");
}

}  // namespace
}  // namespace bight::stock
