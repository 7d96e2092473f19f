#include "exchange/dxf_chain.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace bight::exchange {
namespace {

using geometry::Vec3;

DxfCurve line(const Vec3& a, const Vec3& b, const std::string& layer = "0") {
  DxfPiece piece;
  piece.start = a;
  piece.end = b;
  return {layer, {piece}, false, false};
}

// Lines drawn in any order and direction make one chain, in the direction of the first.
TEST(DxfChain, JoinsAnyOrder) {
  const DxfChains joined = join_curves(
      {line({10, 10, 0}, {10, 0, 0}), line({0, 0, 0}, {10, 0, 0}), line({10, 10, 5}, {10, 10, 0})},
      0.01);
  ASSERT_EQ(joined.chains.size(), 1u);
  const DxfChain& chain = joined.chains[0];
  EXPECT_EQ(chain.shape, DxfChain::Shape::kOpen);
  ASSERT_EQ(chain.pieces.size(), 3u);
  EXPECT_EQ(chain.pieces.front().start, Vec3(10, 10, 5));
  EXPECT_EQ(chain.pieces.back().end, Vec3(0, 0, 0));
  EXPECT_DOUBLE_EQ(chain.length_mm, 25.0);
}

// Shuffled and turned at random, the same polyline comes out.
RC_GTEST_PROP(DxfChainProperty, OrderDoesNotMatter, ()) {
  const auto num = *rc::gen::inRange<std::size_t>(1, 9);
  std::vector<Vec3> points = {Vec3::Zero()};
  for (std::size_t i = 0; i < num; ++i) {
    points.push_back(points.back() + Vec3(*rc::gen::inRange(1, 50), *rc::gen::inRange(-50, 50),
                                          *rc::gen::inRange(-50, 50)));
  }
  std::vector<std::size_t> order(num);
  for (std::size_t i = 0; i < num; ++i) order[i] = i;
  for (std::size_t i = num; i > 1; --i) {
    std::swap(order[i - 1], order[*rc::gen::inRange<std::size_t>(0, i)]);
  }
  std::vector<DxfCurve> curves;
  bool first_forward = true;
  for (const std::size_t i : order) {
    const bool forward = *rc::gen::arbitrary<bool>();
    if (curves.empty()) first_forward = forward;
    curves.push_back(forward ? line(points[i], points[i + 1]) : line(points[i + 1], points[i]));
  }
  const DxfChains joined = join_curves(curves, 0.01);
  RC_ASSERT(joined.chains.size() == 1u);
  RC_ASSERT(joined.chains[0].pieces.size() == num);
  const auto& pieces = joined.chains[0].pieces;
  for (std::size_t i = 0; i < num; ++i) {
    const std::size_t at = first_forward ? i : num - i;
    RC_ASSERT(pieces[i].start == points[at]);
  }
}

// Ends within the tolerance touch, across cell borders too; beyond it they do not.
TEST(DxfChain, JoinsWithinTheTolerance) {
  const std::vector<DxfCurve> curves = {line({0, 0, 0}, {10, 0, 0}),
                                        line({10.008, 0, 0}, {20, 0, 9})};
  EXPECT_EQ(join_curves(curves, 0.01).chains.size(), 1u);
  const DxfChains apart = join_curves(curves, 0.005);
  EXPECT_EQ(apart.chains.size(), 2u);
  EXPECT_NEAR(smallest_gap_mm(apart.chains, "0"), 0.008, 1e-12);
  EXPECT_EQ(smallest_gap_mm(apart.chains, "other"), 0.0);
}

// Closed, branched and doubled lines are told apart; layers are not mixed.
TEST(DxfChain, TellsShapes) {
  const Vec3 a(0, 0, 0), b(10, 0, 0), c(10, 10, 0);
  EXPECT_EQ(join_curves({line(a, b), line(b, c), line(c, a)}, 0.01).chains.at(0).shape,
            DxfChain::Shape::kClosed);
  EXPECT_EQ(join_curves({line(a, b), line(b, c), line(b, {20, 0, 0})}, 0.01).chains.at(0).shape,
            DxfChain::Shape::kBranched);
  const DxfChains doubled = join_curves({line(a, b), line(b, a), line(b, c)}, 0.01);
  EXPECT_EQ(doubled.num_doubled, 1u);
  EXPECT_EQ(doubled.chains.at(0).shape, DxfChain::Shape::kOpen);
  EXPECT_EQ(doubled.chains.at(0).pieces.size(), 2u);
  EXPECT_EQ(join_curves({line(a, b, "1"), line(b, c, "2")}, 0.01).chains.size(), 2u);
}

}  // namespace
}  // namespace bight::exchange
