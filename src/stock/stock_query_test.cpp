#include "stock/stock_query.h"

#include <gtest/gtest.h>

namespace bight::stock {
namespace {

StockQuery read(std::string_view text) {
  const auto query = read_stock_query(text);
  EXPECT_TRUE(query.ok()) << text << ": " << query.failure().text();
  return query.ok() ? *query : StockQuery{};
}

std::string code(std::string_view text) {
  const auto query = read_stock_query(text);
  return query.ok() ? "" : query.failure().code;
}

// Names of pipe: NPS and schedule in any order, DN, run together or not.
TEST(StockQuery, Pipe) {
  for (const char* text : {"1-1/2 sch 40 pipe", "pipe sch.40 1-1/2", "NPS 1½ Sch-40", "1 1/2 SCH40",
                           "1-1/2\" schedule 40", "1-1/2 in. sched 40"}) {
    const StockQuery q = read(text);
    EXPECT_EQ(q.schedule, "40") << text;
    ASSERT_EQ(q.sizes.size(), 1u) << text;
    EXPECT_NEAR(q.sizes[0].inches_mm, 38.1, 1e-12) << text;
    EXPECT_EQ(q.sizes[0].unit, TypedSize::Unit::kInch) << text;
  }
  EXPECT_EQ(read("DN 40 sch 10S").dn, 40);
  EXPECT_EQ(read("dn40 10s").schedule, "10S");
  EXPECT_EQ(read("2 XXS pipe").schedule, "XXS");
  EXPECT_EQ(read("2 sch std").schedule, "STD");
  EXPECT_TRUE(read("NPS-2").nps);
  EXPECT_EQ(read("DN-25 heavy").series, "heavy");
}

// A bare number keeps both readings, a unit or a fraction leaves one.
TEST(StockQuery, Sizes) {
  const StockQuery bare = read("38.1 x 1.65");
  ASSERT_EQ(bare.sizes.size(), 2u);
  EXPECT_EQ(bare.sizes[0].unit, TypedSize::Unit::kBare);
  EXPECT_DOUBLE_EQ(bare.sizes[0].millimetres_mm, 38.1);
  EXPECT_NEAR(bare.sizes[1].inches_mm, 41.91, 1e-12);
  for (const char* text : {"1.5\" x 0.065\"", "1.5in x .065in", "1.5 inch \xC3\x97 .065 inches",
                           "1-1/2in*.065\"", "1.5\xE2\x80\xB3 by 0.065\xE2\x80\xB3"}) {
    const StockQuery inch = read(text);
    ASSERT_EQ(inch.sizes.size(), 2u) << text;
    EXPECT_NEAR(inch.sizes[0].millimetres_mm, 38.1, 1e-12) << text;
    EXPECT_NEAR(inch.sizes[1].millimetres_mm, 1.651, 1e-12) << text;
    EXPECT_EQ(inch.sizes[1].unit, TypedSize::Unit::kInch) << text;
  }
  EXPECT_EQ(read("38.1mm x 2mm").sizes[0].unit, TypedSize::Unit::kMillimetre);
  EXPECT_EQ(read("40x40x3").sizes.size(), 3u);
  EXPECT_EQ(read("1x1x.065").sizes.size(), 3u);
  EXPECT_EQ(*read("EMT 21").sizes[0].whole, 21);
  EXPECT_FALSE(read("21.5").sizes[0].whole.has_value());
}

// The decimal comma where the shop writes one.
TEST(StockQuery, DecimalComma) {
  const auto query =
      read_stock_query("38,1 x 1,65", {base::LengthUnit::kMillimetre, base::DecimalMark::kComma});
  ASSERT_TRUE(query.ok()) << query.failure().text();
  EXPECT_DOUBLE_EQ(query->sizes[1].millimetres_mm, 1.65);
  EXPECT_EQ(code("38,1 x 1,65"), "stock.size");
}

TEST(StockQuery, Gauges) {
  EXPECT_EQ(read("38.1 x 16 BWG").sizes[1].gauge->system, "BWG");
  EXPECT_EQ(read("38.1 x 16swg").sizes[1].gauge->system, "SWG");
  EXPECT_EQ(read("1.5 x 16 ga").sizes[1].gauge->system, "");
  EXPECT_EQ(read("1.5 x #16").sizes[1].gauge->name, "16");
  EXPECT_EQ(read("50 x 000 BWG").sizes[1].gauge->name, "3/0");
  EXPECT_EQ(read("50 x 2/0 gauge BWG").sizes[1].gauge->name, "2/0");
  EXPECT_EQ(read("50 x 2/0 gauge BWG").sizes[1].gauge->system, "BWG");
  EXPECT_EQ(read("50 x 0 SWG").sizes[1].gauge->name, "0");
}

TEST(StockQuery, WordsOfKind) {
  EXPECT_TRUE(read("22x1 copper").copper);
  EXPECT_EQ(read("1/2 copper type L").type, "L");
  EXPECT_EQ(read("1/2 L copper").type, "L");
  EXPECT_EQ(read("15 x 0.7 half hard copper").type, "R250");
  EXPECT_EQ(read("15 x 0.7 Cu R290").type, "R290");
  EXPECT_EQ(read("3/4emt").conduit_kind, "EMT");
  EXPECT_EQ(read("1 rigid conduit").conduit_kind, "RMC");
  EXPECT_TRUE(read("40 x 40 x 3 SHS").square);
  EXPECT_TRUE(read("48.3 x 3.2 CHS").round);
  EXPECT_TRUE(read("square bar 20").bar);
  EXPECT_TRUE(read("flat 50 x 10").flat);
  EXPECT_TRUE(read("16x2 hydraulic").hydraulic);
  EXPECT_TRUE(read("15 mm copper pipe").copper);
  EXPECT_EQ(read("40 x 3 SHS EN 10219-2").standard, "EN 10219-2");
  EXPECT_EQ(read("EN10305-4 16 x 2").standard, "EN 10305-4");
  EXPECT_EQ(read("2 sch 40 ASME B36.10M").standard, "ASME B36.10M");
  EXPECT_EQ(read("22 x 1.1 ASTM B88M type B").standard, "ASTM B88M");
  EXPECT_EQ(read("22 x 1.1 ASTM B88M type B").type, "B");
  EXPECT_EQ(read("25 x 2 ISO 4200").standard, "EN 10220");
}

// A letter before sizes is a section; the same letter keeps its meaning for copper tube.
TEST(StockQuery, LettersOfSections) {
  EXPECT_TRUE(read("L 50x50x5").angle);
  EXPECT_TRUE(read("L50x5").angle);
  EXPECT_TRUE(read("angle 2 x 2 x 1/4").angle);
  EXPECT_TRUE(read("U 100x50x6").channel);
  EXPECT_TRUE(read("C 100x50").channel);
  EXPECT_TRUE(read("u 100").channel);
  EXPECT_TRUE(read("channel 100 x 50 x 6 x 8.5").channel);
  EXPECT_FALSE(read("1/2 copper type L").angle);
  EXPECT_EQ(read("1/2 copper type L").type, "L");
  EXPECT_EQ(read("L 1/2 copper").type, "L");
  EXPECT_EQ(code("L 50x50x5 pipe"), "stock.query");
  EXPECT_EQ(code("angle channel 50x50x5"), "stock.query");
}

// Each refusal has its code; nothing that was typed is dropped in silence.
TEST(StockQuery, Refusals) {
  EXPECT_EQ(code(""), "stock.query");
  EXPECT_EQ(code(" \t"), "stock.query");
  EXPECT_EQ(code(std::string(200, '1')), "stock.query");
  EXPECT_EQ(code("25 x 2 & 3"), "stock.query");
  EXPECT_EQ(code("6061 tube 25 x 2"), "stock.query");
  EXPECT_EQ(code("15 22"), "stock.query");
  EXPECT_EQ(code("2 sch 40 XS"), "stock.query");
  EXPECT_EQ(code("NPS 2 EMT"), "stock.query");
  EXPECT_EQ(code("bar 20 pipe"), "stock.query");
  EXPECT_EQ(code("round flat 20 x 3"), "stock.query");
  EXPECT_EQ(code("25 x 2 wibble"), "stock.word");
  EXPECT_EQ(code("25 x 2 EN 9999"), "stock.word");
  EXPECT_EQ(code("2 sch 40 A53"), "stock.word");
  EXPECT_EQ(code("DN"), "stock.size");
  EXPECT_EQ(code("DN 0"), "stock.size");
  EXPECT_EQ(code("2 sch pipe"), "stock.size");
  EXPECT_EQ(code("1/3 x .065"), "stock.size");
  EXPECT_EQ(code("1.2.3 x 4"), "stock.size");
  // A sign is kept, so that the section refuses it.
  EXPECT_LT(read("38 x -2").sizes[1].millimetres_mm, 0.0);
  EXPECT_LT(read("38 x-2").sizes[1].millimetres_mm, 0.0);
}

}  // namespace
}  // namespace bight::stock
