#include "running/run_state.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "running/sample_run_test_util.h"

namespace bight::running {
namespace {

using base::Angle;

RunState after(running::Run& run, std::vector<Event> events) {
  const auto merge = take_events(run, events);
  EXPECT_TRUE(merge.ok());
  return state_of(run);
}

std::string place(const RunState& state) {
  if (!state.next) return "none";
  return "piece " + std::to_string(state.next->piece) + ", step " +
         std::to_string(state.next->step);
}

TEST(RunState, ANewRunBeginsAtPieceOne) {
  running::Run run = two_bend_run(3);
  const RunState state = state_of(run);
  ASSERT_TRUE(state.next);
  EXPECT_EQ(place(state), "piece 1, step 1");
  EXPECT_EQ(state.next->bend, 2);
  EXPECT_DOUBLE_EQ(state.next->set.deg(), 94.6);
}

// After a power cut the screen says piece 7, bend 3 of 5 (a told need of the trade).
TEST(RunState, ComesBackToTheExactBendOfTheExactPiece) {
  running::Run run = two_bend_run(12);
  while (run.steps.size() < 5) run.steps.push_back(run.steps[0]);
  std::vector<Event> events;
  int at_ms = 0;
  const auto add = [&](Deed deed) {
    ++at_ms;
    events.push_back(event("k" + std::to_string(at_ms), at_ms, std::move(deed)));
  };
  for (int piece = 1; piece <= 6; ++piece) {
    for (int step = 1; step <= 5; ++step) {
      add(hit(piece, step));
      add(BendDone{piece, step});
    }
    add(PieceFinished{piece, Verdict::kGood, ""});
  }
  for (int step = 1; step <= 2; ++step) add(BendDone{7, step});
  add(hit(7, 3));
  RunState state = after(run, events);
  EXPECT_EQ(place(state), "piece 7, step 3");
  EXPECT_EQ(state.next->hits, 1);
  EXPECT_EQ(state.good, 6);
}

TEST(RunState, AFinishedPieceWaitsForItsVerdict) {
  running::Run run = two_bend_run(2);
  RunState state = after(run, {event("a", 1, BendDone{1, 1}), event("b", 2, BendDone{1, 2})});
  EXPECT_EQ(place(state), "none");
  EXPECT_EQ(state.to_finish, 1);
  state = after(run, {event("c", 3, PieceFinished{1, Verdict::kGood, ""})});
  EXPECT_FALSE(state.to_finish);
  EXPECT_EQ(place(state), "piece 2, step 1");
}

TEST(RunState, AScrappedPieceIsMadeAgainUnderAnotherNumber) {
  running::Run run = two_bend_run(1);
  RunState state = after(run, {event("a", 1, BendDone{1, 1}),
                               event("b", 2, PieceFinished{1, Verdict::kScrap, "length"})});
  EXPECT_EQ(state.scrap, 1);
  EXPECT_EQ(place(state), "piece 2, step 1");
  state = after(run, {event("c", 3, BendDone{2, 1}), event("d", 4, BendDone{2, 2}),
                      event("e", 5, PieceFinished{2, Verdict::kGood, ""})});
  EXPECT_EQ(place(state), "none");
  EXPECT_EQ(state.good, 1);
}

TEST(RunState, BendByBendWalksAcrossThePieces) {
  running::Run run = two_bend_run(3);
  run.walk = Walk::kBend;
  RunState state = after(run, {event("a", 1, BendDone{1, 1}), event("b", 2, BendDone{2, 1})});
  EXPECT_EQ(place(state), "piece 3, step 1");
  state = after(run, {event("c", 3, BendDone{3, 1})});
  EXPECT_EQ(place(state), "piece 1, step 2");
}

TEST(RunState, WhatIsTakenBackCountsNoMore) {
  running::Run run = two_bend_run(3);
  RunState state = after(run, {event("a", 1, BendDone{1, 1}), event("b", 2, TakenBack{"a"})});
  EXPECT_EQ(place(state), "piece 1, step 1");
  EXPECT_EQ(state.taken_back, 1u);
  // Taken back before it came.
  state = after(run, {event("c", 3, TakenBack{"d"}), event("d", 4, BendDone{1, 1})});
  EXPECT_EQ(place(state), "piece 1, step 1");
}

TEST(RunState, ASettingHoldsFromItsPieceOn) {
  running::Run run = two_bend_run(5);
  after(run, {event("a", 5, SetChanged{1, 3, Angle::degrees(95)}),
              event("b", 6, SetChanged{1, 2, Angle::degrees(94.8)}),
              event("c", 7, SetChanged{2, 1, Angle::degrees(80)}),
              event("d", 8, SetChanged{1, 4, Angle::degrees(99)}), event("e", 9, TakenBack{"d"})});
  EXPECT_DOUBLE_EQ(set_in_force(run, 1, 1).deg(), 94.6);
  EXPECT_DOUBLE_EQ(set_in_force(run, 1, 2).deg(), 94.8);
  EXPECT_DOUBLE_EQ(set_in_force(run, 1, 4).deg(), 95);
  EXPECT_DOUBLE_EQ(set_in_force(run, 2, 9).deg(), 80);
}

// Pieces 1 to 14 of heat A, from 15 of heat B (a told need of the trade: certificates by piece).
TEST(RunState, HeatsCarryOn) {
  running::Run run = two_bend_run(24);
  run.heat = "A";
  const RunState state =
      after(run, {event("a", 1, BendDone{14, 1}), event("b", 2, PieceBegun{15, "B"}),
                  event("c", 3, BendDone{16, 1})});
  EXPECT_EQ(state.pieces.at(14).heat, "A");
  EXPECT_EQ(state.pieces.at(15).heat, "B");
  EXPECT_EQ(state.pieces.at(16).heat, "B");
}

TEST(RunState, AnEndHoldsUntilWorkGoesOn) {
  running::Run run = two_bend_run(3);
  RunState state = after(run, {event("a", 1, BendDone{1, 1}), event("b", 2, RunEnded{})});
  EXPECT_TRUE(state.ended);
  EXPECT_EQ(place(state), "none");
  state = after(run, {event("c", 3, hit(1, 2))});
  EXPECT_FALSE(state.ended);
  EXPECT_EQ(place(state), "piece 1, step 2");
}

TEST(RunState, OutcomesTakeTheLastMeasurement) {
  running::Run run = two_bend_run(3);
  const RunState state = after(
      run, {event("a", 1, read_hit(1, 1, 93.0, 88.6)), event("b", 2, read_hit(1, 1, 94.5, 90.1)),
            event("c", 3, AngleMeasured{1, 1, Angle::degrees(89.9)}),
            event("d", 4, read_hit(2, 2, 94.5, 90.0)), event("e", 5, hit(3, 1))});
  const std::vector<BendOutcome> outcomes = outcomes_of(run, state);
  ASSERT_EQ(outcomes.size(), 2u);
  EXPECT_NEAR(outcomes[0].off().deg(), -0.1, 1e-9);
  EXPECT_NEAR(outcomes[0].springback()->deg(), 4.6, 1e-9);
  EXPECT_EQ(outcomes[0].hits, 2);
  EXPECT_EQ(outcomes[1].piece, 2);
  EXPECT_EQ(outcomes_of(run, state, 1).size(), 1u);
}

TEST(RunState, TicksNotesAndTroublesAreKept) {
  running::Run run = two_bend_run(3);
  const RunState state = after(
      run, {event("a", 1, ItemChecked{"guards", true}), event("b", 2, ItemChecked{"oil", true}),
            event("c", 3, ItemChecked{"oil", false}), event("d", 4, Noted{1, 0, "scuffed"}),
            event("e", 5, TroubleAnswered{"wrinkle", "where", "all"})});
  EXPECT_EQ(state.checked, std::set<std::string>{"guards"});
  ASSERT_EQ(state.notes.size(), 1u);
  ASSERT_EQ(state.troubles.size(), 1u);
}

// Events of a small world, so that keys, pieces and times meet often.
Event any_event() {
  const int piece = *rc::gen::inRange(1, 5);
  const int step = *rc::gen::inRange(1, 3);
  const auto angle = Angle::degrees(*rc::gen::inRange(80, 100));
  Deed deed;
  switch (*rc::gen::inRange(0, 9)) {
    case 0:
      deed = PieceBegun{piece, step == 1 ? "" : "H2"};
      break;
    case 1:
      deed = Hit{piece, step, angle, {}};
      break;
    case 2:
      deed = Hit{piece, step, angle, angle - Angle::degrees(4)};
      break;
    case 3:
      deed = BendDone{piece, step};
      break;
    case 4:
      deed = AngleMeasured{piece, step, angle};
      break;
    case 5:
      deed = PieceFinished{piece, static_cast<Verdict>(*rc::gen::inRange(0, 3)), ""};
      break;
    case 6:
      deed = SetChanged{step, piece, angle};
      break;
    case 7:
      deed = TakenBack{"k" + std::to_string(*rc::gen::inRange(0, 30))};
      break;
    default:
      deed = RunEnded{};
      break;
  }
  return event("k" + std::to_string(*rc::gen::inRange(0, 30)), *rc::gen::inRange(0, 20), deed);
}

std::vector<Event> any_events() {
  std::vector<Event> events;
  const int count = *rc::gen::inRange(0, 40);
  for (int i = 0; i < count; ++i) events.push_back(any_event());
  return events;
}

Run with(const std::vector<std::vector<Event>>& lots) {
  running::Run run = two_bend_run(3);
  for (const auto& lot : lots) RC_ASSERT(take_events(run, lot).ok());
  return run;
}

RC_GTEST_PROP(RunProperty, QueuesMergeInEitherOrder, ()) {
  const std::vector<Event> one = any_events();
  const std::vector<Event> other = any_events();
  RC_ASSERT(with({one, other}).events == with({other, one}).events);
  std::vector<Event> both = other;
  both.insert(both.end(), one.rbegin(), one.rend());
  RC_ASSERT(with({one, other}).events == with({both}).events);
}

RC_GTEST_PROP(RunProperty, SendingAgainChangesNothing, ()) {
  const std::vector<Event> one = any_events();
  const std::vector<Event> other = any_events();
  RC_ASSERT(with({one, other, one, other, one}).events == with({one, other}).events);
}

// The bend said to be next is never one that is done or belongs to a piece that is finished, and
// nothing before it is open.
RC_GTEST_PROP(RunProperty, NextIsTheFirstOpenBend, ()) {
  const running::Run run = with({any_events()});
  const RunState state = state_of(run);
  if (!state.next) return;
  for (int piece = 1; piece <= state.next->piece; ++piece) {
    const auto at = state.pieces.find(piece);
    const bool here = piece == state.next->piece;
    if (at == state.pieces.end()) {
      RC_ASSERT(here);
      continue;
    }
    if (at->second.verdict) {
      RC_ASSERT(!here);
      continue;
    }
    RC_ASSERT(here);
    const auto bend = at->second.bends.find(state.next->step);
    RC_ASSERT(bend == at->second.bends.end() || !bend->second.done);
    for (int step = 1; step < state.next->step; ++step) RC_ASSERT(at->second.bends.at(step).done);
  }
}

}  // namespace
}  // namespace bight::running
