#include "base/check.h"

#include <gtest/gtest.h>

namespace {

// A failed check names the expression and the place, and ends the program.
TEST(CheckDeathTest, NamesExpressionAndFile) {
  EXPECT_DEATH(BIGHT_CHECK(1 + 1 == 3), "check_test.cpp.*1 \\+ 1 == 3");
}

TEST(Check, PassesSilently) { BIGHT_CHECK(1 + 1 == 2); }

}  // namespace
