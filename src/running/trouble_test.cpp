#include "running/trouble.h"

#include <gtest/gtest.h>

namespace bight::running {
namespace {

TroubleGuide guide() {
  auto read = TroubleGuide::built_in();
  EXPECT_TRUE(read.ok()) << (read.ok() ? "" : read.failure().text());
  return *read;
}

TroubleState after(std::string_view symptom, const TroubleFacts& facts,
                   const std::vector<std::string>& answers) {
  std::vector<TroubleAnswer> parsed;
  for (const std::string& answer : answers) parsed.push_back(*parse_trouble_answer(answer));
  const auto state = guide().state(symptom, facts, parsed);
  EXPECT_TRUE(state.ok()) << (state.ok() ? "" : state.failure().text());
  return state.ok() ? *state : TroubleState{};
}

const TroubleFacts kAllTools{true, true, 24.0};

// A hump at the trailing end of a smooth bend: the wiper first; folds all through: the mandrel
// first, pressure last (a told need of the trade).
TEST(Trouble, BeginsWithWhatTheTradeBeginsWith) {
  EXPECT_EQ(after("hump", kAllTools, {"where=trailing"}).question, "wiper-fit");
  EXPECT_EQ(after("wrinkle", kAllTools, {"where=all"}).question, "mandrel-forward");
  EXPECT_EQ(after("wrinkle", kAllTools, {"where=trailing"}).question, "wiper-fit");
}

TEST(Trouble, AsksWhereBeforeItChangesAnything) {
  const TroubleState state = after("wrinkle", kAllTools, {});
  EXPECT_EQ(state.question, "where");
  EXPECT_EQ(state.choices.size(), 3u);
  EXPECT_TRUE(state.change.empty());
}

TEST(Trouble, OneChangeAtATimeAndWhatDidNotHelpIsTakenBack) {
  TroubleState state = after("wrinkle", kAllTools, {"where=trailing", "wiper-fit=same"});
  EXPECT_EQ(state.question, "wiper-rake");
  EXPECT_TRUE(state.undo_first);
  state = after("wrinkle", kAllTools, {"where=trailing", "wiper-fit=same", "wiper-rake=better"});
  EXPECT_EQ(state.question, "wiper-rake");
  EXPECT_FALSE(state.undo_first);
  state = after("wrinkle", kAllTools,
                {"where=trailing", "wiper-fit=same", "wiper-rake=better", "wiper-rake=gone"});
  EXPECT_TRUE(state.solved);
  EXPECT_TRUE(state.question.empty());
  EXPECT_EQ(state.log.size(), 4u);
}

TEST(Trouble, AHelpfulChangeIsRepeatedOnlySoOften) {
  std::vector<std::string> answers = {"where=trailing", "wiper-fit=same"};
  for (int i = 0; i < 4; ++i) answers.emplace_back("wiper-rake=better");
  EXPECT_EQ(after("wrinkle", kAllTools, answers).question, "mandrel-forward");
}

TEST(Trouble, OffersOnlyWhatTheSetHas) {
  EXPECT_EQ(after("wrinkle", {true, false, 24.0}, {"where=trailing"}).question, "wiper-add");
  // Without mandrel at a wall factor of 24 one is asked for; at 12 the groove comes first.
  const std::vector<std::string> all = {"where=all"};
  EXPECT_EQ(after("wrinkle", {false, false, 24.0}, all).question, "mandrel-add");
  EXPECT_EQ(after("wrinkle", {false, false, 12.0}, all).question, "groove-fit");
}

// Every way of every symptom ends, whatever is answered, and with nothing known of the tools.
TEST(Trouble, EveryWayEnds) {
  for (const TroubleSymptom& symptom : guide().symptoms()) {
    EXPECT_FALSE(symptom.words.empty());
    for (const TroubleChoice& first : after(symptom.id, {}, {}).choices) {
      for (const char* outcome : {"same", "worse", "better"}) {
        std::vector<std::string> answers = {after(symptom.id, {}, {}).question + "=" +
                                            first.answer};
        TroubleState state = after(symptom.id, {}, answers);
        while (!state.question.empty()) {
          ASSERT_LT(answers.size(), 60u) << symptom.id;
          EXPECT_FALSE(state.change.empty() || state.how.empty() || state.source.empty());
          answers.push_back(state.question + "=" + outcome);
          state = after(symptom.id, {}, answers);
        }
        EXPECT_TRUE(state.exhausted);
        EXPECT_GT(state.log.size(), 1u) << symptom.id << " " << first.answer;
      }
    }
  }
}

TEST(Trouble, RefusesAnswersToWhatIsNotAsked) {
  const auto code = [](std::string_view symptom, const std::vector<TroubleAnswer>& answers) {
    const auto state = guide().state(symptom, kAllTools, answers);
    return state.ok() ? std::string("none") : state.failure().code;
  };
  EXPECT_EQ(code("squeak", {}), "trouble.symptom");
  EXPECT_EQ(code("wrinkle", {{"where", "moon"}}), "trouble.answer");
  EXPECT_EQ(code("wrinkle", {{"when", "all"}}), "trouble.answer");
  EXPECT_EQ(code("wrinkle", {{"where", "all"}, {"wiper-fit", "same"}}), "trouble.answer");
  EXPECT_EQ(code("wrinkle", {{"where", "all"}, {"mandrel-forward", "maybe"}}), "trouble.answer");
  EXPECT_EQ(code("wrinkle", {{"where", "all"}, {"mandrel-forward", "gone"}, {"x", "gone"}}),
            "trouble.answer");
  for (const char* text : {"", "where", "=all", "where="}) {
    EXPECT_EQ(parse_trouble_answer(text).failure().code, "trouble.answer");
  }
}

TEST(Trouble, RefusesTablesThatDoNotFit) {
  const auto code = [](const std::string& questions, const std::string& steps) {
    const auto read = TroubleGuide::read(*base::CsvTable::parse(questions, "q.csv"),
                                         *base::CsvTable::parse(steps, "s.csv"));
    return read.ok() ? std::string("none") : read.failure().code;
  };
  const std::string questions =
      "symptom,words,question,asks,answer,means,leads_to\nhump,a lump,where,Where?,end,there,a\n";
  const std::string head = "way,step,needs,change,how,repeats,source,mark\n";
  EXPECT_EQ(code(questions, head + "a,s,,c,h,0,x,RULE\n"), "none");
  EXPECT_EQ(code(questions, head + "b,s,,c,h,0,x,RULE\n"), "trouble.table");
  EXPECT_EQ(code(questions, head + "a,s,moon,c,h,0,x,RULE\n"), "trouble.table");
  EXPECT_EQ(code(questions, head + "a,s,,c,h,0.5,x,RULE\n"), "trouble.table");
  EXPECT_EQ(code(questions, head + "a,s,,c,h,0,x,SURE\n"), "trouble.table");
  EXPECT_EQ(code(questions, "way\na\n"), "csv.column");
}

}  // namespace
}  // namespace bight::running
