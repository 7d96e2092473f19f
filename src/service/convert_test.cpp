#include "service/convert.h"

#include <gtest/gtest.h>

#include "exchange/part_toml.h"
#include "service/service_test_util.h"

namespace bight::service {
namespace {

// A part file written is the part that was.
TEST(Convert, PartsComeBack) {
  const part::Part part = exchange::read_part(exchange::document_of(test::rail(), ""))->part;
  const auto text = write_output(part, nullptr, {"part"});
  ASSERT_TRUE(text.ok());
  const auto again = exchange::read_part(*text, "rail.toml");
  ASSERT_TRUE(again.ok()) << again.failure().text();
  EXPECT_EQ(again->part.table, part.table);
  EXPECT_EQ(write_output(part, nullptr, {"dxf", "strip"}).failure().code, "convert.plan");
  EXPECT_EQ(write_output(part, nullptr, {"doc"}).failure().code, "convert.format");
  EXPECT_EQ(write_output(part, nullptr, {"csv", "views"}).failure().code, "convert.what");
}

}  // namespace
}  // namespace bight::service
