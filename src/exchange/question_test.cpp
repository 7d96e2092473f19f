#include "exchange/question.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

Question units() {
  return {"ask.units", "mm or inch?", "f.csv", {{"mm", "millimetres"}, {"in", "inches"}}, ""};
}

// A question without an answer stays open; with one it does not.
TEST(Asking, KeepsWhatIsOpen) {
  const Answers none;
  Asking open(none);
  EXPECT_FALSE(open.answer(units()).has_value());
  ASSERT_EQ(open.open().size(), 1u);
  EXPECT_TRUE(open.status().ok());
  const Answers given = {{"units", "in"}};
  Asking closed(given);
  EXPECT_EQ(closed.answer(units()), "in");
  EXPECT_TRUE(closed.open().empty());
}

// An answer that is none of the choices names them.
TEST(Asking, RefusesOtherAnswers) {
  const Answers given = {{"units", "ells"}};
  Asking asking(given);
  EXPECT_FALSE(asking.answer(units()).has_value());
  ASSERT_FALSE(asking.status().ok());
  EXPECT_EQ(asking.status().failure().code, "ask.choice");
  EXPECT_EQ(asking.status().failure().remedy, "one of: mm, in");
}

}  // namespace
}  // namespace bight::exchange
