#include "stock/metals.h"

#include <gtest/gtest.h>

#include <cmath>

#include "stock/section.h"

namespace bight::stock {
namespace {

const Metals& catalogue() {
  static const Metals metals = *Metals::built_in();
  return metals;
}

std::string found(std::string_view query) {
  const auto answer = find_metal(catalogue(), query);
  return answer.ok() ? answer->metal.material.name : answer.failure().code;
}

Material material(std::string_view query) { return find_metal(catalogue(), query)->metal.material; }

// Every metal is found by its own name, its aliases, and with its words run together or reversed.
TEST(Metals, EveryRowIsFoundByEachOfItsNames) {
  ASSERT_EQ(catalogue().all().size(), 63u);
  for (const Metal& metal : catalogue().all()) {
    const std::string& name = metal.material.name;
    EXPECT_EQ(found(name), name);
    for (const std::string& alias : metal.aliases) EXPECT_EQ(found(alias), name) << alias;
    std::string shouted, run_together;
    for (const char c : name) {
      shouted += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
      if (c != ' ' && c != '-' && c != '+' && c != '/' && c != '.') run_together += c;
    }
    EXPECT_EQ(found(shouted), name);
    EXPECT_EQ(found(run_together), name);
    EXPECT_EQ(found(metal.material.condition + " " + metal.grade), name);
  }
}

// Names as people type them.
TEST(Metals, ForgivingNames) {
  EXPECT_EQ(found("316L annealed"), "316L annealed");
  EXPECT_EQ(found("Annealed 316 L"), "316L annealed");
  EXPECT_EQ(found("304"), "304 annealed");
  EXPECT_EQ(found("ss304"), "304 annealed");
  EXPECT_EQ(found("1.4404"), "316L annealed");
  EXPECT_EQ(found("AISI 321 stainless"), "321 annealed");
  EXPECT_EQ(found("S235"), "S235JRH");
  EXPECT_EQ(found("6061-T6"), "6061-T6");
  EXPECT_EQ(found("6061 t6 aluminum"), "6061-T6");
  EXPECT_EQ(found("copper R220"), "Cu-DHP R220");
  EXPECT_EQ(found("hard copper"), "Cu-DHP R290");
  EXPECT_EQ(found("EMT steel"), "Conduit steel");
  EXPECT_EQ(found("4130"), "4130 normalised");
  EXPECT_EQ(found("titanium grade 2"), "Ti Grade 2 annealed");
  EXPECT_EQ(found("E235 +C"), "E235+C");
  EXPECT_EQ(found("A106 gr B"), "A106 Grade B");
}

// Several conditions: the usual supply with a note, or the choices; never a silent guess.
TEST(Metals, SeveralConditions) {
  const auto dom = find_metal(catalogue(), "1020 DOM");
  ASSERT_TRUE(dom.ok());
  EXPECT_EQ(dom->metal.material.name, "1020 DOM stress relieved");
  ASSERT_EQ(dom->notes.size(), 1u);
  EXPECT_NE(dom->notes[0].find("1020 DOM as drawn"), std::string::npos) << dom->notes[0];
  EXPECT_EQ(found("E235"), "E235+N");

  for (const char* query : {"6061", "1020", "copper", "C12200", "stainless steel", "steel", "T6"}) {
    EXPECT_EQ(found(query), "metal.ambiguous") << query;
  }
  const auto six = find_metal(catalogue(), "6061");
  EXPECT_EQ(six.failure().remedy, "say which: 6061-O, 6061-T4, 6061-T6");
}

// What is not in the table is refused with what is near.
TEST(Metals, NearMisses) {
  const auto near = [](std::string_view query) {
    const auto answer = find_metal(catalogue(), query);
    if (answer.ok()) return "found " + answer->metal.material.name;
    EXPECT_EQ(answer.failure().code, "metal.unknown") << query;
    return answer.failure().remedy;
  };
  EXPECT_EQ(near("316"), "perhaps 316L annealed");
  EXPECT_EQ(near("6061-T5"), "perhaps 6061-O, 6061-T4, 6061-T6");
  EXPECT_EQ(near("anealed 2205"), "perhaps 2205 annealed");
  EXPECT_EQ(near("unobtainium"), "a grade and a condition, such as 316L annealed");
  EXPECT_EQ(near(""), "a grade and a condition, such as 316L annealed");
  EXPECT_EQ(near("\xC3\x97 +"), "a grade and a condition, such as 316L annealed");
}

// Specified minima as printed by their specifications (secondary pages): ASTM A53 Grade B
// 240/415 MPa 30 %; ASTM A269 TP316L 170/485/35; ASTM A513 type 5 1020 stress relieved 379/448/10;
// EN 10219-1 S235JRH 235/360/24; ASTM B338 Grade 2 276/345/20; first and last rows of the table.
TEST(MetalsReference, SpecifiedMinima) {
  const auto expect = [](std::string_view name, double yield_mpa, double tensile_mpa,
                         double elongation_ratio) {
    const Material m = material(name);
    EXPECT_EQ(*m.yield_min_mpa,
              (Sourced{yield_mpa, Provenance::kPublishedMinimum, m.yield_min_mpa->source}));
    EXPECT_DOUBLE_EQ(m.tensile_min_mpa->value, tensile_mpa);
    EXPECT_NEAR(m.elongation_min_ratio->value, elongation_ratio, 1e-12);
    EXPECT_FALSE(m.yield_min_mpa->source.empty());
  };
  expect("A53 Grade B", 240, 415, 0.30);
  expect("316L annealed", 170, 485, 0.35);
  expect("1020 DOM stress relieved", 379, 448, 0.10);
  expect("S235JRH", 235, 360, 0.24);
  expect("Ti Grade 2 annealed", 276, 345, 0.20);
  EXPECT_EQ(catalogue().all().front().material.name, "A53 Grade B");
  EXPECT_EQ(catalogue().all().back().material.name, "Conduit steel");
  EXPECT_EQ(material("EMT steel").yield_mpa.provenance, Provenance::kRuleOfThumb);
  EXPECT_FALSE(material("EMT steel").hollomon.has_value());
}

// Marks: what was recalled is unconfirmed, what was read is not, each number by itself.
TEST(Metals, ProvenanceOfEachNumber) {
  const Material m = material("304 annealed");
  EXPECT_EQ(m.yield_mpa.provenance, Provenance::kPublishedTypical);
  EXPECT_EQ(m.elongation_ratio->provenance, Provenance::kUnconfirmed);
  EXPECT_EQ(m.youngs_mpa.provenance, Provenance::kUnconfirmed);
  EXPECT_EQ(m.hollomon->provenance, Provenance::kUnconfirmed);
  EXPECT_EQ(material("316L").youngs_mpa.provenance, Provenance::kPublishedTypical);
  EXPECT_EQ(material("316L").hollomon->provenance, Provenance::kDerived);
  EXPECT_EQ(material("6061-O").hollomon->provenance, Provenance::kPublishedTypical);
  EXPECT_EQ(material("S355").yield_min_mpa->provenance, Provenance::kUnconfirmed);
}

// Which published pairs survive the 15 % rule: K (n/e)^n against typical Rm. 6061-O 122 : 124,
// copper 238 : 225, 304 568 : 600, 2024-T3 439 : 483 pass; 5052-O 141 : 193, brass 389 : 325,
// 1100-O 107 : 90, 1008 288 : 350 do not. (Encyclopaedia table after Kalpakjian; Callister.)
TEST(MetalsReference, FlowCurvesThatContradictTheStrength) {
  for (const char* name : {"6061-O", "C12200 annealed", "304", "2024-T3", "6061-T6"}) {
    EXPECT_FALSE(material(name).hollomon_rejected.has_value()) << name;
  }
  for (const char* name : {"5052-O", "C26000", "1100-O", "1008 HREW"}) {
    const auto answer = find_metal(catalogue(), name);
    ASSERT_TRUE(answer->metal.material.hollomon_rejected.has_value()) << name;
    EXPECT_EQ(answer->metal.material.hollomon->provenance, Provenance::kDerived);
    EXPECT_EQ(answer->notes.front(), *answer->metal.material.hollomon_rejected);
  }
  std::size_t num_rejected = 0;
  for (const Metal& metal : catalogue().all()) {
    const Material& m = metal.material;
    if (m.hollomon_rejected) ++num_rejected;
    if (!m.hollomon) continue;
    const double off_ratio =
        implied_tensile_mpa(m.hollomon->strength_mpa, m.hollomon->exponent_ratio) /
            m.tensile_mpa.value -
        1.0;
    EXPECT_LE(std::abs(off_ratio), 0.15) << m.name;
  }
  EXPECT_EQ(num_rejected, 4u);
}

// Mass factors of EN 10220 for stainless tube against 7850 kg/m³: austenitic 1.015, ferritic and
// martensitic 0.985. One factor stands for a family whose densities spread by about 1 %.
TEST(MetalsReference, StainlessMassFactors) {
  const Section tube = *Section::round_tube(48.3, 3.2);
  const double carbon_kg_per_m = tube.mass_kg_per_m(material("S235").density_kg_per_m3);
  for (const char* name : {"304", "304L", "316L", "321"}) {
    EXPECT_NEAR(tube.mass_kg_per_m(material(name).density_kg_per_m3) / carbon_kg_per_m, 1.015, 0.01)
        << name;
  }
  for (const char* name : {"430", "409"}) {
    EXPECT_NEAR(tube.mass_kg_per_m(material(name).density_kg_per_m3) / carbon_kg_per_m, 0.985, 0.01)
        << name;
  }
}

// Every metal has numbers of a possible size, and a mass per metre that follows its density.
// Bounds: lightest and heaviest metals bent cold are aluminium 2.6 and copper 9.0 kg/dm³.
TEST(Metals, EveryRowIsPlausible) {
  const Section bar = *Section::rect_bar(10, 10);
  for (const Metal& metal : catalogue().all()) {
    const Material& m = metal.material;
    EXPECT_GT(m.density_kg_per_m3, 2600) << m.name;
    EXPECT_LT(m.density_kg_per_m3, 9000) << m.name;
    EXPECT_NEAR(bar.mass_kg_per_m(m.density_kg_per_m3), m.density_kg_per_m3 * 1e-4, 1e-9) << m.name;
    EXPECT_GE(m.youngs_mpa.value, 60000) << m.name;
    EXPECT_LE(m.youngs_mpa.value, 220000) << m.name;
    EXPECT_GT(m.tensile_mpa.value, m.yield_mpa.value) << m.name;
    const double most_mpa = metal.tensile_max_mpa ? metal.tensile_max_mpa->value : 3500.0;
    EXPECT_LE(m.tensile_mpa.value, most_mpa) << m.name;
    EXPECT_GE(m.yield_mpa.value, m.yield_min_mpa ? m.yield_min_mpa->value : 0.0) << m.name;
    EXPECT_GE(m.tensile_mpa.value, m.tensile_min_mpa ? m.tensile_min_mpa->value : 0.0) << m.name;
    for (const Sourced& number : {m.youngs_mpa, m.yield_mpa, m.tensile_mpa}) {
      EXPECT_FALSE(number.source.empty()) << m.name;
    }
  }
}

// A table of one's own is read the same way, and refused at the cell where something is wrong.
TEST(Metals, TableOfOnesOwn) {
  const std::string header =
      "name,grade,number,spec,condition,family,aliases,usual,density_kg_per_m3,youngs_gpa,"
      "youngs_mark,youngs_source,poisson_ratio,yield_min_mpa,tensile_min_mpa,tensile_max_mpa,"
      "elongation_min_pct,min_mark,min_source,yield_typ_mpa,tensile_typ_mpa,elongation_typ_pct,"
      "typ_mark,typ_source,strength_mpa,exponent_ratio,flow_mark,flow_source\n";
  const auto read = [&](const std::string& rows) {
    return Metals::read(*base::CsvTable::parse(header + rows, "own.csv"));
  };
  const std::string good = "X1,X1,,,,,,,7850,205,RULE,s,0.3,200,300,,20,VERIFIED,s,,,,,,,,,\n";
  const auto metals = read(good);
  ASSERT_TRUE(metals.ok()) << metals.failure().text();
  // Without a typical value the minimum is the best that is known.
  EXPECT_EQ(metals->all()[0].material.yield_mpa,
            (Sourced{200, Provenance::kPublishedMinimum, "s"}));
  const auto where = [&](const std::string& rows) {
    const auto result = read(rows);
    return result.ok() ? "accepted" : result.failure().where;
  };
  EXPECT_EQ(where(good + good), "own.csv:3, column name");
  EXPECT_EQ(where(",X1,,,,,,,7850,205,RULE,s,0.3,200,300,,20,VERIFIED,s,,,,,,,,,\n"),
            "own.csv:2, column name");
  EXPECT_EQ(where("X1,X1,,,,,,,7850,205,RULE,s,0.6,200,300,,20,VERIFIED,s,,,,,,,,,\n"),
            "own.csv:2, column poisson_ratio");
  EXPECT_EQ(where("X1,X1,,,,,,,7850,205,RULE,s,0.3,400,300,,20,VERIFIED,s,,,,,,,,,\n"),
            "own.csv:2, column tensile_typ_mpa");
  EXPECT_EQ(where("X1,X1,,,,,,,7850,205,RULE,s,0.3,,300,,20,VERIFIED,s,,,,,,,,,\n"),
            "own.csv:2, column yield_typ_mpa");
  EXPECT_EQ(where("X1,X1,,,,,,,7850,205,RULE,s,0.3,200,300,,20,SURE,s,,,,,,,,,\n"),
            "own.csv:2, column min_mark");
  EXPECT_EQ(where("X1,X1,,,,,,,7850,205,RULE,s,0.3,200,300,,20,VERIFIED,s,,,,,,500,,RULE,s\n"),
            "own.csv:2, column exponent_ratio");
}

}  // namespace
}  // namespace bight::stock
