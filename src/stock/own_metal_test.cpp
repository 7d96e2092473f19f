#include "stock/own_metal.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace bight::stock {
namespace {

const Metals& book() {
  static const Metals metals = *Metals::built_in();
  return metals;
}

OwnMetal rack_tube() {
  OwnMetal own;
  own.name = "Heron tube";
  own.like = "304L annealed";
  own.aliases = {"north rack 304L"};
  own.yield_mpa = 262.0;
  own.tensile_mpa = 610.0;
  own.elongation_ratio = 0.52;
  own.strengths = {Origin::kCertificate, "sheet 4711"};
  return own;
}

std::vector<std::string> places_of(const OwnMetal& own) {
  std::vector<std::string> places;
  for (const base::Failure& fault : faults_of(own, book())) {
    places.push_back(fault.code + " " + fault.where);
  }
  return places;
}
using Places = std::vector<std::string>;

// What is said stands with where it is from; the rest is as in the metal it is like.
TEST(OwnMetal, TakesTheRestFromTheMetalItIsLike) {
  const Metal metal = *metal_of(rack_tube(), book());
  const Material like = find_metal(book(), "304L annealed")->metal.material;
  EXPECT_TRUE(metal.own);
  EXPECT_EQ(metal.material.name, "Heron tube");
  EXPECT_EQ(metal.material.yield_mpa,
            (Sourced{262.0, Provenance::kMillCertificate, "own material, sheet 4711"}));
  EXPECT_EQ(metal.material.youngs_mpa, like.youngs_mpa);
  EXPECT_EQ(metal.material.density_kg_per_m3, like.density_kg_per_m3);
  EXPECT_EQ(metal.material.family, "stainless steel");
}

// K from n and Rm so that the load is largest at Rm: d(sigma exp(-eps))/d(eps) = 0 at eps = n,
// which gives Rm = K n^n exp(-n) (Considère); here worked out the long way round.
TEST(OwnMetal, StrengthCoefficientFromTheExponent) {
  OwnMetal own = rack_tube();
  own.exponent_ratio = 0.4;
  const Material m = metal_of(own, book())->material;
  ASSERT_TRUE(m.hollomon);
  double largest_mpa = 0.0;
  for (double strain = 0.01; strain < 1.0; strain += 1e-4) {
    largest_mpa =
        std::max(largest_mpa, m.hollomon->strength_mpa * std::pow(strain, 0.4) * std::exp(-strain));
  }
  EXPECT_NEAR(largest_mpa, 610.0, 1e-3);
}

// A pair of K and n far from Rm is not used as it is, and says so.
TEST(OwnMetal, ContradictingPairIsSaid) {
  OwnMetal own = rack_tube();
  own.strength_mpa = 600.0;
  own.exponent_ratio = 0.4;
  const Material m = metal_of(own, book())->material;
  EXPECT_TRUE(m.hollomon_rejected);
  EXPECT_EQ(m.hollomon->provenance, Provenance::kDerived);
}

// A guess is never more than unconfirmed.
TEST(OwnMetal, WhereNumbersAreFrom) {
  OwnMetal own = rack_tube();
  own.strengths = {};
  EXPECT_EQ(metal_of(own, book())->material.yield_mpa.provenance, Provenance::kUnconfirmed);
  EXPECT_EQ(metal_of(own, book())->material.yield_mpa.source, "own material, own guess");
  own.strengths.origin = Origin::kSupplier;
  EXPECT_EQ(words(metal_of(own, book())->material.yield_mpa.provenance), "supplier's sheet");
  own.strengths.origin = Origin::kMeasured;
  EXPECT_EQ(words(metal_of(own, book())->material.yield_mpa.provenance), "measured here");
}

TEST(OwnMetal, FaultsSayWhichKey) {
  OwnMetal own;
  own.name = "Heron tube";
  EXPECT_EQ(places_of(own),
            (Places{"material.missing rp02", "material.missing rm", "material.missing youngs",
                    "material.missing density_kg_per_m3"}));
  own = rack_tube();
  EXPECT_EQ(places_of(own), Places{});
  own.like = "unobtainium";
  EXPECT_EQ(places_of(own), Places{"material.like like"});
  own = rack_tube();
  own.yield_mpa = 36000.0;  // psi taken for MPa
  EXPECT_EQ(places_of(own)[0], "material.value rp02");
  own = rack_tube();
  own.yield_mpa = 620.0;
  EXPECT_EQ(places_of(own), Places{"material.value rm"});
  own = rack_tube();
  own.tensile_mpa.reset();
  own.yield_mpa = 900.0;  // above the Rm of the metal it is like
  EXPECT_EQ(places_of(own), Places{"material.value rp02"});
  own = rack_tube();
  own.aliases = {"316L annealed"};
  EXPECT_EQ(places_of(own), Places{"material.name aliases"});
  own = rack_tube();
  own.name = " - ";
  EXPECT_EQ(places_of(own), Places{"material.name name"});
  OwnMetal half;
  half.name = "Reed bar";
  half.yield_mpa = 250.0;
  half.tensile_mpa = 400.0;
  half.youngs_mpa = 205000.0;
  half.density_kg_per_m3 = 7850.0;
  EXPECT_EQ(places_of(half), Places{});
  half.strength_mpa = 700.0;
  EXPECT_EQ(places_of(half), Places{"material.value n"});
}

// Beside the catalogue it changes no name that stood for something; in the catalogue's place it is
// found by every name that the metal there had.
TEST(OwnMetal, FoundByItsNamesAlone) {
  const Metals all = book().with({*metal_of(rack_tube(), book())});
  ASSERT_EQ(all.all().size(), book().all().size() + 1);
  EXPECT_TRUE(find_metal(all, "heron TUBE")->metal.own);
  EXPECT_TRUE(find_metal(all, "north rack 304L")->metal.own);
  EXPECT_TRUE(find_metal(all, "heron")->metal.own);
  for (const Metal& metal : book().all()) {
    EXPECT_FALSE(find_metal(all, metal.material.name)->metal.own) << metal.material.name;
  }
  EXPECT_EQ(find_metal(all, "304L")->metal.material.name,
            find_metal(book(), "304L")->metal.material.name);

  OwnMetal instead = rack_tube();
  instead.name = "304L Annealed";
  instead.like.clear();
  instead.aliases.clear();
  const Metals replaced = book().with({*metal_of(instead, book())});
  ASSERT_EQ(replaced.all().size(), book().all().size());
  EXPECT_TRUE(find_metal(replaced, "304L")->metal.replaces);
  EXPECT_EQ(find_metal(replaced, "304L")->metal.material.yield_mpa.value, 262.0);
}

}  // namespace
}  // namespace bight::stock
