// What a file leaves open and only a person can say. Readers ask; they never guess in silence.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "exchange/part_line.h"

namespace bight::exchange {

struct Choice {
  std::string word;     // the answer to give
  std::string meaning;  // in a few words
};

// One question about one file.
struct Question {
  std::string code;   // "ask.units" …; docs/formats/tables.md lists them
  std::string text;   // a sentence ending in a question mark, with the numbers that raise it
  std::string where;  // file, line, column
  std::vector<Choice> choices;
  std::string form;  // what to write when there are no choices: "a length, such as 50 mm"
};

// Answers given beforehand: the question's code without "ask.", and the choice's word.
using Answers = std::map<std::string, std::string>;

// Every question a reader may ask, without "ask.".
const std::vector<std::string_view>& question_names();

// Keeps the questions that have no answer yet.
class Asking {
 public:
  explicit Asking(const Answers& answers) : answers_(answers) {}

  // The answer, one of the choices where there are any. Without one the question is kept and
  // nothing comes back. An answer that is none of the choices is kept as a failure.
  std::optional<std::string> answer(Question question);

  // Failure code: ask.choice (the answer is none of the choices).
  base::Status status() const;
  const std::vector<Question>& open() const { return open_; }

 private:
  const Answers& answers_;
  std::vector<Question> open_;
  std::optional<base::Failure> failure_;
};

// A centreline out of a file that says nothing of the tube, or the questions in its way.
struct LineReading {
  std::vector<Question> questions;  // in the order they came up; empty exactly when there is a line
  std::optional<Line> line;
  base::LengthUnit unit = base::LengthUnit::kMillimetre;  // the file's own
  std::string name;                                       // of the part; empty when not given
};

// What the reader of a line may be told beforehand.
struct LineOptions {
  Answers answers;
  double section_height_mm = 0.0;  // of the tube in the plane of bending; 0 when not known
  double join_mm = 0.01;           // gap that still counts as touching, for drawings
};

// A note about how something in the file was understood.
part::Finding understood(std::string code, std::string message);

}  // namespace bight::exchange
