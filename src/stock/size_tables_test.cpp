#include "stock/size_tables.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace bight::stock {
namespace {

constexpr double kInch_mm = 25.4;

const SizeTables& tables() {
  static const SizeTables built_in = [] {
    auto read = SizeTables::built_in();
    EXPECT_TRUE(read.ok()) << read.failure().text();
    return std::move(read).value();
  }();
  return built_in;
}

std::vector<SizeRow> family(SizeFamily wanted) {
  std::vector<SizeRow> rows;
  std::copy_if(tables().sizes.begin(), tables().sizes.end(), std::back_inserter(rows),
               [&](const SizeRow& row) { return row.family == wanted; });
  return rows;
}

const SizeRow& named(std::string_view designation) {
  const auto found =
      std::find_if(tables().sizes.begin(), tables().sizes.end(),
                   [&](const SizeRow& row) { return row.designation == designation; });
  EXPECT_NE(found, tables().sizes.end()) << designation;
  return *found;
}

double gauge_mm(std::string_view system, std::string_view name) {
  for (const GaugeRow& row : tables().gauges) {
    if (row.system == system && row.name == name) return row.wall_mm.value;
  }
  return 0.0;
}

// Every row of every table is there, has a section, a source, and a designation of its own.
TEST(SizeTables, EveryRowIsRead) {
  std::map<SizeFamily, int> counts;
  std::set<std::string> designations;
  for (const SizeRow& row : tables().sizes) {
    ++counts[row.family];
    EXPECT_TRUE(designations.insert(row.designation).second) << row.designation;
    EXPECT_FALSE(row.standard.empty()) << row.designation;
    EXPECT_FALSE(row.outside_mm.source.empty()) << row.designation;
    EXPECT_FALSE(row.wall_mm.source.empty()) << row.designation;
    EXPECT_DOUBLE_EQ(row.section.height_mm(), row.outside_mm.value);
    EXPECT_DOUBLE_EQ(row.section.wall_mm(), row.wall_mm.value);
  }
  EXPECT_EQ(counts[SizeFamily::kPipeInch], 335);
  EXPECT_EQ(counts[SizeFamily::kPipeThreadable], 39);
  EXPECT_EQ(counts[SizeFamily::kTubeHydraulic], 75);
  EXPECT_EQ(counts[SizeFamily::kCopperInch], 43);
  EXPECT_EQ(counts[SizeFamily::kCopperMetric], 77);
  EXPECT_EQ(counts[SizeFamily::kConduit], 32);
  EXPECT_EQ(counts[SizeFamily::kHollowMetric], 569);
  EXPECT_EQ(counts[SizeFamily::kHollowInch], 84);
  EXPECT_EQ(tables().gauges.size(), 109u);
  EXPECT_EQ(tables().preferred.size(), 96u);
  EXPECT_EQ(tables().precision.size(), 38u);
  EXPECT_EQ(tables().corners.size(), 6u);
  EXPECT_EQ(tables().copper_radii.size(), 9u);
  EXPECT_EQ(tables().conduit_radii.size(), 24u);
}

// ASME B36.10M: NPS 2 Sch 40 is 60.3 x 3.91 with a bore of 52.48; NPS 12 Sch 5 has 3.96 (0.156 in).
// B36.19M: 40S is not 40 from NPS 12 (9.53 : 10.31), 10S not 10 from NPS 14 (4.78 : 6.35). First
// and last rows: NPS 1/8 Sch 10 10.3 x 1.24, NPS 24 Sch 80S 610 x 12.7. (Open piping table.)
TEST(SizeTablesReference, Pipe) {
  const SizeRow& two = named("NPS 2 Sch 40 pipe");
  EXPECT_DOUBLE_EQ(two.outside_mm.value, 60.3);
  EXPECT_DOUBLE_EQ(two.wall_mm.value, 3.91);
  EXPECT_NEAR(two.outside_mm.value - 2.0 * two.wall_mm.value, 52.48, 1e-9);
  EXPECT_EQ(two.number, 50);
  EXPECT_EQ(two.standard, "ASME B36.10M");
  EXPECT_DOUBLE_EQ(named("NPS 12 Sch 5 pipe").wall_mm.value, 3.96);
  EXPECT_NEAR(*named("NPS 12 Sch 5 pipe").inch_wall_mm, 0.156 * kInch_mm, 1e-9);
  EXPECT_DOUBLE_EQ(named("NPS 12 Sch 40 pipe").wall_mm.value, 10.31);
  EXPECT_DOUBLE_EQ(named("NPS 12 Sch 40S pipe").wall_mm.value, 9.53);
  EXPECT_DOUBLE_EQ(named("NPS 14 Sch 10 pipe").wall_mm.value, 6.35);
  EXPECT_DOUBLE_EQ(named("NPS 14 Sch 10S pipe").wall_mm.value, 4.78);
  const auto pipe = family(SizeFamily::kPipeInch);
  EXPECT_EQ(pipe.front().designation, "NPS 1/8 Sch 10 pipe");
  EXPECT_EQ(pipe.front().section, *Section::round_tube(10.3, 1.24));
  EXPECT_EQ(pipe.back().designation, "NPS 24 Sch 80S pipe");
  EXPECT_EQ(pipe.back().section, *Section::round_tube(610, 12.7));
  // NPS 14 and larger measure what they are named, smaller ones do not (rule of B36.10M).
  for (const SizeRow& row : pipe) {
    const bool as_named = std::abs(*row.inch_outside_mm - row.nominal_mm) < 1e-9;
    EXPECT_EQ(as_named, row.nominal_mm >= 14 * kInch_mm - 1e-9) << row.designation;
    EXPECT_NEAR(*row.inch_wall_mm, row.wall_mm.value, 0.5e-3 * kInch_mm + 1e-9) << row.designation;
  }
}

// EN pipe is not inch pipe: DN 20 26.9 : 26.7, DN 25 33.7 : 33.4, DN 32 42.4 : 42.2, DN 65
// 76.1 : 73, DN 125 139.7 : 141.3; DN 40 and DN 50 agree. (EN 10220, ASME B36.10M.)
TEST(SizeTablesReference, MetricAndInchPipeDiffer) {
  const auto outside_mm = [](SizeFamily kind, int dn) {
    for (const SizeRow& row : tables().sizes) {
      if (row.family == kind && row.number == dn) return row.outside_mm.value;
    }
    return 0.0;
  };
  const std::tuple<int, double, double> cases[] = {
      {20, 26.9, 26.7},    {25, 33.7, 33.4}, {32, 42.4, 42.2}, {65, 76.1, 73.0},
      {125, 139.7, 141.3}, {40, 48.3, 48.3}, {50, 60.3, 60.3}};
  for (const auto& [dn, metric_mm, inch_mm] : cases) {
    EXPECT_DOUBLE_EQ(outside_mm(SizeFamily::kPipeThreadable, dn), metric_mm) << dn;
    EXPECT_DOUBLE_EQ(outside_mm(SizeFamily::kPipeInch, dn), inch_mm) << dn;
  }
}

// BWG 11 0.120, 14 0.083, 16 0.065, 18 0.049 in; SWG 10 3.25, 16 1.63, 18 1.22 mm, printed to
// 0.01 mm (gauge tables). First and last rows of the three systems.
TEST(SizeTablesReference, Gauges) {
  EXPECT_NEAR(gauge_mm("BWG", "11") / kInch_mm, 0.120, 5e-5);
  EXPECT_NEAR(gauge_mm("BWG", "14") / kInch_mm, 0.083, 5e-5);
  EXPECT_NEAR(gauge_mm("BWG", "16") / kInch_mm, 0.065, 5e-5);
  EXPECT_NEAR(gauge_mm("BWG", "18") / kInch_mm, 0.049, 5e-5);
  EXPECT_NEAR(gauge_mm("SWG", "10"), 3.25, 0.005);
  EXPECT_NEAR(gauge_mm("SWG", "16"), 1.63, 0.005);
  EXPECT_NEAR(gauge_mm("SWG", "18"), 1.22, 0.005);
  EXPECT_DOUBLE_EQ(gauge_mm("BWG", "5/0"), 12.7);
  EXPECT_DOUBLE_EQ(gauge_mm("BWG", "36"), 0.102);
  EXPECT_DOUBLE_EQ(gauge_mm("SWG", "7/0"), 12.7);
  EXPECT_DOUBLE_EQ(gauge_mm("SWG", "36"), 0.193);
  EXPECT_DOUBLE_EQ(gauge_mm("US steel wire", "0"), 7.785);
  EXPECT_DOUBLE_EQ(gauge_mm("US steel wire", "24"), 0.584);
}

// Masses as printed, steel 7850 kg/m³: hydraulic tube to 1 g (fittings catalogue citing
// EN 10305-4: 20x2 0.888, 28x2 1.282, 30x5 3.083, 38x6 4.735); threadable tube between the masses
// at its least and largest outside diameter (EN 10255 table of a supplier).
TEST(SizeTablesReference, PublishedMasses) {
  int num_checked = 0;
  for (const SizeRow& row : family(SizeFamily::kTubeHydraulic)) {
    if (!row.mass_kg_per_m) continue;
    EXPECT_NEAR(row.section.mass_kg_per_m(7850), *row.mass_kg_per_m, 1.1e-3) << row.designation;
    ++num_checked;
  }
  EXPECT_EQ(num_checked, 34);
  EXPECT_DOUBLE_EQ(*named("20 x 2 hydraulic tube EN 10305-4").mass_kg_per_m, 0.888);
  EXPECT_DOUBLE_EQ(*named("38 x 6 hydraulic tube EN 10305-4").mass_kg_per_m, 4.735);
  for (const SizeRow& row : family(SizeFamily::kPipeThreadable)) {
    const double od_mm = row.outside_mm.value;
    const double least_mm = od_mm - *row.own_tolerances.front().od_minus_mm;
    const double most_mm = od_mm + *row.own_tolerances.front().od_plus_mm;
    const auto mass_kg_per_m = [&](double at_mm) {
      return Section::round_tube(at_mm, row.wall_mm.value)->mass_kg_per_m(7850);
    };
    if (row.wall_mm.provenance == Provenance::kUnconfirmed) continue;
    EXPECT_GT(*row.mass_kg_per_m, mass_kg_per_m(least_mm)) << row.designation;
    EXPECT_LT(*row.mass_kg_per_m, mass_kg_per_m(most_mm)) << row.designation;
  }
}

// ASTM B88: outside diameter is nominal + 1/8 in; type L 1/2 has a wall of 0.040, K 6 0.192 in.
// ASTM B88M A 6 x 0.8, C 105 x 2.4; EN 1057 15 x 0.7, 219 x 3.
TEST(SizeTablesReference, Copper) {
  for (const SizeRow& row : family(SizeFamily::kCopperInch)) {
    EXPECT_NEAR(row.outside_mm.value - row.nominal_mm, kInch_mm / 8.0, 1e-9) << row.designation;
    const bool m = row.code == "M";
    EXPECT_EQ(row.wall_mm.provenance, m ? Provenance::kUnconfirmed : Provenance::kPublishedTypical);
  }
  EXPECT_NEAR(named("1/2 in copper tube type L").wall_mm.value, 0.040 * kInch_mm, 1e-9);
  EXPECT_NEAR(named("6 in copper tube type K").wall_mm.value, 0.192 * kInch_mm, 1e-9);
  EXPECT_NEAR(named("1/4 in copper tube type K").wall_mm.value, 0.035 * kInch_mm, 1e-9);
  EXPECT_NEAR(named("6 in copper tube type M").wall_mm.value, 0.122 * kInch_mm, 1e-9);
  EXPECT_EQ(family(SizeFamily::kCopperMetric).front().designation,
            "6 x 0.8 copper tube ASTM B88M type A");
  EXPECT_EQ(named("105 x 2.4 copper tube ASTM B88M type C").standard, "ASTM B88M");
  EXPECT_NEAR(*named("15 x 0.7 copper tube EN 1057 R250").own_tolerances[0].od_plus_mm, 0.04,
              1e-12);
  EXPECT_EQ(named("219 x 3 copper tube EN 1057 R290").code, "R290");
  EXPECT_DOUBLE_EQ(tables().copper_radii.front().radius_mm.value, 30);  // 6 mm
  EXPECT_DOUBLE_EQ(tables().copper_radii.back().radius_mm.value, 80);   // 20 mm
}

// NEC Chapter 9 Table 2 (secondary tables), trade sizes 1/2, 3/4, 1, 2: one-shot 4, 4-1/2, 5-3/4,
// 9-1/2 in, other bends 4, 5, 6, 12 in. EMT outside diameters 0.706 and 4.500 in; RMC measures
// what pipe of its name measures.
TEST(SizeTablesReference, Conduit) {
  const std::tuple<std::string, double, double> cases[] = {
      {"1/2", 4, 4}, {"3/4", 4.5, 5}, {"1", 5.75, 6}, {"2", 9.5, 12}};
  for (const auto& [trade_size, one_shot_in, other_in] : cases) {
    std::vector<double> radii_in;
    for (const RadiusRow& row : tables().conduit_radii) {
      if (row.trade_size == trade_size) radii_in.push_back(row.radius_mm.value / kInch_mm);
    }
    ASSERT_EQ(radii_in.size(), 2u);
    EXPECT_NEAR(radii_in[0], one_shot_in, 1e-12);
    EXPECT_NEAR(radii_in[1], other_in, 1e-12);
  }
  EXPECT_NEAR(named("1/2 EMT conduit").outside_mm.value, 0.706 * kInch_mm, 1e-9);
  EXPECT_NEAR(named("4 EMT conduit").outside_mm.value, 4.5 * kInch_mm, 1e-9);
  EXPECT_NEAR(named("6 RMC conduit").outside_mm.value, 6.625 * kInch_mm, 1e-9);
  EXPECT_NEAR(named("4 IMC conduit").outside_mm.value, 4.466 * kInch_mm, 1e-9);
  for (const SizeRow& row : family(SizeFamily::kConduit)) {
    if (row.code != "RMC") continue;
    const double pipe_mm = *named("NPS " + row.name + " Sch 40 pipe").inch_outside_mm;
    EXPECT_NEAR(row.outside_mm.value, pipe_mm, 1e-9) << row.designation;
  }
}

// EN 10219-2 outer corners: 1.6 to 2.4 walls up to 6 mm, 2 to 3 up to 10, 2.4 to 3.6 above; the
// middle is used. With it a 40 x 40 x 3 has 4.21 cm² (EN 10219-2 table, from memory).
TEST(SizeTablesReference, Corners) {
  const auto corner = [](double side_mm, double wall_mm) {
    return *corner_of(tables().corners, "EN 10219-2", side_mm, side_mm, wall_mm);
  };
  EXPECT_NEAR(corner(40, 3).least_mm, 4.8, 1e-12);
  EXPECT_NEAR(corner(40, 3).used_mm.value, 6.0, 1e-12);
  EXPECT_NEAR(corner(40, 3).most_mm, 7.2, 1e-12);
  EXPECT_NEAR(corner(100, 6).used_mm.value, 12.0, 1e-12);
  EXPECT_NEAR(corner(100, 8).used_mm.value, 20.0, 1e-12);
  EXPECT_NEAR(corner(200, 12).used_mm.value, 36.0, 1e-12);
  EXPECT_FALSE(corner(100, 8).cut_to_fit);
  EXPECT_TRUE(corner(35, 8).cut_to_fit);
  EXPECT_NEAR(corner(35, 8).used_mm.value, 17.5, 1e-12);
  EXPECT_FALSE(corner_of(tables().corners, "nobody's", 40, 40, 3).has_value());
  EXPECT_NEAR(named("40 x 40 x 3 SHS EN 10219-2").section.area_mm2(), 421, 0.5);
}

// First and last rows of the hollow sections; EN 10210-2 round ones are sharp-free circles, every
// other one has its standard's corner.
TEST(SizeTables, HollowSections) {
  const auto metric = family(SizeFamily::kHollowMetric);
  EXPECT_EQ(metric.front().designation, "21.3 x 2.3 CHS EN 10210-2");
  EXPECT_EQ(metric.back().designation, "200 x 120 x 10 RHS EN 10219-2");
  EXPECT_EQ(metric.back().outside_mm.provenance, Provenance::kUnconfirmed);
  const auto inch = family(SizeFamily::kHollowInch);
  EXPECT_EQ(inch.front().designation, "0.5 x 0.5 x 0.065 in SHS ASTM A513");
  EXPECT_EQ(inch.back().designation, "6 x 4 x 0.5 in RHS ASTM A500");
  for (const SizeRow& row : metric) {
    EXPECT_EQ(row.corner.has_value(), row.code != "CHS") << row.designation;
    EXPECT_EQ(row.section.round(), row.code == "CHS") << row.designation;
  }
}

// EN 10220 series 1 outside diameters are those of EN pipe; precision tube of 4 mm is +-0.08.
TEST(SizeTablesReference, PreferredAndPrecision) {
  EXPECT_DOUBLE_EQ(tables().preferred.front().size_mm.value, 10.2);
  EXPECT_EQ(tables().preferred.front().series, 1);
  EXPECT_TRUE(tables().preferred.back().wall);
  EXPECT_DOUBLE_EQ(tables().preferred.back().size_mm.value, 50);
  EXPECT_DOUBLE_EQ(tables().precision.front().tolerance_mm.value, 0.08);
  EXPECT_DOUBLE_EQ(tables().precision.back().od_mm.value, 120);
  EXPECT_DOUBLE_EQ(tables().precision.back().tolerance_mm.value, 0.5);
  EXPECT_EQ(dashed("1 1/2"), "1-1/2");
}

}  // namespace
}  // namespace bight::stock
