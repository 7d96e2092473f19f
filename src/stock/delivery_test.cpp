#include "stock/delivery.h"

#include <gtest/gtest.h>

namespace bight::stock {
namespace {

const DeliveryTable& table() {
  static const DeliveryTable delivery = *DeliveryTable::built_in();
  return delivery;
}

constexpr double kInch_mm = 25.4;

SizeTolerance round(std::string_view standard, double od_mm, double wall_mm,
                    std::optional<double> nominal_mm = {}) {
  const auto found = table().tolerance(standard, *Section::round_tube(od_mm, wall_mm), nominal_mm);
  return found.value_or(SizeTolerance{});
}

SizeTolerance box(double height_mm, double width_mm, double wall_mm) {
  return *table().tolerance("EN 10219-2", *Section::rect_tube(height_mm, width_mm, wall_mm, 0));
}

// ASTM A513 (supplier data pages): type 5 OD +0.005/-0 in from 0.500 to 1.699, +0.006 to 2.099;
// wall 0.065 +-0.002 to 7/8 OD, +0.002/-0.003 to 1-7/8; type 1a wall 0.065 +0.003/-0.011 from
// 1.313 to 3.75; types 3 to 6 may be 0.010 oval up to 2 in, 0.015 above.
TEST(DeliveryReference, MechanicalTube) {
  const SizeTolerance t = round("ASTM A513 type 5", 1.5 * kInch_mm, 0.065 * kInch_mm);
  EXPECT_DOUBLE_EQ(*t.od_minus_mm, 0.0);
  EXPECT_NEAR(*t.od_plus_mm, 0.005 * kInch_mm, 1e-12);
  EXPECT_NEAR(*t.wall_minus_mm, 0.003 * kInch_mm, 1e-12);
  EXPECT_NEAR(*t.wall_plus_mm, 0.002 * kInch_mm, 1e-12);
  EXPECT_NEAR(*t.ovality_mm, 0.010 * kInch_mm, 1e-12);
  EXPECT_EQ(t.provenance, Provenance::kPublishedMinimum);
  EXPECT_NEAR(*round("ASTM A513 type 5", 1.699 * kInch_mm, 1.651).od_plus_mm, 0.127, 1e-12);
  EXPECT_NEAR(*round("ASTM A513 type 5", 1.7 * kInch_mm, 1.651).od_plus_mm, 0.1524, 1e-12);
  EXPECT_NEAR(*round("ASTM A513 type 5", 0.875 * kInch_mm, 1.65).wall_minus_mm, 0.0508, 1e-12);
  EXPECT_NEAR(*round("ASTM A513 type 5", 2.5 * kInch_mm, 1.65).ovality_mm, 0.381, 1e-12);
  const SizeTolerance welded = round("ASTM A513 type 1a", 1.5 * kInch_mm, 0.065 * kInch_mm);
  EXPECT_NEAR(*welded.wall_minus_mm, 0.011 * kInch_mm, 1e-12);
  EXPECT_NEAR(*welded.wall_plus_mm, 0.003 * kInch_mm, 1e-12);
  EXPECT_FALSE(welded.od_minus_mm.has_value());
  // A wall the standard does not name has none.
  EXPECT_FALSE(round("ASTM A513 type 5", 38.1, 1.6).wall_minus_mm.has_value());
}

// ASTM A53 (tube mill handbook, 2018, p. 18): OD +-1/64 in to NPS 1-1/2, +-1 % from NPS 2, wall
// -12.5 %. The standard goes by the name, so without one it says nothing.
TEST(DeliveryReference, Pipe) {
  const SizeTolerance small = round("ASTM A53", 48.3, 3.68, 1.5 * kInch_mm);
  EXPECT_NEAR(*small.od_minus_mm, kInch_mm / 64.0, 1e-12);
  EXPECT_NEAR(*small.wall_minus_mm, 0.125 * 3.68, 1e-12);
  EXPECT_FALSE(small.wall_plus_mm.has_value());
  EXPECT_NEAR(*round("ASTM A53", 60.3, 3.91, 2 * kInch_mm).od_plus_mm, 0.603, 1e-12);
  EXPECT_EQ(round("ASTM A53", 60.3, 3.91), SizeTolerance{});
  EXPECT_EQ(round("ASTM A999", 48.3, 3.68, 1.5 * kInch_mm).provenance, Provenance::kUnconfirmed);
}

// EN 10219-2 (tolerance page of a structural handbook): side +-1 % but 0.5 mm at least below 100,
// +-0.8 % to 200, +-0.6 % above; wall +-10 % to 5 mm, +-0.5 mm above.
TEST(DeliveryReference, ColdFormedHollowSections) {
  EXPECT_NEAR(*box(40, 20, 2).od_plus_mm, 0.5, 1e-12);
  EXPECT_NEAR(*box(40, 20, 2).width_minus_mm, 0.5, 1e-12);
  EXPECT_NEAR(*box(90, 60, 5).od_minus_mm, 0.9, 1e-12);
  EXPECT_NEAR(*box(100, 60, 5).od_plus_mm, 0.8, 1e-12);
  EXPECT_NEAR(*box(100, 60, 5).width_plus_mm, 0.6, 1e-12);
  EXPECT_NEAR(*box(200, 100, 5).od_plus_mm, 1.6, 1e-12);
  EXPECT_NEAR(*box(250, 100, 5).od_plus_mm, 1.5, 1e-12);
  EXPECT_NEAR(*box(100, 60, 5).wall_plus_mm, 0.5, 1e-12);
  EXPECT_NEAR(*box(100, 60, 4).wall_plus_mm, 0.4, 1e-12);
  EXPECT_NEAR(*box(100, 60, 8).wall_minus_mm, 0.5, 1e-12);
}

// EN 10210-2 round (the same page): OD +-1 %, at least 0.5 and at most 10 mm; wall -10 %.
// EN 10294-1 (tube mill handbook, 2018, p. 16): OD +-0.5 mm to 75, +-0.75 % to 180. EN 10305-1
// (p. 62): wall +-10 %, at least 0.1 mm.
TEST(DeliveryReference, RoundMetricTube) {
  EXPECT_NEAR(*round("EN 10210-2", 33.7, 3.2).od_minus_mm, 0.5, 1e-12);
  EXPECT_NEAR(*round("EN 10210-2", 60.3, 3.2).od_minus_mm, 0.603, 1e-12);
  EXPECT_NEAR(*round("EN 10210-2", 1219, 20).od_plus_mm, 10, 1e-12);
  EXPECT_NEAR(*round("EN 10210-2", 60.3, 3.2).wall_minus_mm, 0.32, 1e-12);
  EXPECT_NEAR(*round("EN 10294-1", 60, 8).od_plus_mm, 0.5, 1e-12);
  EXPECT_NEAR(*round("EN 10294-1", 100, 8).od_plus_mm, 0.75, 1e-12);
  EXPECT_NEAR(*round("EN 10305-1", 20, 2).wall_plus_mm, 0.2, 1e-12);
  EXPECT_NEAR(*round("EN 10305-1", 20, 0.8).wall_plus_mm, 0.1, 1e-12);
}

// A standard that is not there, and solid bar, have no tolerance here.
TEST(Delivery, NothingToSay) {
  EXPECT_EQ(round("nobody's standard", 20, 2), SizeTolerance{});
  EXPECT_FALSE(table().tolerance("EN 10305-1", *Section::round_bar(20)).has_value());
  EXPECT_EQ(table().standards().front(), "ASTM A513 type 5");
  EXPECT_EQ(table().single_walls_mm("ASTM A513 type 5").size(), 7u);
  EXPECT_TRUE(table().single_walls_mm("ASTM A53").empty());
}

// A wrong cell is refused at its place.
TEST(Delivery, RefusesAWrongTable) {
  const std::string header =
      "standard,quantity,size_from,size_to,size_to_included,size_unit,wall_from,wall_to,plus,minus,"
      "tolerance_unit,least_mm,most_mm,source,mark\n";
  const auto where = [&](const std::string& row) {
    const auto read = DeliveryTable::read(*base::CsvTable::parse(header + row, "own.csv"));
    return read.ok() ? "accepted" : read.failure().where;
  };
  EXPECT_EQ(where("S,od,,,yes,mm,,,1,1,pct,,,s,RULE\n"), "accepted");
  EXPECT_EQ(where("S,length,,,yes,mm,,,1,1,pct,,,s,RULE\n"), "own.csv:2, column quantity");
  EXPECT_EQ(where("S,od,,,yes,km,,,1,1,pct,,,s,RULE\n"), "own.csv:2, column size_unit");
  EXPECT_EQ(where("S,od,,,yes,mm,,,1,1,%,,,s,RULE\n"), "own.csv:2, column tolerance_unit");
  EXPECT_EQ(where("S,od,,,yes,mm,,,1,-1,pct,,,s,RULE\n"), "own.csv:2, column minus");
  EXPECT_EQ(where("S,od,,,yes,mm,,,1,1,pct,,,s,\n"), "own.csv:2, column mark");
}

}  // namespace
}  // namespace bight::stock
