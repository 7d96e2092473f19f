#include "base/check.h"

#include <cstdio>
#include <cstdlib>

namespace bight::base {

void check_failed(const char* expression, const char* file, int line) {
  std::fprintf(stderr, "bight: internal error at %s:%d: expected %s\n", file, line, expression);
  std::abort();
}

}  // namespace bight::base
