#include "exchange/table_words.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

struct Case {
  const char* cell;
  Role role;
  std::optional<TableUnit> unit = std::nullopt;
  std::optional<bool> absolute = std::nullopt;
};

// Headings as customers write them, in seven languages, with units in every kind of bracket.
TEST(TableWords, ReadsHeadings) {
  const Case kCases[] = {
      {"X [mm]", Role::kX, TableUnit::kMillimetre},
      {"Y (in)", Role::kY, TableUnit::kInch},
      {"Z/mm", Role::kZ, TableUnit::kMillimetre},
      {"x_mm", Role::kX, TableUnit::kMillimetre},
      {"X-Koordinate", Role::kX},
      {"Coordonn\xC3\xA9"
       "e X (mm)",
       Role::kX, TableUnit::kMillimetre},
      {"X (\")", Role::kX, TableUnit::kInch},
      {"Length", Role::kStraight},
      {"Straight length [in]", Role::kStraight, TableUnit::kInch},
      {"L\xC3\xA4nge in mm", Role::kStraight, TableUnit::kMillimetre},
      {"Longueur droite", Role::kStraight},
      {"Longitud (pulgadas)", Role::kStraight, TableUnit::kInch},
      {"Lunghezza [mm]", Role::kStraight, TableUnit::kMillimetre},
      {"Rechte lengte", Role::kStraight},
      {"D\xC5\x82ugo\xC5\x9B\xC4\x87 [mm]", Role::kStraight, TableUnit::kMillimetre},
      {"Rotation (absolute)", Role::kRotation, std::nullopt, true},
      {"Verdrehung relativ [\xC2\xB0]", Role::kRotation, TableUnit::kDegree, false},
      {"rotation_relative_deg", Role::kRotation, TableUnit::kDegree, false},
      {"K\xC4\x85t obrotu", Role::kRotation},
      {"Angle", Role::kAngle},
      {"Winkel [Grad]", Role::kAngle, TableUnit::kDegree},
      {"Bend angle (deg)", Role::kBendAngle, TableUnit::kDegree},
      {"DOB", Role::kBendAngle},
      {"Biegewinkel", Role::kBendAngle},
      {"Angle de cintrage", Role::kBendAngle},
      {"\xC3\x81ngulo de curvado", Role::kBendAngle},
      {"Angolo di piega", Role::kBendAngle},
      {"Buighoek", Role::kBendAngle},
      {"K\xC4\x85t gi\xC4\x99"
       "cia",
       Role::kBendAngle},
      {"Bend", Role::kBendWord},
      {"Included angle", Role::kIncluded},
      {"CLR", Role::kRadius},
      {"Centreline radius, mm", Role::kRadius, TableUnit::kMillimetre},
      {"Promie\xC5\x84 gi\xC4\x99"
       "cia",
       Role::kRadius},
      {"Innenradius", Role::kInsideRadius},
      {"R", Role::kLetterR},
      {"#", Role::kNumber},
      {"Part No.", Role::kPart},
      {"Remarks", Role::kUnknown},
      {"coordinate", Role::kUnknown},
      {"", Role::kUnknown}};
  for (const Case& c : kCases) {
    const Heading heading = read_heading(c.cell);
    EXPECT_EQ(heading.role, c.role) << c.cell;
    EXPECT_EQ(heading.unit, c.unit) << c.cell;
    EXPECT_EQ(heading.absolute, c.absolute) << c.cell;
  }
}

// The unit's own word reads back as the unit.
TEST(TableWords, UnitsReadBack) {
  for (const TableUnit unit :
       {TableUnit::kMillimetre, TableUnit::kCentimetre, TableUnit::kMetre, TableUnit::kInch,
        TableUnit::kFoot, TableUnit::kDegree, TableUnit::kRadian}) {
    EXPECT_EQ(unit_of_word(word(unit)), unit);
  }
  EXPECT_FALSE(unit_of_word("ell").has_value());
}

}  // namespace
}  // namespace bight::exchange
