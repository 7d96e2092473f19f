#include "base/typed_text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace bight::base {
namespace {

using Kind = TypedToken::Kind;

std::vector<Kind> kinds(std::string_view text) {
  std::vector<Kind> found;
  for (const TypedToken& token : tokenise(text)) found.push_back(token.kind);
  return found;
}

TEST(Tokenise, CutsAtEachChangeOfKind) {
  EXPECT_EQ(kinds("3ft4.5\""), (std::vector{Kind::kDigits, Kind::kWord, Kind::kDigits, Kind::kPoint,
                                            Kind::kDigits, Kind::kDoublePrime}));
  EXPECT_TRUE(kinds(" \t ").empty());
}

TEST(Tokenise, FoldsTypographicMarks) {
  EXPECT_EQ(kinds("′’‘'"), std::vector(4, Kind::kPrime));
  EXPECT_EQ(kinds("″”“\""), std::vector(4, Kind::kDoublePrime));
  EXPECT_EQ(kinds("-–−‑‐"), std::vector(5, Kind::kHyphen));
  EXPECT_EQ(kinds("°º"), std::vector(2, Kind::kDegree));
  EXPECT_EQ(tokenise("⅝")[0].num, 5u);
  EXPECT_EQ(tokenise("⅝")[0].den, 8u);
}

TEST(Tokenise, RemembersSpaceBefore) {
  const auto tokens = tokenise("1\u00A01/2");
  ASSERT_EQ(tokens.size(), 4u);
  EXPECT_FALSE(tokens[0].spaced);
  EXPECT_TRUE(tokens[1].spaced);
  EXPECT_FALSE(tokens[2].spaced);
}

// RFC 3629, section 3: overlong forms, surrogates and stray bytes are no characters.
TEST(Tokenise, BrokenBytesAreNothingInParticular) {
  EXPECT_EQ(kinds("\xC0\xAF"), std::vector(2, Kind::kOther));
  EXPECT_EQ(kinds("\xE2\x80"), std::vector(2, Kind::kOther));
  EXPECT_EQ(kinds("\xED\xA0\x80"), std::vector(3, Kind::kOther));
  EXPECT_EQ(kinds("\xF5"), std::vector(1, Kind::kOther));
  EXPECT_EQ(kinds("١"), std::vector(1, Kind::kOther));
}

TEST(AsTyped, IsSafeToPrint) {
  EXPECT_EQ(as_typed("12 mm"), "'12 mm'");
  EXPECT_EQ(as_typed("a\nb\x80"), "'a?b?'");
  const std::string cut = as_typed(std::string(38, 'a') + "½½");
  EXPECT_EQ(cut, "'" + std::string(38, 'a') + "...'");
}

RC_GTEST_PROP(TypedTextProperty, AnyBytesAreTakenWhole, (const std::string& text)) {
  std::size_t bytes = 0;
  for (const TypedToken& token : tokenise(text)) bytes += token.text.size();
  RC_ASSERT(bytes <= text.size());
  for (const char c : as_typed(text)) RC_ASSERT(static_cast<unsigned char>(c) >= 0x20);
}

}  // namespace
}  // namespace bight::base
