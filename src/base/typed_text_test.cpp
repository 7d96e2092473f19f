#include "base/typed_text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "base/angle_text.h"
#include "base/length.h"
#include "base/number.h"

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

// A letter that looks like a digit is named, with what was meant; units are left alone.
TEST(TypedText, LettersForDigits) {
  const auto meant = [](std::string_view text) {
    const auto found = mistaken_letter(text);
    return found ? std::string(1, found->letter) + " " + found->meant : "";
  };
  EXPECT_EQ(meant("40O"), "O 400");
  EXPECT_EQ(meant("4o.5"), "o 40.5");
  EXPECT_EQ(meant("l2.5 mm"), "l 12.5 mm");
  EXPECT_EQ(meant("3OO,5"), "O 300,5");
  EXPECT_EQ(meant("1S deg"), "S 15 deg");
  EXPECT_EQ(meant("12 mm"), "");
  EXPECT_EQ(meant("rail 4"), "");
  EXPECT_EQ(meant("Ol"), "");
  EXPECT_EQ(meant("40O x 3"), "");
  const Result<double> length = parse_length_mm("40O");
  ASSERT_FALSE(length.ok());
  EXPECT_EQ(length.failure().message, "'40O' holds the letter O where a digit belongs");
  EXPECT_EQ(length.failure().remedy, "write 400");
  EXPECT_EQ(parse_angle("9O").failure().remedy, "write 90");
  EXPECT_EQ(parse_number("1O5").failure().remedy, "write 105");
}

}  // namespace
}  // namespace bight::base
