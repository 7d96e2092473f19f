#include "exchange/dxf_entities.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>

#include "exchange/dxf_text_test_util.h"

namespace bight::exchange {
namespace {

using geometry::Vec3;

DxfDrawing read(const std::string& text) {
  auto drawing = read_dxf_drawing(text, "f.dxf");
  EXPECT_TRUE(drawing.ok()) << drawing.failure().text();
  return drawing.ok() ? std::move(drawing).value() : DxfDrawing();
}

void expect_near(const Vec3& a, const Vec3& b) {
  EXPECT_LT((a - b).norm(), 1e-9) << a << "\n" << b;
}

// The worked cases of the arbitrary axis algorithm: world Z, near Z, and straight down, where X is
// turned round (DXF reference, from memory: Ax = Wy x N near the pole, else Wz x N).
TEST(DxfEntities, ArbitraryAxes) {
  EXPECT_TRUE(ocs_axes(Vec3::UnitZ()).isIdentity(1e-15));
  expect_near(ocs_axes(-Vec3::UnitZ()).col(0), -Vec3::UnitX());
  expect_near(ocs_axes(-Vec3::UnitZ()).col(1), Vec3::UnitY());
  expect_near(ocs_axes(Vec3::UnitX()).col(0), Vec3::UnitY());
  expect_near(ocs_axes(Vec3::UnitX()).col(1), Vec3::UnitZ());
  expect_near(ocs_axes(Vec3::UnitY()).col(0), -Vec3::UnitX());
}

// An arc runs counter-clockwise from its first to its second angle, also across 360 degrees.
TEST(DxfEntities, ReadsArcs) {
  const DxfDrawing d = read(sample::dxf_drawing(sample::dxf_arc(10, 20, 5, 270, 30)));
  ASSERT_EQ(d.curves.size(), 1u);
  const DxfPiece& arc = d.curves[0].pieces.at(0);
  expect_near(arc.start, {10, 15, 0});
  EXPECT_NEAR(arc.angle.deg(), 120.0, 1e-12);
  expect_near(arc.ahead_at_start(), Vec3::UnitX());
  EXPECT_NEAR(arc.radius(), 5.0, 1e-12);
  expect_near(arc.reversed().ahead_at_end(), -Vec3::UnitX());
}

// Seen from below (extrusion -Z) an arc is mirrored in X and runs clockwise.
TEST(DxfEntities, TurnsArcsOutOfTheirOwnAxes) {
  const DxfDrawing d = read(
      sample::dxf_drawing(sample::dxf_arc(10, 20, 5, 0, 90, "0", "210\n0\n220\n0\n230\n-1\n")));
  const DxfPiece& arc = d.curves.at(0).pieces.at(0);
  expect_near(arc.centre, {-10, 20, 0});
  expect_near(arc.start, {-15, 20, 0});
  expect_near(arc.end, {-10, 25, 0});
  expect_near(arc.nhat_axis, -Vec3::UnitZ());
}

// A bulge is the tangent of a quarter of the angle, left turns positive: 1 is a half circle.
TEST(DxfEntities, ReadsBulges) {
  const double quarter = std::tan(M_PI / 8);
  const DxfDrawing d = read(sample::dxf_drawing(
      sample::dxf_lwpolyline({{0, 0, 0}, {10, 0, quarter}, {15, 5, -1}, {15, 9, 0}})));
  const auto& pieces = d.curves.at(0).pieces;
  ASSERT_EQ(pieces.size(), 3u);
  EXPECT_NEAR(pieces[1].angle.deg(), 90.0, 1e-9);
  expect_near(pieces[1].centre, {10, 5, 0});
  expect_near(pieces[1].ahead_at_start(), Vec3::UnitX());
  EXPECT_NEAR(pieces[2].angle.deg(), 180.0, 1e-9);
  expect_near(pieces[2].centre, {15, 7, 0});
  expect_near(pieces[2].ahead_at_start(), -Vec3::UnitX());
}

// Old polylines, in the plane with elevation and in space, with their fitted control points left.
TEST(DxfEntities, ReadsOldPolylines) {
  const std::string flat =
      "0\nPOLYLINE\n8\nA\n66\n1\n10\n0\n20\n0\n30\n7\n70\n0\n"
      "0\nVERTEX\n8\nA\n10\n0\n20\n0\n30\n7\n42\n1\n0\nVERTEX\n8\nA\n10\n4\n20\n0\n30\n7\n0\nSEQEND"
      "\n";
  const std::string spatial =
      "0\nPOLYLINE\n8\nB\n66\n1\n70\n8\n0\nVERTEX\n10\n0\n20\n0\n30\n0\n70\n32\n"
      "0\nVERTEX\n10\n9\n20\n9\n30\n9\n70\n16\n"
      "0\nVERTEX\n10\n1\n20\n2\n30\n3\n70\n32\n0\nVERTEX\n10\n4\n20\n5\n30\n7\n70\n32\n0\nSEQEND\n";
  const DxfDrawing d = read(sample::dxf_drawing(flat + spatial));
  ASSERT_EQ(d.curves.size(), 2u);
  EXPECT_EQ(d.curves[0].layer, "A");
  ASSERT_EQ(d.curves[0].pieces.size(), 1u);
  expect_near(d.curves[0].pieces[0].centre, {2, 0, 7});
  ASSERT_EQ(d.curves[1].pieces.size(), 2u);
  expect_near(d.curves[1].pieces[1].end, {4, 5, 7});
}

// A block is inserted scaled, turned and moved; its layer 0 becomes the insert's; a mirror image
// keeps its arcs arcs; unlike scales are passed over and counted.
TEST(DxfEntities, InsertsBlocks) {
  const std::string block = "0\nBLOCK\n8\n0\n2\nROD\n10\n1\n20\n0\n30\n0\n" +
                            sample::dxf_line(1, 0, 3, 0) + sample::dxf_arc(3, 1, 1, 270, 0) +
                            "0\nENDBLK\n";
  const std::string inserts =
      "0\nINSERT\n8\nTUBE\n2\nROD\n10\n100\n20\n50\n30\n0\n41\n2\n42\n2\n43\n2\n50\n90\n"
      "0\nINSERT\n8\nMIRROR\n2\nROD\n10\n0\n20\n0\n30\n0\n41\n-1\n42\n1\n43\n1\n"
      "0\nINSERT\n8\nFLAT\n2\nROD\n10\n0\n20\n0\n41\n2\n42\n1\n43\n1\n"
      "0\nINSERT\n8\nGONE\n2\nNOBODY\n10\n0\n20\n0\n";
  const DxfDrawing d = read(sample::dxf_drawing(inserts, 4, block));
  ASSERT_EQ(d.curves.size(), 4u);
  EXPECT_EQ(d.curves[0].layer, "TUBE");
  expect_near(d.curves[0].pieces[0].start, {100, 50, 0});
  expect_near(d.curves[0].pieces[0].end, {100, 54, 0});
  expect_near(d.curves[1].pieces[0].end, {98, 56, 0});
  expect_near(d.curves[3].pieces[0].start, {-2, 0, 0});
  expect_near(d.curves[3].pieces[0].ahead_at_start(), -Vec3::UnitX());
  expect_near(d.curves[3].pieces[0].end, {-3, 1, 0});
  EXPECT_EQ(d.passed_over.at("INSERT"), 2);
}

// A block that inserts itself ends; so does one that multiplies without bound.
TEST(DxfEntities, SurvivesBlocksWithinThemselves) {
  const std::string self = "0\nBLOCK\n8\n0\n2\nB\n10\n0\n20\n0\n" + sample::dxf_line(0, 0, 1, 0) +
                           "0\nINSERT\n2\nB\n10\n1\n20\n0\n0\nENDBLK\n";
  const DxfDrawing d = read(sample::dxf_drawing("0\nINSERT\n2\nB\n10\n0\n20\n0\n", 4, self));
  EXPECT_EQ(d.curves.size(), std::size_t{16});
  const std::string bomb = "0\nBLOCK\n8\n0\n2\nB\n10\n0\n20\n0\n" + sample::dxf_line(0, 0, 1, 0) +
                           "0\nINSERT\n2\nB\n10\n1\n20\n0\n70\n9999\n71\n9999\n0\nENDBLK\n";
  const auto refused =
      read_dxf_drawing(sample::dxf_drawing("0\nINSERT\n2\nB\n10\n0\n20\n0\n", 4, bomb), "f");
  ASSERT_FALSE(refused.ok());
  EXPECT_EQ(refused.failure().code, "dxf.many");
}

// Extended data reuses codes; paper space is another sheet; strangers are counted.
TEST(DxfEntities, PassesOver) {
  const DxfDrawing d = read(sample::dxf_drawing(
      sample::dxf_line(0, 0, 1, 0) + "102\n{X\n10\n99\n102\n}\n1001\nAPP\n1010\n77\n" +
      "0\nLINE\n67\n1\n10\n0\n20\n0\n11\n5\n21\n5\n0\nTEXT\n1\nhello\n10\n0\n0\nSPLINE\n10\n0\n"));
  ASSERT_EQ(d.curves.size(), 1u);
  expect_near(d.curves[0].pieces[0].start, Vec3::Zero());
  EXPECT_EQ(d.passed_over.at("TEXT"), 1);
  EXPECT_EQ(d.passed_over.at("SPLINE"), 1);
  EXPECT_TRUE(d.complete);
  EXPECT_EQ(d.unit_code, 4);
}

// A drawing cut off between two groups is read and said to be incomplete.
TEST(DxfEntities, NoticesAMissingEnd) {
  const std::string text = sample::dxf_drawing(sample::dxf_line(0, 0, 1, 0));
  const DxfDrawing d = read(text.substr(0, text.find("0\nENDSEC\n0\nEOF")));
  EXPECT_EQ(d.curves.size(), 1u);
  EXPECT_FALSE(d.complete);
  EXPECT_EQ(read_dxf_drawing("0\nLINE\n", "f").failure().code, "dxf.syntax");
}

}  // namespace
}  // namespace bight::exchange
