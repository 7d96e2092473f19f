#include "clearance/contests.h"

#include <gtest/gtest.h>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using sample::Angle;

struct Made {
  workshop::Bender bender = sample::bender();
  workshop::DieSet die = sample::die();
  std::shared_ptr<const Prepared> prepared;
  explicit Made(const Tube& tube) { prepared = prepare({&bender, {&die}}, tube).value(); }
};

// Pieces next to the bend do not take part against die, clamp and pressure die, and do against the
// rest; every contest tells its stage and what it was seen from.
TEST(Contests, HeldPiecesAreLeftOutAgainstWhatHoldsThem) {
  const Made m(sample::tube({{300, 0, 60}, {200, 40, 70}}, 400));
  const Step step{.bend = 0, .made = 0b10, .front = Front::kEndB};
  const StepContests contests(*m.prepared, step);
  const Contests ahead = contests.of_side(Side::kAhead);
  int held = 0;
  for (const Contest& c : ahead.list) {
    const bool holds = c.obstacles == &m.prepared->discs ||
                       c.obstacles == &m.prepared->around[0].clamp ||
                       c.obstacles == &m.prepared->around[0].pressure_die;
    EXPECT_EQ(c.skip_first, holds ? 1u : 0u);
    held += holds ? 1 : 0;
    EXPECT_TRUE(c.ropes->back().flat_b);
    EXPECT_LT(ahead.about[static_cast<std::size_t>(c.tag)].stage, contests.stages().size());
  }
  EXPECT_EQ(held, 3 * static_cast<int>(contests.stages().size()));
  for (const Contest& c : contests.of_bend().list) {
    EXPECT_TRUE(c.obstacles == &m.prepared->still || c.obstacles == &m.prepared->arm);
  }
}

// A bend in the making is there part by part.
TEST(Contests, BendGrowsByParts) {
  const Made m(sample::tube({{300, 0, 60}}, 400));
  const Step step{.bend = 0, .made = 0, .front = Front::kEndB};
  const StepContests contests(*m.prepared, step);
  const Contests bend = contests.of_bend();
  std::vector<double> from;
  std::vector<double> to;
  for (const Contest& c : bend.list) {
    const About& about = bend.about[static_cast<std::size_t>(c.tag)];
    if (contests.stages()[about.stage].stage != Stage::kBend || c.obstacles != &m.prepared->still) {
      continue;
    }
    for (const Rope& rope : *c.ropes) {
      (rope.radius_mm > 0 ? from : to)
          .push_back(rope.radius_mm > 0 ? rope.from_ratio : rope.to_ratio);
    }
  }
  // 63.5° in parts of 15°.
  EXPECT_EQ(from, (std::vector<double>{0, 0.2, 0.4, 0.6, 0.8}));
  EXPECT_EQ(to, (std::vector<double>{0.2, 0.4, 0.6, 0.8, 1}));
}

// Without a half turn of bends the tube cannot meet itself, and nothing is asked.
TEST(Contests, ItselfNeedsAHalfTurn) {
  const auto num = [](double deg) {
    const Made m(sample::tube({{300, 0, deg}, {100, 0, deg}}, 400));
    const Step step{.bend = 0, .made = 0b10, .front = Front::kEndB};
    return StepContests(*m.prepared, step).of_itself().list.size();
  };
  EXPECT_EQ(num(80), 0u);
  EXPECT_GT(num(95), 0u);
}

}  // namespace
}  // namespace bight::clearance
