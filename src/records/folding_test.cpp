#include "records/folding.h"

#include <gtest/gtest.h>

namespace bight::records {
namespace {

// People type without accents and capitals; Unicode's own decompositions decide.
TEST(Folding, AccentsCapitalsAndWidths) {
  EXPECT_EQ(folded("Müller & SØN"), "muller & søn");
  EXPECT_EQ(folded("Straße"), "strasse");
  EXPECT_EQ(folded("  a \t\n b  "), "a b");
  EXPECT_EQ(folded("ＡＢ１"), "ab1");
  EXPECT_EQ(folded("\xff"), "");
}

// Both decimal marks meet, lists with commas stay lists, fractions are slashes.
TEST(Folding, Numbers) {
  EXPECT_EQ(folded("38,1 x 1,5"), "38.1 x 1.5");
  EXPECT_EQ(folded("a, b,c 1, 2"), "a, b,c 1, 2");
  EXPECT_EQ(folded("½ in"), "1/2 in");
}

// The longest word comes first, doubles go.
TEST(Folding, Words) {
  EXPECT_EQ(folded_words("304 R114  304 Rail"), (std::vector<std::string>{"r114", "rail", "304"}));
  EXPECT_TRUE(folded_words("  ").empty());
}

// A number is held against numbers from their start, everything else anywhere.
TEST(Folding, WordsInText) {
  const std::string text = "handrail 38.1x1.5 clr114.3 304l 1-1/2";
  for (const char* found : {"rail", "38.1", "38", "r114", "clr114", "114.3", "304", "304l", "1.5",
                            "1/2", "1-1/2", ""}) {
    EXPECT_TRUE(has_word(text, found)) << found;
  }
  for (const char* missed : {"8.1", "14.3", "04", "railing", "r1143", "4.3"}) {
    EXPECT_FALSE(has_word(text, missed)) << missed;
  }
  // The first place does not count, a later one does.
  EXPECT_TRUE(has_word("138 38", "38"));
  EXPECT_FALSE(has_word("", "a"));
}

}  // namespace
}  // namespace bight::records
