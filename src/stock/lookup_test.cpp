#include "stock/lookup.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace bight::stock {
namespace {

const SizeTables& tables() {
  static const SizeTables built_in = *SizeTables::built_in();
  return built_in;
}

Lookup lookup(std::string_view text, base::LengthUnit unit = base::LengthUnit::kMillimetre) {
  return Lookup{tables(), *read_stock_query(text), {unit}};
}

struct Reading {
  std::vector<double> sizes_mm;
  bool inch = false;
  bool warned = false;
  std::size_t num_notes = 0;
};

Reading read(std::string_view text, base::LengthUnit unit = base::LengthUnit::kMillimetre) {
  Lookup at_hand = lookup(text, unit);
  const auto sizes_mm = at_hand.measure();
  EXPECT_TRUE(sizes_mm.ok()) << text << ": " << sizes_mm.failure().text();
  Reading reading{sizes_mm.ok() ? *sizes_mm : std::vector<double>{}, at_hand.inch};
  reading.num_notes = at_hand.found.notes.size();
  for (const StockNote& note : at_hand.found.notes) {
    reading.warned |= note.kind == StockNote::Kind::kWarning;
  }
  return reading;
}

// A bare number is in the shop's unit; the other is taken with a warning when only it makes sense.
TEST(Lookup, UnitOfBareNumbers) {
  const auto inch_shop = base::LengthUnit::kInch;
  EXPECT_FALSE(read("38.1 x 1.65").inch);
  EXPECT_FALSE(read("38.1 x 1.65").warned);
  EXPECT_EQ(read("38.1 x 1.65").num_notes, 1u);
  EXPECT_TRUE(read("1.5 x .065").inch);
  EXPECT_TRUE(read("1.5 x .065").warned);
  EXPECT_NEAR(read("1.5 x .065").sizes_mm[0], 38.1, 1e-12);
  EXPECT_TRUE(read("1.5 x .065", inch_shop).inch);
  EXPECT_FALSE(read("1.5 x .065", inch_shop).warned);
  EXPECT_FALSE(read("38.1 x 1.65", inch_shop).inch);
  EXPECT_TRUE(read("38.1 x 1.65", inch_shop).warned);
  EXPECT_FALSE(read("3 x .25").inch);
  EXPECT_TRUE(read("3 x .2").inch);
  EXPECT_FALSE(read("6 x 1").inch);
  EXPECT_TRUE(read("bar 2").warned);
  EXPECT_FALSE(read("flat 50 x 3").inch);
}

// Sizes of a metric or an inch standard are in its unit, whatever the shop's.
TEST(Lookup, StandardsHaveTheirUnit) {
  EXPECT_FALSE(read("6 x 1 hydraulic", base::LengthUnit::kInch).inch);
  EXPECT_FALSE(read("12 x .8 EN 1057", base::LengthUnit::kInch).inch);
  EXPECT_FALSE(read("12 x .6 B88M", base::LengthUnit::kInch).inch);
  EXPECT_TRUE(read("6 x 4 x .5 A500").inch);
  EXPECT_TRUE(read("3 x .5 A513").inch);
  EXPECT_EQ(read("3 x .5 A513").num_notes, 1u);
  EXPECT_FALSE(read("3 mm x .5 mm A513").num_notes > 0);
}

// A unit that was said is never guessed at, and one said unit stands for bare numbers beside it.
TEST(Lookup, SaidUnits) {
  EXPECT_EQ(read("1.5 mm x .2 mm").num_notes, 0u);
  EXPECT_NEAR(read("1 1/2 x .083").sizes_mm[1], 2.1082, 1e-12);
  EXPECT_EQ(read("1 1/2 x .083").num_notes, 0u);
  EXPECT_NEAR(read("38.1 mm x 2").sizes_mm[1], 2.0, 1e-12);
  EXPECT_NEAR(read("1.5in x 2mm").sizes_mm[1], 2.0, 1e-12);
  EXPECT_EQ(lookup("1in x 25mm x 2").measure().failure().code, "stock.units");
}

TEST(Lookup, Gauges) {
  EXPECT_NEAR(read("38.1 x 16 BWG").sizes_mm[1], 1.651, 1e-12);
  EXPECT_NEAR(read("38.1 x 16 SWG").sizes_mm[1], 1.626, 1e-12);
  EXPECT_FALSE(read("38.1 x 16 SWG").warned);
  EXPECT_NEAR(read("38.1 x 16 ga").sizes_mm[1], 1.651, 1e-12);
  EXPECT_TRUE(read("38.1 x 16 ga").warned);
  EXPECT_TRUE(read("1.5 x 16 BWG").inch);
  EXPECT_EQ(lookup("38.1 x 40 BWG").measure().failure().code, "stock.gauge");
  EXPECT_EQ(lookup("16 BWG x 38.1").measure().failure().code, "stock.gauge");
}

// What was said keeps out what does not fit it.
TEST(Lookup, Filter) {
  const auto count = [](std::string_view text) {
    const Lookup at_hand = lookup(text);
    return std::count_if(tables().sizes.begin(), tables().sizes.end(), at_hand.filter());
  };
  EXPECT_EQ(count("20 x 2"), static_cast<std::ptrdiff_t>(tables().sizes.size()));
  EXPECT_EQ(count("20 x 2 hydraulic"), 75);
  EXPECT_EQ(count("20 x 2 EN 10305"), 75);
  EXPECT_EQ(count("20 x 2 EN 10305-4"), 75);
  EXPECT_EQ(count("20 x 2 EN 10305-1"), 0);
  EXPECT_EQ(count("20 x 2 copper"), 43 + 77);
  EXPECT_EQ(count("20 x 2 B88"), 43);
  EXPECT_EQ(count("20 x 2 B88M"), 42);
  EXPECT_EQ(count("20 x 2 B36.19M"), 3 * 3 + 19 * 4 + 2 + 4);
  EXPECT_EQ(count("20 x 2 B36"), 335);
  EXPECT_EQ(count("20 x 2 EN 10219"), 131);
  EXPECT_EQ(count("2 pipe"), 335 + 39);
  EXPECT_EQ(count("2 sch 40"), 23);
  EXPECT_EQ(count("2 light"), 11);
  EXPECT_EQ(count("40 x 20 x 2 hollow"), 569 + 84);
}

}  // namespace
}  // namespace bight::stock
