#include "records/text_rules.h"

#include <gtest/gtest.h>

#include "records/record.h"

namespace bight::records {
namespace {

// RFC 8259 objects are taken as they are; anything else, and what a database could not hold, is
// refused.
TEST(TextRules, DocumentsAreObjects) {
  for (const char* good : {"{}", " {\"a\": [1, 2.50, \"x\\u0000y\"]} ", "{\"a\":{\"b\":null}}"}) {
    EXPECT_TRUE(check_document(good).ok()) << good;
  }
  for (const std::string& bad :
       {std::string(), std::string("[]"), std::string("1"), std::string("{"), std::string("{}x"),
        std::string("{\"a\":nan}"), std::string("{\"a\":\"\xff\"}"), std::string("{}\0", 3),
        std::string("{\"a\":\"\n\"}")}) {
    EXPECT_EQ(check_document(bad).failure().code, "record.document") << bad;
  }
}

// The limits hold at their edge: one byte and one level more are refused.
TEST(TextRules, DocumentsHaveLimits) {
  const std::string frame = "{\"a\":\"\"}";
  std::string full = "{\"a\":\"" + std::string(kLargestDocument - frame.size(), 'x') + "\"}";
  EXPECT_TRUE(check_document(full).ok());
  full.insert(6, "x");
  EXPECT_EQ(check_document(full).failure().code, "record.document");

  const auto nested = [](int depth) {
    const auto n = static_cast<std::size_t>(depth - 1);
    return "{\"a\":" + std::string(n, '[') + std::string(n, ']') + "}";
  };
  EXPECT_TRUE(check_document(nested(kDeepestDocument)).ok());
  EXPECT_EQ(check_document(nested(kDeepestDocument + 1)).failure().code, "record.document");
}

// Brackets within strings do not count, escaped quotes do not end one.
TEST(TextRules, NestingSeesStrings) {
  EXPECT_EQ(nesting(""), 0);
  EXPECT_EQ(nesting("{\"[[\\\"[[\":[1]}"), 2);
}

// Names and keys are one line of UTF-8.
TEST(TextRules, TextsAreOneLine) {
  EXPECT_TRUE(check_text("name", "", 4).ok());
  EXPECT_TRUE(check_text("name", "Jürg", 5).ok());
  EXPECT_EQ(check_text("name", "Jürg", 4).failure().code, "record.text");
  for (const std::string& bad : {std::string("a\nb"), std::string("a\0b", 3), std::string("\xc3"),
                                 std::string("\xed\xa0\x80"), std::string("\xc2\x85")}) {
    EXPECT_EQ(check_text("name", bad, 40).failure().code, "record.text");
    EXPECT_TRUE(check_text("name", cleaned(bad), 40).ok());
  }
  EXPECT_EQ(cleaned("a\nJürg\xff"), "a Jürg ");
}

}  // namespace
}  // namespace bight::records
