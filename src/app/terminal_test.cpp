#include "app/terminal.h"

#include <gtest/gtest.h>

#include <sstream>

namespace bight::app {
namespace {

// A failure goes to the error stream in one line that ends with its code.
TEST(Terminal, ReportsOnTheErrorStream) {
  std::ostringstream out;
  std::ostringstream err;
  Terminal terminal{out, err};
  EXPECT_EQ(report(terminal, {"length.comma", "p.toml:3: radius", "a comma", "use a point"}), 3);
  EXPECT_EQ(err.str(), "bight: p.toml:3: radius: a comma (use a point) [length.comma]\n");
  EXPECT_TRUE(out.str().empty());
}

}  // namespace
}  // namespace bight::app
