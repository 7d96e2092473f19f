// Checks of our own assumptions. Bad input never reaches these: it is a Failure (result.h).
#pragma once

namespace bight::base {

[[noreturn]] void check_failed(const char* expression, const char* file, int line);

}  // namespace bight::base

// Always on. Ends the program with file and line: only ever a bug of ours.
#define BIGHT_CHECK(expression)        \
  ((expression) ? static_cast<void>(0) \
                : ::bight::base::check_failed(#expression, __FILE__, __LINE__))
