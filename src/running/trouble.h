// The trouble guide: what is seen, where, then one change at a time, each answered before the next.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.h"
#include "base/result.h"

namespace bight::running {

// What of the plan decides which steps are offered. Absent: every step is.
struct TroubleFacts {
  std::optional<bool> mandrel;  // the die set has one
  std::optional<bool> wiper;
  std::optional<double> wall_factor_ratio;
};

// What came of a change.
enum class Outcome { kGone, kBetter, kSame, kWorse };
std::string_view outcome_word(Outcome outcome);  // "gone", …

struct TroubleChoice {
  std::string answer, means;
};

struct TroubleSymptom {
  std::string id, words;
};

// One answer given: "where=trailing", "wiper-rake=better".
struct TroubleAnswer {
  std::string question, answer;
};
// Failure codes: trouble.answer (no "question=answer").
base::Result<TroubleAnswer> parse_trouble_answer(std::string_view text);

// Where the guide stands after the answers given so far.
struct TroubleState {
  std::string symptom;
  std::string question;  // id of what is asked now; empty when it is over
  std::string asks;      // in words
  std::vector<TroubleChoice> choices;
  // The change to make before answering; empty at the first question.
  std::string change, how, source, mark;
  bool undo_first = false;       // the change before did not help: take it back first
  bool solved = false;           // the last change cured it
  bool exhausted = false;        // nothing left to try
  std::vector<std::string> log;  // what was asked and answered, in words
};

class TroubleGuide {
 public:
  // data/trouble/questions.csv and steps.csv as they travel in the program.
  static base::Result<TroubleGuide> built_in();
  // Failure codes: csv.*, trouble.table (a way without steps, a step without a way, a need or a
  // mark nobody knows, a number of repeats that is none).
  static base::Result<TroubleGuide> read(const base::CsvTable& questions,
                                         const base::CsvTable& steps);

  std::vector<TroubleSymptom> symptoms() const;

  // Goes through the answers from the start. A change that helped may be made again as often as it
  // says; one that did not is taken back before the next.
  // Failure codes: trouble.symptom (no such), trouble.answer (an answer to what is not asked, or
  // none of the choices).
  base::Result<TroubleState> state(std::string_view symptom, const TroubleFacts& facts,
                                   const std::vector<TroubleAnswer>& answers) const;

 private:
  struct Question {
    std::string symptom, words, id, asks;
    std::vector<TroubleChoice> choices;
    std::vector<std::string> leads_to;  // one for each choice
  };
  struct Step {
    std::string way, id, change, how, source, mark;
    std::vector<std::string> needs;
    int repeats = 0;
  };
  static bool offered(const Step& step, const TroubleFacts& facts);
  static void ask_about(const Step& step, TroubleState& state);
  base::Result<TroubleState> along(const std::string& way, const TroubleFacts& facts,
                                   const std::vector<TroubleAnswer>& answers,
                                   TroubleState state) const;

  std::vector<Question> questions_;
  std::vector<Step> steps_;
};

}  // namespace bight::running
