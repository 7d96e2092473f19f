#include "running/trouble.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>
#include <span>
#include <sstream>

#include "base/embedded.h"
#include "base/number.h"

namespace bight::embedded {
std::span<const File> trouble_files();
}  // namespace bight::embedded

namespace bight::running {

using base::CsvTable;
using base::Failure;
using base::Result;

namespace {

constexpr std::array<std::string_view, 4> kOutcomes = {"gone", "better", "same", "worse"};
constexpr std::array<std::string_view, 4> kOutcomeMeans = {
    "the fault is gone", "there is less of it", "nothing changed", "there is more of it"};
constexpr std::string_view kWallFactor = "wall-factor-above-";

Failure table_failure(std::string where, std::string message) {
  return {"trouble.table", std::move(where), std::move(message), "see data/README.md"};
}

bool known_need(const std::string& need) {
  static const std::set<std::string> kNeeds = {"mandrel", "no-mandrel", "wiper", "no-wiper"};
  if (kNeeds.contains(need)) return true;
  return need.starts_with(kWallFactor) && base::parse_number(need.substr(kWallFactor.size())).ok();
}

bool met(const std::string& need, const TroubleFacts& facts) {
  if (need == "mandrel") return facts.mandrel.value_or(true);
  if (need == "no-mandrel") return !facts.mandrel.value_or(false);
  if (need == "wiper") return facts.wiper.value_or(true);
  if (need == "no-wiper") return !facts.wiper.value_or(false);
  if (!facts.wall_factor_ratio) return true;
  return *facts.wall_factor_ratio > *base::parse_number(need.substr(kWallFactor.size()));
}

std::optional<Outcome> outcome_of(std::string_view word) {
  for (std::size_t i = 0; i < kOutcomes.size(); ++i) {
    if (kOutcomes[i] == word) return static_cast<Outcome>(i);
  }
  return std::nullopt;
}

Failure not_asked(const TroubleState& state, const TroubleAnswer& answer) {
  if (state.question.empty()) {
    return {"trouble.answer", answer.question, "the guide is over, nothing more is asked",
            "start again, or with another symptom"};
  }
  std::string choices;
  for (const TroubleChoice& choice : state.choices) {
    choices += (choices.empty() ? "" : ", ") + state.question + "=" + choice.answer;
  }
  return {
      "trouble.answer", answer.question,
      fmt::format("\"{}={}\" does not answer what is asked now", answer.question, answer.answer),
      choices};
}

Result<std::vector<std::string>> cells(const CsvTable& table, std::size_t row,
                                       const std::vector<std::string_view>& columns) {
  std::vector<std::string> out;
  for (const std::string_view column : columns) {
    BIGHT_TRY(out.emplace_back(), table.text(row, column));
  }
  return out;
}

}  // namespace

std::string_view outcome_word(Outcome outcome) {
  return kOutcomes[static_cast<std::size_t>(outcome)];
}

Result<TroubleAnswer> parse_trouble_answer(std::string_view text) {
  const std::size_t equals = text.find('=');
  if (equals == 0 || equals == std::string_view::npos || equals + 1 == text.size()) {
    return Failure{"trouble.answer", "", fmt::format("\"{}\" is no answer", text.substr(0, 60)),
                   "question=answer, as where=trailing"};
  }
  return TroubleAnswer{std::string(text.substr(0, equals)), std::string(text.substr(equals + 1))};
}

Result<TroubleGuide> TroubleGuide::read(const CsvTable& questions, const CsvTable& steps) {
  TroubleGuide guide;
  for (std::size_t row = 0; row < questions.num_rows(); ++row) {
    BIGHT_TRY(const auto text,
              cells(questions, row,
                    {"symptom", "words", "question", "asks", "answer", "means", "leads_to"}));
    if (guide.questions_.empty() || guide.questions_.back().symptom != text[0]) {
      guide.questions_.push_back({text[0], text[1], text[2], text[3], {}, {}});
    }
    guide.questions_.back().choices.push_back({text[4], text[5]});
    guide.questions_.back().leads_to.push_back(text[6]);
  }
  std::set<std::string> ways;
  for (std::size_t row = 0; row < steps.num_rows(); ++row) {
    BIGHT_TRY(const auto text,
              cells(steps, row, {"way", "step", "change", "how", "source", "mark", "needs"}));
    BIGHT_TRY(const double repeats, steps.number(row, "repeats"));
    Step step{text[0], text[1], text[2], text[3], text[4], text[5], {}, 0};
    static const std::set<std::string> kMarks = {"VERIFIED", "DERIVED", "RULE", "MEMORY"};
    if (!kMarks.contains(step.mark)) {
      return table_failure(steps.where(row, "mark"), "no mark is called \"" + step.mark + "\"");
    }
    if (!(repeats >= 0.0 && repeats <= 20.0) || repeats != static_cast<int>(repeats)) {
      return table_failure(steps.where(row, "repeats"), "a step repeats 0 to 20 times");
    }
    step.repeats = static_cast<int>(repeats);
    std::istringstream needs(text[6]);
    for (std::string need; needs >> need;) {
      if (!known_need(need)) {
        return table_failure(steps.where(row, "needs"), "no need is called \"" + need + "\"");
      }
      step.needs.push_back(need);
    }
    ways.insert(step.way);
    guide.steps_.push_back(std::move(step));
  }
  std::set<std::string> led_to;
  for (const Question& question : guide.questions_) {
    led_to.insert(question.leads_to.begin(), question.leads_to.end());
  }
  if (led_to != ways || ways.empty()) {
    return table_failure(steps.name(), "its ways are not those the questions lead to");
  }
  return guide;
}

Result<TroubleGuide> TroubleGuide::built_in() {
  std::optional<CsvTable> questions, steps;
  for (const embedded::File& file : embedded::trouble_files()) {
    BIGHT_TRY(CsvTable table, CsvTable::parse(file.text, file.name));
    (file.name == "steps.csv" ? steps : questions) = std::move(table);
  }
  BIGHT_CHECK(questions && steps);
  return read(*questions, *steps);
}

std::vector<TroubleSymptom> TroubleGuide::symptoms() const {
  std::vector<TroubleSymptom> out;
  for (const Question& question : questions_) out.push_back({question.symptom, question.words});
  return out;
}

bool TroubleGuide::offered(const Step& step, const TroubleFacts& facts) {
  return std::all_of(step.needs.begin(), step.needs.end(),
                     [&](const std::string& need) { return met(need, facts); });
}

void TroubleGuide::ask_about(const Step& step, TroubleState& state) {
  state.question = step.id;
  state.asks = "Bend one piece after this change alone. What came of it?";
  state.change = step.change;
  state.how = step.how;
  state.source = step.source;
  state.mark = step.mark;
  state.choices.clear();
  for (std::size_t i = 0; i < kOutcomes.size(); ++i) {
    state.choices.push_back({std::string(kOutcomes[i]), std::string(kOutcomeMeans[i])});
  }
}

Result<TroubleState> TroubleGuide::along(const std::string& way, const TroubleFacts& facts,
                                         const std::vector<TroubleAnswer>& answers,
                                         TroubleState state) const {
  std::size_t given = 1;
  for (const Step& step : steps_) {
    if (step.way != way || !offered(step, facts)) continue;
    for (int repeats = step.repeats;;) {
      ask_about(step, state);
      if (given == answers.size()) return state;
      const TroubleAnswer& answer = answers[given];
      const std::optional<Outcome> outcome = outcome_of(answer.answer);
      if (answer.question != step.id || !outcome) return not_asked(state, answer);
      ++given;
      state.log.push_back(fmt::format("{}: {}", step.change, answer.answer));
      state.undo_first = *outcome == Outcome::kSame || *outcome == Outcome::kWorse;
      state.solved = *outcome == Outcome::kGone;
      if (state.solved || *outcome != Outcome::kBetter || repeats-- == 0) break;
    }
    if (state.solved) break;
  }
  state.question.clear();
  state.choices.clear();
  state.change = state.how = state.source = state.mark = "";
  state.exhausted = !state.solved;
  state.asks =
      state.solved
          ? "Cured. Keep this setting with the job."
          : "Nothing is left to try here. Put the settings back to the last good ones, ask "
            "whoever knows the machine, and look whether radius, wall and metal fit.";
  if (given < answers.size()) return not_asked(state, answers[given]);
  return state;
}

Result<TroubleState> TroubleGuide::state(std::string_view symptom, const TroubleFacts& facts,
                                         const std::vector<TroubleAnswer>& answers) const {
  const auto question = std::find_if(questions_.begin(), questions_.end(),
                                     [&](const Question& each) { return each.symptom == symptom; });
  if (question == questions_.end()) {
    std::string all;
    for (const Question& each : questions_) all += (all.empty() ? "" : ", ") + each.symptom;
    return Failure{"trouble.symptom", "", fmt::format("no trouble is called \"{}\"", symptom), all};
  }
  TroubleState state;
  state.symptom = question->symptom;
  state.question = question->id;
  state.asks = question->asks;
  state.choices = question->choices;
  if (answers.empty()) return state;
  for (std::size_t i = 0; i < question->choices.size(); ++i) {
    if (answers[0].question != question->id || answers[0].answer != question->choices[i].answer) {
      continue;
    }
    state.log.push_back(question->asks + " " + question->choices[i].means);
    return along(question->leads_to[i], facts, answers, std::move(state));
  }
  return not_asked(state, answers[0]);
}

}  // namespace bight::running
