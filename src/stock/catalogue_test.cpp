#include "stock/catalogue.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "stock/metals.h"
#include "stock/size_match.h"

namespace bight::stock {
namespace {

const SizeTables& tables() {
  static const SizeTables built_in = *SizeTables::built_in();
  return built_in;
}

bool holds(const base::Result<StockSearch>& found, const SizeRow& row) {
  return found.ok() &&
         std::any_of(found->matches.begin(), found->matches.end(), [&](const StockAnswer& answer) {
           return answer.size.designation == row.designation &&
                  answer.size.section == row.section && answer.size.wall_mm == row.wall_mm &&
                  answer.listed;
         });
}

// Every row of every size table is found by its designation, alone, whichever unit the shop uses.
TEST(Catalogue, EveryDesignationFindsItsRow) {
  for (const SizeRow& row : tables().sizes) {
    for (const auto unit : {base::LengthUnit::kMillimetre, base::LengthUnit::kInch}) {
      const auto found = find_stock(tables(), row.designation, {unit});
      ASSERT_TRUE(found.ok()) << row.designation << ": " << found.failure().text();
      EXPECT_EQ(found->matches.size(), 1u) << row.designation;
      EXPECT_TRUE(holds(found, row)) << row.designation;
    }
    const auto chosen = choose_stock(tables(), row.designation);
    ASSERT_TRUE(chosen.ok()) << row.designation;
    EXPECT_EQ(chosen->size.section, row.section) << row.designation;
  }
}

// Every row is among the answers to its bare measures too, typed in mm with the unit.
TEST(Catalogue, EveryMeasureFindsItsRow) {
  for (const SizeRow& row : tables().sizes) {
    const Section& s = row.section;
    const std::string sizes = s.round()
                                  ? fmt::format("{:.6g} mm x {:.6g} mm", s.height_mm(), s.wall_mm())
                                  : fmt::format("{:.6g} mm x {:.6g} mm x {:.6g} mm", s.height_mm(),
                                                s.width_mm(), s.wall_mm());
    EXPECT_TRUE(holds(find_stock(tables(), sizes), row)) << sizes << ", " << row.designation;
  }
}

// Pipe and copper are found under each of their other names.
TEST(Catalogue, EveryNameFindsItsRow) {
  for (const SizeRow& row : tables().sizes) {
    std::vector<std::string> names;
    if (row.family == SizeFamily::kPipeInch) {
      names = {fmt::format("{} sch {}", row.name, row.code),
               fmt::format("DN{} sch. {}", row.number, row.code),
               fmt::format("{}\" schedule {} pipe", row.name, row.code)};
    } else if (row.family == SizeFamily::kPipeThreadable) {
      names = {fmt::format("{} {} tube EN 10255", row.name, row.code),
               fmt::format("dn {} {}", row.number, row.code)};
    } else if (row.family == SizeFamily::kCopperInch) {
      names = {fmt::format("copper {}\" type {}", row.name, row.code),
               fmt::format("{} {} copper", row.name, row.code)};
    } else if (row.family == SizeFamily::kConduit) {
      names = {fmt::format("{} {}", row.code, row.name),
               fmt::format("{} {}", row.code, row.number)};
    }
    for (const std::string& name : names) {
      const auto found = find_stock(tables(), name);
      EXPECT_TRUE(holds(found, row)) << name;
      EXPECT_EQ(found.ok() ? found->matches.size() : 0u, 1u) << name;
    }
  }
}

// Every gauge of tube is a wall, every preferred diameter and wall a pair, every precision
// diameter a tolerance, and every wall of the A513 table a tube.
TEST(Catalogue, RowsThatAreNoSizes) {
  for (const GaugeRow& row : tables().gauges) {
    const auto found = find_stock(tables(), fmt::format("60 x {} {}", row.name, row.system));
    if (row.system == "US steel wire") {  // of wire: never taken for a wall
      EXPECT_FALSE(found.ok()) << row.name;
      continue;
    }
    ASSERT_TRUE(found.ok()) << found.failure().text();
    EXPECT_DOUBLE_EQ(found->matches.at(0).size.section.wall_mm(), row.wall_mm.value);
  }
  for (const PreferredRow& row : tables().preferred) {
    const double od_mm = row.wall ? 610.0 : row.size_mm.value;
    const double wall_mm = row.wall ? row.size_mm.value : 2.0;
    const auto found =
        find_stock(tables(), fmt::format("EN 10220 {:.6g} mm x {:.6g} mm", od_mm, wall_mm));
    ASSERT_TRUE(found.ok()) << found.failure().text();
    const SizeRow& size = found->matches.at(0).size;
    EXPECT_EQ(size.family, SizeFamily::kTubePreferred);
    EXPECT_EQ(row.wall ? size.wall_mm : size.outside_mm, row.size_mm);
  }
  for (const PrecisionRow& row : tables().precision) {
    const auto found = find_stock(tables(), fmt::format("{:.6g} mm x 0.77 mm", row.od_mm.value));
    ASSERT_TRUE(found.ok()) << found.failure().text();
    ASSERT_EQ(found->matches.at(0).tolerances.size(), 1u) << row.od_mm.value;
    EXPECT_DOUBLE_EQ(*found->matches[0].tolerances[0].od_plus_mm, row.tolerance_mm.value);
  }
  for (const double wall_mm : tables().delivery.single_walls_mm("ASTM A513 type 5")) {
    const auto found =
        find_stock(tables(), fmt::format("1-1/2 x {:.3f} tube A513", wall_mm / 25.4));
    ASSERT_TRUE(found.ok());
    EXPECT_DOUBLE_EQ(found->matches.at(0).size.section.wall_mm(), wall_mm);
  }
}

// One section under several names is one choice, the best known; several sections are a question.
TEST(Catalogue, Choose) {
  const auto same = choose_stock(tables(), "48.3 x 3.2");
  ASSERT_TRUE(same.ok());
  EXPECT_EQ(same->size.designation, "48.3 x 3.2 CHS EN 10210-2");
  EXPECT_TRUE(same->tolerances.empty());
  EXPECT_EQ(same->notes.back().kind, StockNote::Kind::kWarning);
  const auto schedules = choose_stock(tables(), "60.3 x 3.91");
  EXPECT_EQ(schedules->size.section, *Section::round_tube(60.3, 3.91));
  EXPECT_EQ(choose_stock(tables(), "NPS 2 sch 80")->tolerances.size(), 2u);
  // The notes of the query come first.
  EXPECT_NE(choose_stock(tables(), "NPS 2 sch 80")->notes[0].text.find("60.3"), std::string::npos);

  const auto wall = choose_stock(tables(), "1-1/2 pipe").failure();
  EXPECT_EQ(wall.code, "stock.choose");
  EXPECT_NE(wall.remedy.find("NPS 1-1/2 Sch 40 pipe (48.3 x 3.68)"), std::string::npos);
  EXPECT_EQ(wall.remedy.find("STD"), std::string::npos);  // the same section as Sch 40
  const auto none = choose_stock(tables(), "NPS 7").failure();
  EXPECT_EQ(none.code, "stock.unknown");
  EXPECT_NE(none.remedy.find("NPS 8"), std::string::npos);
  EXPECT_EQ(choose_stock(tables(), "").failure().code, "stock.query");
  EXPECT_FALSE(choose_stock(tables(), "25 x 1.5")->listed);
}

// Mass of 1 m of NPS 2 Sch 40: 5.44 kg/m in carbon steel (ASME B36.10M, from memory), 1.015 times
// that in austenitic steel (EN 10220 summary, three figures).
TEST(CatalogueReference, MassOfStock) {
  const Metals metals = *Metals::built_in();
  const Section pipe = choose_stock(tables(), "NPS 2 sch 40")->size.section;
  const auto mass_kg_per_m = [&](const char* metal) {
    return pipe.mass_kg_per_m(find_metal(metals, metal)->metal.material.density_kg_per_m3);
  };
  EXPECT_NEAR(mass_kg_per_m("A53 B"), 5.44, 0.005);
  EXPECT_NEAR(mass_kg_per_m("316L") / mass_kg_per_m("A53 B"), 1.015, 0.005);
}

// Any tube with a wall below half its diameter is a section of exactly that size or a listed one
// that is the same to the tables' precision, and always says what it is.
RC_GTEST_PROP(CatalogueProperty, EveryTubeIsASection, ()) {
  const double od_mm = *rc::gen::inRange(40, 6000) / 10.0;
  const double wall_mm = std::max(0.25, od_mm * *rc::gen::inRange(1, 490) / 1000.0);
  const auto found = find_stock(tables(), fmt::format("{:.1f} mm x {:.2f} mm", od_mm, wall_mm));
  RC_ASSERT(found.ok());
  RC_ASSERT(!found->matches.empty());
  RC_ASSERT(!found->reading.empty());
  for (const StockAnswer& answer : found->matches) {
    RC_ASSERT(std::abs(answer.size.section.height_mm() - od_mm) <= 0.3);
    RC_ASSERT(std::abs(answer.size.section.wall_mm() - wall_mm) <= 0.02);
    RC_ASSERT(answer.listed != answer.size.standard.empty());
    RC_ASSERT(answer.listed || !found->near.empty());
  }
}

}  // namespace
}  // namespace bight::stock
