#include "exchange/measured_piece.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

using base::Angle;

MeasuredPiece read(const std::string& text) {
  const auto piece = read_measured_piece(text, "p.toml");
  EXPECT_TRUE(piece.ok()) << (piece.ok() ? "" : piece.failure().text());
  return piece.ok() ? *piece : MeasuredPiece();
}

base::Failure refused(const std::string& text) {
  const auto piece = read_measured_piece(text, "p.toml");
  EXPECT_FALSE(piece.ok()) << text;
  return piece.ok() ? base::Failure() : piece.failure();
}

// Every key is read, lengths in the file's unit.
TEST(MeasuredPiece, EveryKey) {
  const MeasuredPiece piece = read(R"(
schema = 1
units = "in"
piece = "first piece"
part = "Rail"
heat = "F2207"
date = "2026-03-02"
who = "MK"
gauge = "level and tape"
note = "clamp slipped once"
bends = [
  {straight=10, angle=90.5, set=94.6, fed=10.1, turned=0, d_max="25.4 mm", d_min=0.9, wall=0.06},
  { rotation = "-44d30'", included = 120 },
]
last_straight = "12 mm"
points = [{ at = [0, 0, 0] }, {}, { at = [1, 2, 3] }]
[errors]
angle = 0.1
rotation = 0.2
straight = 0.02
point = "0.3 mm"
[agreed]
align = "points"
datum_points = ["A", "1", "B"]
length = 0.1
angle = 0.5
zone_radius = 0.2
corner = 0.3
end = 0.4
rules = ["one"]
guard_band = true
)");
  const inspection::Measured& m = piece.measured;
  EXPECT_EQ(m.name, "first piece");
  EXPECT_EQ(piece.part + piece.heat + piece.date + piece.who, "RailF22072026-03-02MK");
  EXPECT_EQ(piece.unit, base::LengthUnit::kInch);
  ASSERT_EQ(m.bends.size(), 2u);
  EXPECT_DOUBLE_EQ(*m.bends[0].straight_mm, 254.0);
  EXPECT_DOUBLE_EQ(m.bends[0].angle->deg(), 90.5);
  EXPECT_DOUBLE_EQ(m.bends[0].set->deg(), 94.6);
  EXPECT_NEAR(*m.bends[0].fed_mm, 256.54, 1e-9);
  EXPECT_DOUBLE_EQ(*m.bends[0].d_max_mm, 25.4);
  EXPECT_NEAR(*m.bends[0].d_min_mm, 22.86, 1e-9);
  EXPECT_NEAR(*m.bends[0].wall_mm, 1.524, 1e-9);
  EXPECT_FALSE(m.bends[1].straight_mm);
  EXPECT_NEAR(m.bends[1].rotation->deg(), -44.5, 1e-12);
  EXPECT_DOUBLE_EQ(m.bends[1].angle->deg(), 60.0);
  EXPECT_DOUBLE_EQ(*m.last_straight_mm, 12.0);
  ASSERT_EQ(m.points_mm.size(), 3u);
  EXPECT_FALSE(m.points_mm[1]);
  EXPECT_DOUBLE_EQ(m.points_mm[2]->z(), 76.2);
  EXPECT_DOUBLE_EQ(m.error.angle.deg(), 0.1);
  EXPECT_DOUBLE_EQ(m.error.point_mm, 0.3);
  EXPECT_EQ(piece.agreed.align, inspection::AlignBy::kDatumPoints);
  EXPECT_EQ(piece.agreed.datum_points.size(), 3u);
  EXPECT_NEAR(*piece.agreed.zone_radius_mm, 5.08, 1e-9);
  EXPECT_EQ(piece.agreed.guard_band, true);
}

// Story 16: legs of 300 from the corner and 430 across are 88.4°, and a millimetre of the tape is
// 0.27°: the reading counts as no better than that.
TEST(MeasuredPiece, AngleByThreeTapes) {
  const MeasuredPiece piece = read("bends = [{ triangle = [300, 300, 430] }]");
  EXPECT_NEAR(piece.measured.bends[0].angle->deg(), 88.44, 0.005);
  EXPECT_NEAR(piece.measured.error.angle.deg(), 0.27, 0.01);
  const MeasuredPiece stated =
      read("bends = [{ triangle = [300, 300, 430] }]\n[errors]\nangle = 0.1");
  EXPECT_DOUBLE_EQ(stated.measured.error.angle.deg(), 0.1);
}

// All points at once, and the same document as JSON.
TEST(MeasuredPiece, PlainPointsAndJson) {
  const MeasuredPiece toml = read("points = [[0, 0, 0], [1, 2, 3]]");
  const MeasuredPiece json = read(R"( {"points": [[0, 0, 0], [1, 2, 3]]})");
  ASSERT_EQ(toml.measured.points_mm.size(), 2u);
  EXPECT_EQ(toml.measured.points_mm, json.measured.points_mm);
}

// What is wrong is said with its place and what would be right.
TEST(MeasuredPiece, Refusals) {
  const base::Failure twice = refused("bends = [{ angle = 90, included = 90 }]");
  EXPECT_EQ(twice.code, "key.value");
  const base::Failure unknown = refused("schema = 1\n\n[[bends]]\nangel = 90\n");
  EXPECT_EQ(unknown.code, "key.unknown");
  EXPECT_EQ(unknown.where, "p.toml:4: bends[1].angel");
  EXPECT_NE(unknown.remedy.find("angle"), std::string::npos);
  EXPECT_EQ(refused("[errors]\nangle = 0").code, "key.value");
  EXPECT_EQ(refused("[agreed]\nalign = \"best\"").code, "key.value");
  EXPECT_EQ(refused("schema = 2").code, "measured.schema");
  EXPECT_EQ(refused("points = [[0, 0]]").code, "key.value");
  EXPECT_EQ(refused("points = [{ at = [0, 0] }]").code, "key.value");
  EXPECT_EQ(refused("bends = [{ triangle = [300, 300, 700] }]").code, "tape.triangle");
  EXPECT_EQ(refused("bends = [{ triangle = [300, 300] }]").code, "key.value");
  EXPECT_EQ(refused("{ \"bends\": [").code, "json.syntax");
  EXPECT_EQ(refused("").code, "toml.empty");
}

}  // namespace
}  // namespace bight::exchange
