#include "ordering/carriage_order.h"

#include <gtest/gtest.h>

#include "clearance/movement.h"
#include "ordering/best_order.h"
#include "ordering/sample_order_test_util.h"

namespace bight::ordering {
namespace {

Problem fed(std::vector<sample::Row> rows, double last_mm) {
  Problem p = sample::problem(clearance::sample::tube(rows, last_mm));
  p.bender.kind = workshop::BenderKind::kCarriageFed;
  p.bender.around.bodies.clear();
  p.bender.grip_mm = 50;
  return p;
}

// Along the tube from either end, never anything else, and the shorter turn when both clear.
TEST(CarriageOrder, RunsAlongTheTube) {
  const Problem p = fed({{300, 0, 40}, {200, 90, 40}, {250, -120, 40}}, 400);
  const Answer answer = best_order(p).value();
  EXPECT_TRUE(answer.best.works());
  const Sequence s = answer.best.sequence();
  ASSERT_EQ(s.size(), 3u);
  for (std::size_t k = 0; k < 3; ++k) {
    EXPECT_EQ(s[k].bend, k);
    EXPECT_EQ(s[k].front, Front::kEndA);
  }
  EXPECT_NEAR(s[1].turn.deg(), 90, 1e-9);
  EXPECT_NEAR(s[2].turn.deg(), -120, 1e-9);
  EXPECT_NEAR(s[1].advance_mm, 200, 1e-9);
}

// A keep-out that the short way round sweeps through is avoided by turning the long way.
TEST(CarriageOrder, TurnsTheLongWayRoundWhenTheShortOneHits) {
  Problem p = fed({{900, 0, 60}, {300, 90, 30}}, 500);
  p.bender.around.room.floor_mm = 3000;
  const Sequence plain = best_order(p)->best.sequence();
  ASSERT_NEAR(std::abs(plain[1].turn.deg()), 90, 1e-9);
  // Where the first leg's end passes half way through its turn.
  const StepRules rules(p, {});
  const clearance::Setup setup{&p.bender, {&p.dies[0]}};
  const auto film = clearance::movement(
      setup, p.tube, {1, 1, plain[1].front, 0, plain[1].turn, plain[1].advance_mm});
  ASSERT_TRUE(film.ok());
  for (const clearance::Moment& m : *film) {
    if (m.stage != clearance::Stage::kTurn || m.share_ratio < 0.49) continue;
    const geometry::Segment& last = m.tube.back();
    p.bender.around.bodies.push_back(clearance::sample::box(
        "post", workshop::CarriedBy::kFrame, {40, 40, 40}, last.at(last.length_mm).origin_mm));
    break;
  }
  ASSERT_EQ(p.bender.around.bodies.size(), 1u);
  const Answer answer = best_order(p).value();
  EXPECT_TRUE(answer.best.works());
  const Placed& second = answer.best.steps[1].placed;
  EXPECT_TRUE(std::abs(second.turn.deg()) > 180 || second.front != plain[1].front);
}

// Too short a straight between two bends for the carriage's shortest feed is a stop, with the
// limit's own code.
TEST(CarriageOrder, LimitsStop) {
  Problem p = fed({{300, 0, 40}, {100, 90, 40}}, 400);
  p.bender.feed_min_mm = 150;
  const Answer answer = best_order(p).value();
  EXPECT_FALSE(answer.best.works());
  ASSERT_EQ(answer.best.steps[1].limits.size(), 1u);
  EXPECT_EQ(answer.best.steps[1].limits[0].code, "clearance.feed");
}

}  // namespace
}  // namespace bight::ordering
