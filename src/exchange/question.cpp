#include "exchange/question.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/typed_text.h"

namespace bight::exchange {

const std::vector<std::string_view>& question_names() {
  static const std::vector<std::string_view> kNames = {"angle",  "chain",    "columns", "decimal",
                                                       "hand",   "last",     "layer",   "part",
                                                       "radius", "rotation", "table",   "units"};
  return kNames;
}

std::optional<std::string> Asking::answer(Question question) {
  const std::string name = question.code.substr(question.code.find('.') + 1);
  const auto given = answers_.find(name);
  if (given == answers_.end()) {
    open_.push_back(std::move(question));
    return std::nullopt;
  }
  const bool allowed =
      question.choices.empty() ||
      std::any_of(question.choices.begin(), question.choices.end(),
                  [&](const Choice& choice) { return choice.word == given->second; });
  if (allowed) return given->second;
  std::string words;
  for (const Choice& choice : question.choices) {
    words += (words.empty() ? "" : ", ") + choice.word;
  }
  if (!failure_) {
    failure_ = base::Failure{
        "ask.choice", question.where,
        fmt::format("{} is no answer to: {}", base::as_typed(given->second), question.text),
        "one of: " + words};
  }
  return std::nullopt;
}

base::Status Asking::status() const {
  if (failure_) return *failure_;
  return base::Done{};
}

part::Finding understood(std::string code, std::string message) {
  return {part::Severity::kNote,
          std::move(code),
          std::nullopt,
          std::move(message),
          "",
          "how the file was read",
          {}};
}

}  // namespace bight::exchange
