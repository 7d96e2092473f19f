#include "exchange/dxf_line.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "exchange/sample_lines_test_util.h"
#include "geometry/centreline.h"

namespace bight::exchange {
namespace {

using geometry::Vec3;

DxfPiece straight(const Vec3& a, const Vec3& b) {
  DxfPiece piece;
  piece.start = a;
  piece.end = b;
  return piece;
}

DxfChain chain_of(const geometry::Centreline& line) {
  DxfChain chain;
  for (const geometry::Segment& s : line.segments) {
    DxfPiece piece = straight(s.start.origin_mm, s.at(s.length_mm).origin_mm);
    if (s.is_arc()) {
      piece.arc = true;
      piece.centre = s.centre_mm();
      piece.nhat_axis = s.start.normal;
      piece.angle = s.angle;
    }
    if (s.length_mm > 0.0) chain.pieces.push_back(piece);
  }
  return chain;
}

// Straights and arcs laid out from a table give the table back.
RC_GTEST_PROP(DxfLineProperty, ReadsBackALaidOutTable, ()) {
  const geometry::BendTable table = *sample::any_table();
  const Answers none;
  Asking asking(none);
  const auto line = line_of_chain(chain_of(geometry::lay_out(table)), "f", asking);
  RC_ASSERT(line.ok());
  RC_ASSERT(line->has_value());
  const geometry::BendTable& back = (*line)->table;
  RC_ASSERT(back.num_bends() == table.num_bends());
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    RC_ASSERT(std::abs(back.rows()[i].straight_mm - table.rows()[i].straight_mm) < 1e-6);
    RC_ASSERT(std::abs((back.rows()[i].angle - table.rows()[i].angle).deg()) < 1e-6);
    RC_ASSERT(std::abs(back.rows()[i].radius_mm - table.rows()[i].radius_mm) < 1e-6);
  }
}

// A bend of 270 degrees has no corner and still comes back as one bend.
TEST(DxfLine, ReadsMoreThanAHalfTurn) {
  const geometry::BendTable table =
      *geometry::BendTable::make({{100, base::Angle(), base::Angle::degrees(270), 60}}, 150);
  const Answers none;
  Asking asking(none);
  const auto line = line_of_chain(chain_of(geometry::lay_out(table)), "f", asking);
  ASSERT_TRUE(line.ok());
  ASSERT_EQ((*line)->table.num_bends(), 1u);
  EXPECT_NEAR((*line)->table.rows()[0].angle.deg(), 270.0, 1e-9);
  EXPECT_NEAR((*line)->table.last_straight_mm(), 150.0, 1e-9);
}

// A sharp corner asks for its radius; an arc that does not run on is a kink.
TEST(DxfLine, AsksForARadiusAndRefusesKinks) {
  DxfChain chain;
  chain.pieces = {straight({0, 0, 0}, {100, 0, 0}), straight({100, 0, 0}, {100, 80, 0})};
  const Answers none;
  Asking open(none);
  EXPECT_FALSE(line_of_chain(chain, "f", open)->has_value());
  ASSERT_EQ(open.open().size(), 1u);
  EXPECT_EQ(open.open()[0].code, "ask.radius");
  const Answers radius = {{"radius", "30"}};
  Asking closed(radius);
  EXPECT_DOUBLE_EQ((*line_of_chain(chain, "f", closed))->table.rows()[0].straight_mm, 70.0);

  DxfPiece arc = straight({100, 0, 0}, {150, 50, 0});
  arc.arc = true;
  arc.centre = {150, 0, 0};
  arc.nhat_axis = -Vec3::UnitZ();
  arc.angle = base::Angle::degrees(90);
  chain.pieces = {straight({0, 0, 0}, {100, 0, 0}), arc};
  EXPECT_EQ(line_of_chain(chain, "f", closed).failure().code, "dxf.kink");
}

// Arcs that miss their tangent a little are smoothed with a note.
TEST(DxfLine, SmoothsSmallKinks) {
  DxfPiece arc = straight({100, 0, 0}, {150, 50, 0});
  arc.arc = true;
  arc.centre = {100, 50, 0};
  arc.angle = base::Angle::degrees(90);
  DxfChain chain;
  chain.pieces = {straight({0, 0.3, 0}, {100, 0, 0}), arc, straight({150, 50, 0}, {150, 200, 0})};
  const Answers none;
  Asking asking(none);
  const auto line = line_of_chain(chain, "f", asking);
  ASSERT_TRUE(line.ok());
  EXPECT_NEAR((*line)->table.rows()[0].angle.deg(), 90.0, 0.3);
  ASSERT_EQ((*line)->findings.size(), 1u);
  EXPECT_EQ((*line)->findings[0].code, "dxf.smoothed");
}

// A curve cut into short lines is no bend table.
TEST(DxfLine, RefusesChords) {
  DxfChain chain;
  const auto at = [](int i) { return Vec3(100 * std::cos(i * 0.1), 100 * std::sin(i * 0.1), 0); };
  for (int i = 0; i < 20; ++i) chain.pieces.push_back(straight(at(i), at(i + 1)));
  const Answers radius = {{"radius", "30"}};
  Asking asking(radius);
  EXPECT_EQ(line_of_chain(chain, "f", asking).failure().code, "dxf.chords");
  chain.pieces.clear();
  for (int i = 0; i < 5000; ++i) {
    chain.pieces.push_back(straight({i * 1.0, i % 2 * 1.0, 0}, {i + 1.0, (i + 1) % 2 * 1.0, 0}));
  }
  EXPECT_EQ(line_of_chain(chain, "f", asking).failure().code, "table.many");
}

}  // namespace
}  // namespace bight::exchange
