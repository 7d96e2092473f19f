#include "exchange/cloud_text.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

using geometry::Vec3;

const geometry::Points kTwo{{1.5, -2, 3e2}, {4, 5, 6}};

geometry::Points read(std::string_view text) {
  const auto cloud = read_point_list(text, "a.xyz");
  EXPECT_TRUE(cloud.ok()) << cloud.failure().text();
  return cloud.ok() ? cloud->points : geometry::Points{};
}

std::string code(std::string_view text) {
  const auto cloud = read_point_list(text, "a.xyz");
  return cloud.ok() ? "" : cloud.failure().code;
}

// Blanks, tabs, commas, semicolons; decimal commas beside semicolons; signs, exponents, line ends.
TEST(CloudText, ManyWaysToPartNumbers) {
  EXPECT_EQ(read("1.5 -2 3e2\n4 5 6\n"), kTwo);
  EXPECT_EQ(read("  1.5\t-2\t 3E+2 \r\n4\t5\t6"), kTwo);
  EXPECT_EQ(read("1.5, -2, 300\n4,5,6\n"), kTwo);
  EXPECT_EQ(read("1,5;-2;300\n4;5;6,0\n"), kTwo);
  EXPECT_EQ(read("+1.5 -2 300\n\n# comment\n// another\n4 5 6\n"), kTwo);
  EXPECT_EQ(read("\xEF\xBB\xBF"
                 "1.5 -2 300\n4 5 6\n"),
            kTwo);
}

// Normals, colours or intensities after the point are passed over.
TEST(CloudText, MoreColumns) {
  EXPECT_EQ(read("1.5 -2 300 0 0 1\n4 5 6 1 0 0\n"), kTwo);
  EXPECT_EQ(read("1.5 -2 300 -1780 255 0 0\n4 5 6 -900 1 2 3\n"), kTwo);
}

// A heading: the number of points, or names that say which columns hold the point.
TEST(CloudText, Headings) {
  EXPECT_EQ(read("2\n1.5 -2 300\n4 5 6\n"), kTwo);
  EXPECT_EQ(read("x y z\n1.5 -2 300\n4 5 6\n"), kTwo);
  EXPECT_EQ(read("id,Y,X [mm],z_mm\n1,-2,1.5,300\n2,5,4,6\n"), kTwo);
}

// Lines that are no point are refused with their number.
TEST(CloudText, Refusals) {
  EXPECT_EQ(code("1 2 3\n4 5\n"), "cloud.columns");
  EXPECT_EQ(code("1 2\n3 4\n"), "cloud.columns");
  EXPECT_EQ(code("1 2 3\n4 five 6\n"), "cloud.number");
  EXPECT_EQ(code("1 2 3\nnan 0 0\n"), "cloud.number");
  EXPECT_EQ(code("1 2 3\n1 inf 0\n"), "cloud.number");
  EXPECT_EQ(code("1 2 3\n1 1e999 0\n"), "cloud.number");
  EXPECT_EQ(code("x 1 2\n"), "cloud.number");
  EXPECT_EQ(code("1,5 2,5 3,5\n"), "cloud.comma");
  EXPECT_EQ(read_point_list("1 2 3\n4 5\n", "a.xyz").failure().where, "a.xyz:2");
}

// A number is taken from the front, the rest stays.
TEST(CloudText, TakesNumbers) {
  std::string_view text = "+2.5e1 rest";
  double number = 0.0;
  EXPECT_TRUE(take_number(text, number));
  EXPECT_EQ(number, 25.0);
  EXPECT_EQ(text, " rest");
  text = "rest";
  EXPECT_FALSE(take_number(text, number));
}

}  // namespace
}  // namespace bight::exchange
