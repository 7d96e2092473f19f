#include "exchange/table_text.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

// The same words come out of every way a spreadsheet may have saved them.
TEST(TableText, ReadsEveryEncoding) {
  const std::string wanted = "L\xC3\xA4nge;\xC2\xB0\n";
  const auto utf8 = tidy_text("\xEF\xBB\xBFL\xC3\xA4nge;\xC2\xB0\r\n", "f");
  ASSERT_TRUE(utf8.ok());
  EXPECT_EQ(utf8->text, wanted);
  const auto windows = tidy_text("L\xE4nge;\xB0\r\n", "f");
  ASSERT_TRUE(windows.ok());
  EXPECT_EQ(windows->text, wanted);
  EXPECT_EQ(windows->encoding, Encoding::kWindows1252);
  const char utf16[] = "\xFF\xFEL\0\xE4\0n\0g\0e\0;\0\xB0\0\r\0\n\0";
  const auto wide = tidy_text(std::string_view(utf16, sizeof utf16 - 1), "f");
  ASSERT_TRUE(wide.ok());
  EXPECT_EQ(wide->text, wanted);
  EXPECT_EQ(wide->encoding, Encoding::kUtf16);
  const char big[] = "\xFE\xFF\0L\0\xE4\0n\0g\0e\0;\0\xB0\0\n";
  EXPECT_EQ(tidy_text(std::string_view(big, sizeof big - 1), "f")->text, wanted);
}

// Thin, narrow and no-break spaces are spaces; a typographic minus is a minus; line ends are one.
TEST(TableText, FoldsSpacesAndDashes) {
  EXPECT_EQ(tidy_text("1\xE2\x80\xAF"
                      "234\xC2\xA0mm \xE2\x88\x92"
                      "5\rnext\r\nlast",
                      "f")
                ->text,
            "1 234 mm -5\nnext\nlast");
  EXPECT_EQ(tidy_text("a\xE2\x80\x8B"
                      "b",
                      "f")
                ->text,
            "ab");
}

// Nothing, and what is no text, is said so.
TEST(TableText, RefusesNothingAndBinary) {
  EXPECT_EQ(tidy_text("", "f").failure().code, "table.empty");
  EXPECT_EQ(tidy_text("\xEF\xBB\xBF \r\n\t", "f").failure().code, "table.empty");
  EXPECT_EQ(tidy_text(std::string_view("a\0b", 3), "f").failure().code, "table.binary");
}

// Bytes that look like UTF-8 but are not are not taken for it: overlong, cut off, surrogates.
TEST(TableText, KnowsBrokenUtf8) {
  for (const char* bytes :
       {"\xC0\x80x", "x\xE2\x82", "\xED\xA0\x80x", "\xF5\x80\x80\x80", "\x80"}) {
    EXPECT_EQ(tidy_text(bytes, "f")->encoding, Encoding::kWindows1252) << bytes;
  }
}

// Accents, capitals and punctuation do not part two headings.
TEST(TableText, Folds) {
  EXPECT_EQ(folded("L\xC3\x84NGE [mm]"), "lange mm");
  EXPECT_EQ(folded("D\xC5\x82ugo\xC5\x9B\xC4\x87 (mm)"), "dlugosc mm");
  EXPECT_EQ(folded("  Bend-Angle_(\xC2\xB0) "), "bend angle deg");
  EXPECT_EQ(folded("X (\")"), "x in");
  EXPECT_EQ(folded("#"), "no");
  EXPECT_EQ(folded("\xFF\xFE"), "");
}

}  // namespace
}  // namespace bight::exchange
