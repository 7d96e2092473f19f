#include "service/summary.h"

#include <gtest/gtest.h>

namespace bight::service {
namespace {

TEST(Summary, OfAWholePart) {
  const records::PartSummary s = summarise(R"({"name": "Rail", "customer": "Sallow Lane",
    "drawing": "D-1", "hand": "left", "tube": {"size": "25 x 1.5", "material": "304L annealed"},
    "line": {"corners": [[0,0,0],[400,0,0],[400,300,0],[400,300,250]], "radius": 75}})");
  EXPECT_EQ(s.name, "Rail");
  EXPECT_EQ(s.customer, "Sallow Lane");
  EXPECT_EQ(s.hand, "left");
  EXPECT_EQ(s.od_mm, 25.0);
  EXPECT_EQ(s.wall_mm, 1.5);
  EXPECT_EQ(s.radii_mm, std::vector<double>{75.0});
  EXPECT_EQ(s.bends, 2);
  EXPECT_EQ(s.material, "304L annealed");
  EXPECT_TRUE(s.picture.starts_with("M"));
}

// A metal that only the shop knows takes nothing from the list.
TEST(Summary, OfAPartOfOwnMetal) {
  const records::PartSummary s = summarise(R"({"name": "Rail",
    "tube": {"size": "25 x 1.5", "material": "Rack 304L", "certificate": {"rm_mpa": 610}},
    "line": {"corners": [[0,0,0],[400,0,0],[400,300,0]], "radius": 75}})");
  EXPECT_EQ(s.material, "Rack 304L");
  EXPECT_EQ(s.od_mm, 25.0);
  EXPECT_EQ(s.bends, 1);
}

TEST(Summary, OfADraft) {
  const records::PartSummary s = summarise(
      R"({"name": "Rail", "tube": {"size": "25 x"},
          "line": {"bends": [{"straight": 100, "angle": 90}], "last": 100, "radius": 50}})");
  EXPECT_EQ(s.tube, "25 x");
  EXPECT_EQ(s.bends, 1);
  EXPECT_FALSE(s.picture.empty());
  EXPECT_EQ(summarise(R"({"name": 7, "line": {"bends": 3}})").name, "");
  EXPECT_EQ(summarise("{}").bends, 0);
  EXPECT_EQ(summarise("nonsense").name, "");
}

// An L in the drawing's XZ plane has its true sides: 300 by 200 fill 86 by 54 as 81 by 54.
TEST(Summary, PicturesKeepProportions) {
  const auto table =
      *geometry::BendTable::make({{290, base::Angle(), base::Angle::degrees(90), 10}}, 190);
  geometry::Frame upright;
  upright.inward = geometry::Vec3::UnitZ();
  upright.normal = -geometry::Vec3::UnitY();
  const std::string path = picture_path(table, upright);
  EXPECT_TRUE(path.starts_with("M7.5 59.0")) << path;
  EXPECT_TRUE(path.ends_with("L88.5 5.0")) << path;
}

}  // namespace
}  // namespace bight::service
