#include "stock/table.h"

#include <gtest/gtest.h>

namespace bight::stock {
namespace {

using Marks = std::vector<Provenance>;

// Every file of data/ named in the build is inside the program, and a wrong name is a failure.
TEST(Table, BuiltInFiles) {
  const auto metals = built_in_table("metals.csv");
  ASSERT_TRUE(metals.ok()) << metals.failure().text();
  EXPECT_TRUE(metals->has_column("yield_typ_mpa"));
  EXPECT_EQ(built_in_table("nothing.csv").failure().code, "table.missing");
}

// Marks become provenance: a verified limit is a minimum, a verified value a typical one.
TEST(TableRow, Marks) {
  const auto table = base::CsvTable::parse(
      "mark\nVERIFIED\nDERIVED\nRULE\nMEMORY\nVERIFIED/MEMORY/DERIVED\nverified\n", "t.csv");
  Marks typical, minimum;
  for (std::size_t row = 0; row < 4; ++row) {
    typical.push_back(TableRow(*table, row).mark("mark"));
    minimum.push_back(TableRow(*table, row).mark("mark", NumberKind::kMinimum, 2));
  }
  EXPECT_EQ(typical, (Marks{Provenance::kPublishedTypical, Provenance::kDerived,
                            Provenance::kRuleOfThumb, Provenance::kUnconfirmed}));
  EXPECT_EQ(minimum.front(), Provenance::kPublishedMinimum);
  TableRow parts(*table, 4);
  EXPECT_EQ(parts.mark("mark", NumberKind::kMinimum, 0), Provenance::kPublishedMinimum);
  EXPECT_EQ(parts.mark("mark", NumberKind::kMinimum, 1), Provenance::kUnconfirmed);
  EXPECT_EQ(parts.mark("mark", NumberKind::kMinimum, 2), Provenance::kDerived);
  EXPECT_TRUE(parts.status().ok());
  TableRow wrong(*table, 5);
  wrong.mark("mark");
  EXPECT_EQ(wrong.status().failure().code, "table.mark");
}

// The first complaint is the one that is kept, with its place.
TEST(TableRow, KeepsTheFirstComplaint) {
  const auto table = base::CsvTable::parse("a,b,c\n1,-2,perhaps\n", "t.csv");
  TableRow row(*table, 0);
  EXPECT_DOUBLE_EQ(row.positive("a"), 1.0);
  EXPECT_TRUE(row.status().ok());
  EXPECT_DOUBLE_EQ(row.number("b"), -2.0);
  row.positive("b");
  row.yes("c");
  row.text("nowhere");
  EXPECT_EQ(row.status().failure().code, "table.value");
  EXPECT_EQ(row.status().failure().where, "t.csv:2, column b");

  TableRow second(*table, 0);
  second.yes("c");
  EXPECT_EQ(second.status().failure().where, "t.csv:2, column c");
  TableRow third(*table, 0);
  EXPECT_FALSE(third.optional_positive("c").has_value());
  EXPECT_EQ(third.status().failure().code, "csv.number");
}

TEST(Table, Pieces) {
  EXPECT_EQ(pieces(" a b ;c;;d ", ';'), (std::vector<std::string>{"a b", "c", "d"}));
  EXPECT_TRUE(pieces("", ';').empty());
}

}  // namespace
}  // namespace bight::stock
