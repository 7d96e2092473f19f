#include "exchange/dxf_groups.h"

#include <gtest/gtest.h>

#include <cstring>

namespace bight::exchange {
namespace {

std::string failure_of(std::string_view bytes) {
  auto opened = DxfGroups::open(bytes, "f.dxf");
  if (!opened.ok()) return opened.failure().code;
  DxfGroups groups = std::move(opened).value();
  DxfGroup group;
  while (true) {
    const auto more = groups.next(group);
    if (!more.ok()) return more.failure().code;
    if (!*more) return "";
  }
}

// Groups come out with their values, whatever ends the lines, up to EOF.
TEST(DxfGroups, ReadsText) {
  DxfGroups groups =
      DxfGroups::open("  0\r\nLINE\r\n 10\r\n-1.5E+01\r\n 70\r\n     3\r\n0\r\nEOF\r\n", "f")
          .value();
  DxfGroup g;
  ASSERT_TRUE(*groups.next(g));
  EXPECT_EQ(g.code, 0);
  EXPECT_EQ(g.text, "LINE");
  ASSERT_TRUE(*groups.next(g));
  EXPECT_EQ(g.number, -15.0);
  EXPECT_EQ(g.line, 4u);
  ASSERT_TRUE(*groups.next(g));
  EXPECT_EQ(g.number, 3.0);
  EXPECT_FALSE(*groups.next(g));
  EXPECT_TRUE(groups.saw_end());
}

// The same in binary, with group codes of two bytes and of one.
TEST(DxfGroups, ReadsBinary) {
  for (const bool wide : {true, false}) {
    std::string bytes("XXXXXXX Binary DXF\r\n\x1a\0", 22);
    const auto code = [&](int c) {
      bytes += static_cast<char>(c);
      if (wide) bytes += '\0';
    };
    code(0);
    bytes += std::string("SECTION\0", 8);
    code(10);
    const double x = -15.25;
    char raw[8];
    std::memcpy(raw, &x, 8);
    bytes.append(raw, 8);
    code(70);
    bytes += std::string("\xFF\xFF", 2);
    code(0);
    bytes += std::string("EOF\0", 4);
    DxfGroups groups = DxfGroups::open(bytes, "f").value();
    DxfGroup g;
    ASSERT_TRUE(*groups.next(g));
    EXPECT_EQ(g.text, "SECTION");
    ASSERT_TRUE(*groups.next(g));
    EXPECT_EQ(g.number, x);
    ASSERT_TRUE(*groups.next(g));
    EXPECT_EQ(g.number, -1.0);
    EXPECT_FALSE(*groups.next(g));
    EXPECT_EQ(failure_of(std::string_view(bytes).substr(0, bytes.size() - 2)), "dxf.truncated");
  }
}

TEST(DxfGroups, RefusesWhatIsNoDxf) {
  EXPECT_EQ(failure_of(""), "dxf.empty");
  EXPECT_EQ(failure_of(" \r\n \n"), "dxf.empty");
  EXPECT_EQ(failure_of("hello\nworld\n"), "dxf.syntax");
  EXPECT_EQ(failure_of("0\nLINE\n10\nnan\n"), "dxf.syntax");
  EXPECT_EQ(failure_of("0\nLINE\n10\n1e999\n"), "dxf.syntax");
  EXPECT_EQ(failure_of("0\nLINE\n10"), "dxf.truncated");
  EXPECT_EQ(failure_of(std::string((std::size_t{64} << 20) + 1, '0')), "dxf.size");
}

}  // namespace
}  // namespace bight::exchange
