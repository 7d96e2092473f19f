// Files as they come from other people's programs: one face over several bends, surfaces that close
// no body, parts placed in parts, slanting ends of rectangular tube. docs/formats/step.md lists all
// made files by what is hard about them.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <iterator>
#include <set>

#include "reader/recover_test_util.h"

namespace bight::reader {
namespace {

using made::Keep;

std::vector<Recipe> long_faces() {
  std::vector<Recipe> all;
  const auto add = [&](const std::string& name, const auto& change) {
    all.push_back(changed(name, [&](Recipe& r) {
      r.build = Build::kLongFace;
      change(r);
    }));
  };
  add("long_face", [](Recipe&) {});
  add("long_face_bar", [](Recipe& r) { r.wall_mm = 0; });
  add("long_face_u", [](Recipe& r) { r.rows[1].angle_deg = 180; });
  add("long_face_no_straights", [](Recipe& r) {
    r.rows = {{0, 0, 90, 60}, {0, 90, 90, 60}, {0, -45, 120, 60}};
    r.last_mm = 0;
  });
  add("long_face_mitred", [](Recipe& r) {
    r.cut_b = Cut::kMitre;
    r.mitre_deg = 30;
  });
  add("long_face_inch", [](Recipe& r) {
    r.unit = "INCH";
    r.schema = "AP203";
  });
  add("long_face_ten_bends", [](Recipe& r) {
    r.rows.clear();
    for (int i = 0; i < 10; ++i) r.rows.push_back({60.0 + 7 * i, 25.0 * i, 35.0 + 5 * i, 60});
  });
  add("long_face_mixed_lengths", [](Recipe& r) {
    r.rows = {{1500, 0, 20, 40}, {12, 90, 95, 150}};
  });
  return all;
}

std::vector<Recipe> placed_parts() {
  std::vector<Recipe> all;
  const auto add = [&](const std::string& name, const auto& change) {
    all.push_back(changed(name, [&](Recipe& r) {
      r.assembly = r.separate = true;
      change(r);
    }));
  };
  add("assembly", [](Recipe& r) { r.bracket = true; });
  add("assembly_ap203_inch", [](Recipe& r) {
    r.flange_a = r.collar = true;
    r.schema = "AP203";
    r.unit = "INCH";
  });
  add("assembly_ap242_freeform", [](Recipe& r) {
    r.bracket = r.flange_a = true;
    r.build = Build::kFreeForm;
    r.schema = "AP242DIS";
  });
  add("assembly_mirrored", [](Recipe& r) { r.bracket = r.mirrored = true; });
  add("assembly_of_pieces", [](Recipe& r) {
    r.build = Build::kBodies;
    r.arcs_in_profile = 2;
  });
  return all;
}

std::vector<Recipe> loose_surfaces() {
  std::vector<Recipe> all;
  const auto add = [&](const std::string& name, Keep keep, const auto& change) {
    all.push_back(changed(name, [&](Recipe& r) {
      r.keep = keep;
      change(r);
    }));
  };
  add("open_shells", Keep::kSkins, [](Recipe&) {});
  add("open_shells_fused", Keep::kSkins, [](Recipe& r) { r.build = Build::kFused; });
  add("open_shells_mitred", Keep::kSkins, [](Recipe& r) {
    r.cut_a = Cut::kMitre;
    r.mitre_deg = 20;
  });
  add("loose_faces", Keep::kLooseFaces, [](Recipe&) {});
  add("loose_quarters", Keep::kLooseFaces, [](Recipe& r) { r.arcs_in_profile = 4; });
  add("outer_shell", Keep::kOuterSkin, [](Recipe&) {});
  add("outer_shell_mirrored", Keep::kOuterSkin, [](Recipe& r) { r.mirrored = true; });
  return all;
}

std::vector<Recipe> rectangular() {
  std::vector<Recipe> all;
  const auto add = [&](const std::string& name, const auto& change) {
    Recipe r = recipe(name, {{200, 0, 90, 100}, {150, 90, 60, 120}, {180, 180, 45, 100}}, 220);
    r.height_mm = 40;
    r.width_mm = 25;
    r.corner_mm = 5;
    change(r);
    all.push_back(r);
  };
  add("rect_mitred", [](Recipe& r) {
    r.cut_a = r.cut_b = Cut::kMitre;
    r.mitre_deg = 45;
  });
  add("rect_mitred_sharp", [](Recipe& r) {
    r.corner_mm = 0;
    r.cut_b = Cut::kMitre;
    r.mitre_deg = 30;
  });
  add("rect_mitred_freeform", [](Recipe& r) {
    r.build = Build::kFreeForm;
    r.cut_a = Cut::kMitre;
    r.mitre_deg = 22.5;
  });
  add("rect_mirrored", [](Recipe& r) { r.mirrored = true; });
  add("rect_assembly", [](Recipe& r) { r.assembly = true; });
  add("rect_open_shells", [](Recipe& r) { r.keep = Keep::kSkins; });
  add("rect_loose_faces", [](Recipe& r) { r.keep = Keep::kLooseFaces; });
  return all;
}

class NastyFile : public testing::TestWithParam<Recipe> {};

// Table, section, place and ends of each, to a hundredth of a millimetre and of a degree.
TEST_P(NastyFile, IsRecovered) {
  const Recipe& recipe = GetParam();
  const std::string path = scratch(recipe.name);
  const made::Expected expected = made::write(recipe, path);
  const auto reading = read(path);
  ASSERT_TRUE(reading.ok()) << reading.failure().text();
  SCOPED_TRACE(all_text(*reading));
  const bool outside_only = recipe.keep == Keep::kOuterSkin;
  Recipe as_seen = recipe;
  if (outside_only) as_seen.wall_mm = 0;
  expect_section(*reading, as_seen);
  expect_table(*reading, expected);
  EXPECT_LT(reading->deviation_max_mm, kWithin_mm);
  EXPECT_EQ(reading->skin_only, outside_only);
  EXPECT_EQ(has(*reading, "step.skin-only"), outside_only);
  const bool forward = starts_at_a(expected);
  const exchange::StepEnd& end_a = forward ? reading->end_a : reading->end_b;
  const exchange::StepEnd& end_b = forward ? reading->end_b : reading->end_a;
  for (const auto& [end, cut] : {std::pair{&end_a, recipe.cut_a}, {&end_b, recipe.cut_b}}) {
    EXPECT_EQ(static_cast<int>(end->cut), static_cast<int>(cut));
    if (cut == Cut::kMitre) {
      EXPECT_NEAR(end->mitre.deg(), recipe.mitre_deg, kWithin_deg);
    }
  }
  EXPECT_EQ(has(*reading, "step.ignored-body"), recipe.bracket || recipe.flange_a || recipe.collar);
  EXPECT_FALSE(has(*reading, "step.ignored-faces"));
}

const auto by_name = [](const auto& tested) { return tested.param.name; };
INSTANTIATE_TEST_SUITE_P(LongFaces, NastyFile, testing::ValuesIn(long_faces()), by_name);
INSTANTIATE_TEST_SUITE_P(PlacedParts, NastyFile, testing::ValuesIn(placed_parts()), by_name);
INSTANTIATE_TEST_SUITE_P(LooseSurfaces, NastyFile, testing::ValuesIn(loose_surfaces()), by_name);
INSTANTIATE_TEST_SUITE_P(Rectangular, NastyFile, testing::ValuesIn(rectangular()), by_name);

// The assembly files really place their parts in one another.
TEST(NastyFiles, AssembliesArePlaced) {
  const std::string path = scratch("assembly_text");
  Recipe placed = placed_parts().front();
  made::write(placed, path);
  std::ifstream file(path);
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  EXPECT_NE(text.find("NEXT_ASSEMBLY_USAGE_OCCURRENCE"), std::string::npos);
  EXPECT_NE(text.find("ITEM_DEFINED_TRANSFORMATION"), std::string::npos);
}

// Every file that docs/formats/step.md names is made and read by a test here, and there are as many
// as were asked for.
TEST(NastyFiles, AreListed) {
  std::set<std::string> made_names;
  const testing::UnitTest& all = *testing::UnitTest::GetInstance();
  for (int i = 0; i < all.total_test_suite_count(); ++i) {
    const testing::TestSuite& suite = *all.GetTestSuite(i);
    for (int k = 0; k < suite.total_test_count(); ++k) {
      const std::string name = suite.GetTestInfo(k)->name();
      if (name.starts_with("IsRecovered/")) made_names.insert(name.substr(12));
    }
  }
  std::ifstream page(BIGHT_SOURCE_DIR "/docs/formats/step.md");
  std::set<std::string> listed;
  for (std::string line; std::getline(page, line);) {
    if (!line.starts_with("| ")) continue;
    for (std::size_t at = line.find('`'); at != std::string::npos;) {
      const std::size_t end = line.find('`', at + 1);
      listed.insert(line.substr(at + 1, end - at - 1));
      at = line.find('`', end + 1);
    }
  }
  EXPECT_GE(listed.size(), 30U);
  EXPECT_EQ(listed, made_names);
}

}  // namespace
}  // namespace bight::reader
