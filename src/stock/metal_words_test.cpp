#include "stock/metal_words.h"

#include <gtest/gtest.h>

namespace bight::stock {
namespace {

using Words = std::vector<std::string>;

TEST(MetalWords, SqueezedAndParted) {
  EXPECT_EQ(squeezed("E235 + N"), "e235n");
  EXPECT_EQ(squeezed("\xC3\x97 -/"), "");
  EXPECT_EQ(words_of("ASTM B241, drawn (<1 in)"), (Words{"astm", "b241", "drawn", "1", "in"}));
  EXPECT_EQ(words_of("1.4404 Ti-3Al-2.5V."), (Words{"14404", "ti", "3al", "25v"}));
  EXPECT_TRUE(words_of(" - ").empty());
}

TEST(MetalWords, Synonyms) {
  EXPECT_EQ(words_and_synonyms("titanium"), (std::set<std::string>{"titanium", "ti"}));
  EXPECT_EQ(words_and_synonyms("normalised").count("normalized"), 1u);
  EXPECT_EQ(filler_words().count("steel"), 0u);  // says that it is not copper
}

// Known words in any order, run together or not, and nothing left over.
TEST(MetalWords, MadeOf) {
  const std::set<std::string> words = {"6061", "t6", "aluminium"};
  EXPECT_TRUE(made_of("6061t6", words));
  EXPECT_TRUE(made_of("aluminium6061", words));
  EXPECT_TRUE(made_of("t6", words));
  EXPECT_FALSE(made_of("6061t5", words));
  EXPECT_FALSE(made_of("606", words));
}

TEST(MetalWords, Likeness) {
  const std::set<std::string> words = {"316l", "annealed", "t6"};
  EXPECT_EQ(likeness("annealed", words), 3);
  EXPECT_EQ(likeness("316", words), 2);
  EXPECT_EQ(likeness("anealed", words), 1);    // left out
  EXPECT_EQ(likeness("annealled", words), 1);  // put in
  EXPECT_EQ(likeness("annoaled", words), 1);   // exchanged
  EXPECT_EQ(likeness("drawn", words), 0);
  EXPECT_EQ(likeness("t5", words), 0);
}

}  // namespace
}  // namespace bight::stock
