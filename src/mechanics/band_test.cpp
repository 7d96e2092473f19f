#include "mechanics/band.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <vector>

namespace bight::mechanics {
namespace {

using stock::FlowCurve;
using stock::Section;

BendCase tube_case() {
  return {*Section::round_tube(38.1, 1.65), *FlowCurve::swift(205e3, 700, 0.01, 0.2), 114.3};
}

Scatter none() { return {0, 0, 0, 0, 0, 0}; }

// No scatter, no width.
TEST(Band, NothingScattersNothing) {
  const BendBand band = *bend_band(tube_case(), none());
  EXPECT_EQ(band.moment_nmm.low, band.moment_nmm.likely);
  EXPECT_EQ(band.moment_nmm.high, band.moment_nmm.likely);
  EXPECT_LT(band.springback_ratio.share_ratio[0], 1e-20);
}

// One input at a time: a 10 % strength band gives a 10 % moment band (1.96 of 2 standard
// deviations), a perfectly plastic tube's moment being proportional to strength (by hand).
TEST(BandReference, ProportionalInputByHand) {
  BendCase bend = tube_case();
  bend.curve = *FlowCurve::perfect(205e3, 350);
  bend.refinements = {false, false, false, false};
  bend.die_radius_mm = 60;
  Scatter scatter = none();
  scatter.strength_ratio = 0.10;
  const Band moment = bend_band(bend, scatter)->moment_nmm;
  EXPECT_NEAR(moment.high / moment.likely, 1 + 0.10 * 1.96 / 2, 2e-3);
  EXPECT_NEAR(moment.low / moment.likely, 1 - 0.10 * 1.96 / 2, 2e-3);
  EXPECT_EQ(moment.cause, Cause::kStrength);
  EXPECT_GT(moment.share_ratio[0], 0.999);
}

// Against plain random sampling (independent generator and distribution code of the standard
// library, 40 000 draws): the interval agrees within a twentieth of its width.
TEST(Band, AgreesWithMonteCarlo) {
  const BendCase bend = tube_case();
  const Scatter scatter;
  const Band band = bend_band(bend, scatter)->springback_ratio;
  std::uint64_t state = 88172645463325252ULL;
  const auto uniform = [&] {
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return (static_cast<double>(state >> 11) + 0.5) / 9007199254740992.0;
  };
  const auto normal = [&] {  // Box and Muller
    return std::sqrt(-2 * std::log(uniform())) * std::cos(6.283185307179586 * uniform());
  };
  std::vector<double> q;
  for (int i = 0; i < 40000; ++i) {
    const double size = 1 + 0.0025 * normal();
    const double wall = 1 + 0.05 * normal();
    BendCase sample = bend;
    sample.section = *Section::round_tube(38.1 * size, 1.65 * wall);
    sample.curve = FlowCurve::swift(205e3, 700, 0.01, 0.2)
                       ->hardened(1 + 0.10 * normal())
                       .scaled(1 + 0.05 * normal())
                       .stiffened(1 + 0.015 * normal());
    q.push_back(predict_bend(sample)->springback_ratio);
  }
  std::sort(q.begin(), q.end());
  EXPECT_NEAR(band.low, q[1000], 0.05 * (band.high - band.low));
  EXPECT_NEAR(band.high, q[39000], 0.05 * (band.high - band.low));
}

// The blame is where it belongs: moment by wall when only walls differ much, wall left in mm by
// the wall, springback by strength; the shares of a nearly linear model add up to nearly one.
TEST(Band, NamesTheCause) {
  Scatter walls;
  walls.wall_ratio = 0.2;
  walls.strength_ratio = 0.02;
  const BendBand band = *bend_band(tube_case(), walls);
  EXPECT_EQ(band.wall_outer_mm.cause, Cause::kWall);
  EXPECT_EQ(band.moment_nmm.cause, Cause::kWall);
  const BendBand plain = *bend_band(tube_case(), Scatter{});
  EXPECT_EQ(plain.springback_ratio.cause, Cause::kStrength);
  const auto& shares = plain.springback_ratio.share_ratio;
  EXPECT_NEAR(std::accumulate(shares.begin(), shares.end(), 0.0), 1.0, 0.05);
  EXPECT_LT(plain.springback_ratio.low, plain.springback_ratio.likely);
  EXPECT_GT(plain.springback_ratio.high, plain.springback_ratio.likely);
}

// An uncertain hoop hold widens the wall band downwards only.
TEST(Band, HoldWidensTheWall) {
  Scatter hold = none();
  hold.hold_to_ratio = 1.0;
  const Band wall = bend_band(tube_case(), hold)->wall_outer_ratio;
  EXPECT_LT(wall.low, 0.97 * wall.likely);
  EXPECT_NEAR(wall.high, wall.likely, 0.02);
  EXPECT_EQ(wall.cause, Cause::kHold);
}

// Bars and boxes have bands too.
TEST(Band, OtherSections) {
  for (const Section& s :
       {*Section::round_bar(20), *Section::rect_tube(40, 30, 2, 4), *Section::rect_bar(20, 40)}) {
    BendCase bend = tube_case();
    bend.section = s;
    const BendBand band = *bend_band(bend, Scatter{});
    EXPECT_LT(band.moment_nmm.low, band.moment_nmm.high);
  }
}

TEST(Band, RefusesNonsense) {
  Scatter bad;
  bad.wall_ratio = -0.1;
  EXPECT_EQ(bend_band(tube_case(), bad).failure().code, "band.input");
  bad = Scatter{};
  bad.hold_to_ratio = 1.5;
  EXPECT_EQ(bend_band(tube_case(), bad).failure().code, "band.input");
  BendCase bend = tube_case();
  bend.die_radius_mm = 1;
  EXPECT_EQ(bend_band(bend, Scatter{}).failure().code, "bend.radius");
  EXPECT_EQ(words(Cause::kWall), "wall tolerance");
}

}  // namespace
}  // namespace bight::mechanics
