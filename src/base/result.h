// Outcomes that may fail: Result<T> holds a value or a Failure. Nothing here throws.
#pragma once

#include <string>
#include <utility>
#include <variant>

#include "base/check.h"

namespace bight::base {

// Why something could not be done, in words for the person at the bench.
struct Failure {
  std::string code;     // stable, lower case, area.what (docs/formats/codes.md lists them all)
  std::string where;    // file:line, key or argument; empty when there is only one place
  std::string message;  // what is wrong, with the offending text
  std::string remedy;   // what would be right; may be empty

  // "where: message (remedy)" on one line.
  std::string text() const;
};

// A value or a Failure. Reading the one that is not there is a bug and ends the program.
template <typename T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::in_place_index<0>, std::move(value)) {}            // NOLINT
  Result(Failure failure) : state_(std::in_place_index<1>, std::move(failure)) {}  // NOLINT

  bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }

  const T& value() const& {
    BIGHT_CHECK(ok());
    return *std::get_if<0>(&state_);
  }
  T&& value() && {
    BIGHT_CHECK(ok());
    return std::move(*std::get_if<0>(&state_));
  }
  const T& operator*() const& { return value(); }
  const T* operator->() const { return &value(); }

  const Failure& failure() const& {
    BIGHT_CHECK(!ok());
    return *std::get_if<1>(&state_);
  }
  Failure&& failure() && {
    BIGHT_CHECK(!ok());
    return std::move(*std::get_if<1>(&state_));
  }

 private:
  std::variant<T, Failure> state_;
};

// For verbs without a value.
struct Done {};
using Status = Result<Done>;

}  // namespace bight::base

// Evaluates a Result; on failure returns it from the enclosing function, else names the value.
#define BIGHT_TRY_CONCAT_(a, b) a##b
#define BIGHT_TRY_NAME_(a, b) BIGHT_TRY_CONCAT_(a, b)
#define BIGHT_TRY(declaration, expression)                                \
  auto BIGHT_TRY_NAME_(bight_result_, __LINE__) = (expression);           \
  if (!BIGHT_TRY_NAME_(bight_result_, __LINE__).ok())                     \
    return std::move(BIGHT_TRY_NAME_(bight_result_, __LINE__)).failure(); \
  declaration = std::move(BIGHT_TRY_NAME_(bight_result_, __LINE__)).value()
