#include "running/run.h"

#include <gtest/gtest.h>

#include "running/sample_run_test_util.h"

namespace bight::running {
namespace {

TEST(Run, TakingTheSameEventsAgainChangesNothing) {
  running::Run run = two_bend_run(3);
  const std::vector<Event> events = {event("a", 1, PieceBegun{1, "H1"}), event("b", 2, hit(1, 1)),
                                     event("c", 3, BendDone{1, 1})};
  const auto first = take_events(run, events);
  ASSERT_TRUE(first.ok()) << first.failure().text();
  EXPECT_EQ(first->added, 3);
  const std::vector<Event> once = run.events;
  const auto again = take_events(run, events);
  ASSERT_TRUE(again.ok());
  EXPECT_EQ(again->added, 0);
  EXPECT_EQ(again->known, 3);
  EXPECT_EQ(run.events, once);
}

TEST(Run, OneKeySaysOneThingInWhicheverOrderItComes) {
  const Event early = event("a", 1, hit(1, 1));
  const Event late = event("a", 2, hit(1, 2));
  running::Run one = two_bend_run(3);
  running::Run other = two_bend_run(3);
  const auto merge = take_events(one, {early, late});
  ASSERT_TRUE(merge.ok());
  ASSERT_EQ(merge->clashes.size(), 1u);
  EXPECT_EQ(merge->clashes[0].kept, early);
  EXPECT_EQ(merge->clashes[0].left, late);
  ASSERT_TRUE(take_events(other, {late, early}).ok());
  EXPECT_EQ(one.events, other.events);
}

TEST(Run, RefusesEventsThatCannotBeAndTakesNoneOfTheLot) {
  const auto code = [](const Event& wrong) {
    running::Run run = two_bend_run(3);
    const auto merge = take_events(run, {event("fine", 1, hit(1, 1)), wrong});
    EXPECT_TRUE(run.events.empty());
    return merge.ok() ? std::string("none") : merge.failure().code;
  };
  EXPECT_EQ(code(event("", 1, hit(1, 1))), "run.key");
  EXPECT_EQ(code(event("a b", 1, hit(1, 1))), "run.key");
  EXPECT_EQ(code(event(std::string(129, 'x'), 1, hit(1, 1))), "run.key");
  EXPECT_EQ(code(event("a", 1, hit(0, 1))), "run.piece");
  EXPECT_EQ(code(event("a", 1, hit(10'001, 1))), "run.piece");
  EXPECT_EQ(code(event("a", 1, hit(1, 0))), "run.step");
  EXPECT_EQ(code(event("a", 1, BendDone{1, 3})), "run.step");
  EXPECT_EQ(code(event("a", 1, Hit{1, 1, base::Angle::degrees(-1), {}})), "run.angle");
  EXPECT_EQ(code(event("a", 1, AngleMeasured{1, 1, base::Angle::degrees(401)})), "run.angle");
  EXPECT_EQ(code(event("a", 1, SetChanged{1, 0, base::Angle::degrees(90)})), "run.piece");
  EXPECT_EQ(code(event("a", 1, Noted{0, 0, std::string(1001, 'x')})), "run.text");
  EXPECT_EQ(code(event("a", 1, TakenBack{""})), "run.key");
  EXPECT_EQ(code(event("a", 1, ItemChecked{"two words", true})), "run.key");
  EXPECT_EQ(code(event("a", 1, TroubleAnswered{"wrinkle", "", "all"})), "run.key");
}

TEST(Run, IsFullAtItsLimit) {
  running::Run run = two_bend_run(3);
  std::vector<Event> events;
  for (std::size_t i = 0; i <= kMostEvents; ++i) {
    events.push_back(event("k" + std::to_string(i), static_cast<int>(i), Noted{0, 0, "x"}));
  }
  const auto merge = take_events(run, events);
  ASSERT_FALSE(merge.ok());
  EXPECT_EQ(merge.failure().code, "run.full");
  EXPECT_TRUE(run.events.empty());
  events.pop_back();
  EXPECT_TRUE(take_events(run, events).ok());
}

TEST(Run, RefusesRunsThatCannotBe) {
  const auto code = [](auto change) {
    running::Run run = two_bend_run(3);
    change(run);
    const base::Status status = check_run(run);
    return status.ok() ? std::string("none") : status.failure().code;
  };
  EXPECT_EQ(code([](running::Run&) {}), "none");
  EXPECT_EQ(code([](running::Run& run) { run.steps.clear(); }), "run.steps");
  EXPECT_EQ(code([](running::Run& run) { run.steps[0].bend = 0; }), "run.steps");
  EXPECT_EQ(code([](running::Run& run) { run.pieces_wanted = 0; }), "run.pieces");
  EXPECT_EQ(code([](running::Run& run) { run.steps[1].set = base::Angle::degrees(500); }),
            "run.angle");
  EXPECT_EQ(code([](running::Run& run) { run.steps[1].tolerance = base::Angle(); }), "run.angle");
  EXPECT_EQ(code([](running::Run& run) { run.name = std::string(2000, 'x'); }), "run.text");
}

}  // namespace
}  // namespace bight::running
