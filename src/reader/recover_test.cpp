#include "reader/recover.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "reader/recover_test_util.h"

namespace bight::reader {
namespace {

std::vector<Recipe> round_recipes() {
  std::vector<Recipe> all;
  for (const auto& [suffix, build] : {std::pair{"pipe", Build::kPipe},
                                      {"fused", Build::kFused},
                                      {"bodies", Build::kBodies},
                                      {"freeform", Build::kFreeForm},
                                      {"unified", Build::kUnified},
                                      {"approximated", Build::kApproximated}}) {
    all.push_back(
        changed(std::string("three_") + suffix, [how = build](Recipe& r) { r.build = how; }));
    all.push_back(changed(std::string("quarters_") + suffix, [how = build](Recipe& r) {
      r.build = how;
      r.arcs_in_profile = 4;
    }));
  }
  all.push_back(changed("halves", [](Recipe& r) { r.arcs_in_profile = 2; }));
  all.push_back(changed("bar", [](Recipe& r) { r.wall_mm = 0; }));
  all.push_back(changed("bar_freeform", [](Recipe& r) {
    r.wall_mm = 0;
    r.build = Build::kFreeForm;
  }));
  for (const char* unit : {"INCH", "M"}) {
    for (const char* schema : {"AP203", "AP242DIS"}) {
      all.push_back(changed(std::string("unit_") + unit + "_" + schema, [&](Recipe& r) {
        r.unit = unit;
        r.schema = schema;
      }));
    }
  }
  all.push_back(changed("mirrored", [](Recipe& r) { r.mirrored = true; }));
  all.push_back(changed("far_away", [](Recipe& r) { r.move_mm[0] = 50000; }));
  all.push_back(recipe("u_180", {{100, 0, 180, 60}}, 150));
  all.push_back(recipe("bend_270", {{100, 0, 270, 80}}, 30));
  all.push_back(recipe("bend_350", {{20, 0, 350, 400}}, 0));
  all.push_back(recipe("no_straights", {{0, 0, 90, 60}, {0, 90, 90, 60}, {0, -45, 120, 60}}, 0));
  all.push_back(recipe("s_bend", {{50, 0, 45, 80}, {0, 180, 45, 80}}, 70));
  all.push_back(recipe("two_radii", {{80, 0, 40, 120}, {0, 0, 50, 60}}, 90));
  all.push_back(recipe("straight", {}, 500));
  all.push_back(recipe("shallow", {{300, 0, 0.5, 100}, {200, 30, 1.0, 100}}, 300));
  all.push_back(
      recipe("coaxial_legs", {{100, 0, 30, 60}, {40, 180, 60, 60}, {40, 180, 30, 60}}, 120));
  all.push_back(changed("tiny", [](Recipe& r) {
    r.rows = {{8, 0, 60, 9}, {5, 75, 45, 9}};
    r.last_mm = 11;
    r.height_mm = 6;
    r.wall_mm = 1;
  }));
  all.push_back(changed("large", [](Recipe& r) {
    r.rows = {{1500, 0, 60, 1800}, {900, 75, 45, 1800}};
    r.last_mm = 2000;
    r.height_mm = 600;
    r.wall_mm = 12;
  }));
  all.push_back(changed("thin_wall", [](Recipe& r) { r.wall_mm = 0.5; }));
  all.push_back(changed("tight_bend", [](Recipe& r) { r.rows[1].radius_mm = 13; }));
  return all;
}

class RoundFile : public testing::TestWithParam<Recipe> {};

// Every way of modelling the same tube gives back its table, section and place.
TEST_P(RoundFile, IsRecovered) {
  const Recipe& recipe = GetParam();
  const std::string path = scratch(recipe.name);
  const made::Expected expected = made::write(recipe, path);
  const auto reading = read(path);
  ASSERT_TRUE(reading.ok()) << reading.failure().text();
  expect_section(*reading, recipe);
  expect_table(*reading, expected);
  EXPECT_LT(reading->deviation_max_mm, kWithin_mm) << all_text(*reading);
  EXPECT_GT(reading->num_sampled, 20U);
  EXPECT_FALSE(has(*reading, "step.ignored-faces")) << all_text(*reading);
  EXPECT_FALSE(has(*reading, "step.end")) << all_text(*reading);
  EXPECT_EQ(reading->end_a.cut, exchange::EndCut::kSquare);
  EXPECT_EQ(reading->end_b.cut, exchange::EndCut::kSquare);
}

INSTANTIATE_TEST_SUITE_P(All, RoundFile, testing::ValuesIn(round_recipes()),
                         [](const auto& tested) { return tested.param.name; });

std::vector<Recipe> rect_recipes() {
  std::vector<Recipe> all;
  const auto rect = [&](const std::string& name, const auto& change) {
    Recipe r = recipe(name, {{200, 0, 90, 100}, {150, 90, 60, 120}, {180, 180, 45, 100}}, 220);
    r.height_mm = 40;
    r.width_mm = 25;
    r.corner_mm = 5;
    r.wall_mm = 2;
    change(r);
    all.push_back(r);
  };
  for (const auto& [suffix, build] : {std::pair{"pipe", Build::kPipe},
                                      {"fused", Build::kFused},
                                      {"bodies", Build::kBodies},
                                      {"freeform", Build::kFreeForm},
                                      {"unified", Build::kUnified}}) {
    rect(std::string("rect_") + suffix, [how = build](Recipe& r) { r.build = how; });
    rect(std::string("sharp_") + suffix, [how = build](Recipe& r) {
      r.build = how;
      r.corner_mm = 0;
    });
  }
  rect("rect_sharp_bore", [](Recipe& r) { r.corner_mm = 2; });
  rect("rect_bar", [](Recipe& r) { r.wall_mm = 0; });
  rect("rect_bar_sharp", [](Recipe& r) { r.wall_mm = r.corner_mm = 0; });
  rect("square", [](Recipe& r) { r.width_mm = 40; });
  rect("rect_straight", [](Recipe& r) { r.rows.clear(); });
  rect("rect_no_straights", [](Recipe& r) {
    for (Row& row : r.rows) row.straight_mm = 0;
    r.last_mm = 0;
  });
  rect("rect_inch", [](Recipe& r) { r.unit = "INCH"; });
  rect("rect_u", [](Recipe& r) { r.rows = {{100, 0, 180, 90}}; });
  rect("rect_planar", [](Recipe& r) {
    r.build = Build::kUnified;
    r.rows = {{100, 0, 90, 90}, {200, 0, 90, 90}, {100, 180, 30, 90}};
  });
  return all;
}

class RectFile : public testing::TestWithParam<Recipe> {};

// Rectangular and square tube and bar, with and without corner radii.
TEST_P(RectFile, IsRecovered) {
  const Recipe& recipe = GetParam();
  const std::string path = scratch(recipe.name);
  const made::Expected expected = made::write(recipe, path);
  const auto reading = read(path);
  ASSERT_TRUE(reading.ok()) << reading.failure().text();
  expect_section(*reading, recipe);
  expect_table(*reading, expected);
  EXPECT_LT(reading->deviation_max_mm, kWithin_mm) << all_text(*reading);
  EXPECT_EQ(reading->end_a.cut, exchange::EndCut::kSquare);
  EXPECT_EQ(reading->end_b.cut, exchange::EndCut::kSquare);
  EXPECT_FALSE(has(*reading, "step.ignored-faces")) << all_text(*reading);
  EXPECT_FALSE(has(*reading, "step.end")) << all_text(*reading);
  EXPECT_FALSE(has(*reading, "step.covered-end")) << all_text(*reading);
}

INSTANTIATE_TEST_SUITE_P(All, RectFile, testing::ValuesIn(rect_recipes()),
                         [](const auto& tested) { return tested.param.name; });

// End cuts, additions and features.
std::vector<Recipe> dressed_recipes() {
  std::vector<Recipe> all;
  const auto add = [&](const std::string& name, const auto& change) {
    all.push_back(changed(name, change));
  };
  for (const double mitre_deg : {1.0, 30.0, 45.0}) {
    add("mitre_" + std::to_string(static_cast<int>(mitre_deg)), [&](Recipe& r) {
      r.cut_a = r.cut_b = Cut::kMitre;
      r.mitre_deg = mitre_deg;
    });
  }
  add("mitre_freeform", [](Recipe& r) {
    r.build = Build::kFreeForm;
    r.cut_b = Cut::kMitre;
    r.mitre_deg = 30;
  });
  add("mitre_into_bend", [](Recipe& r) {
    r.cut_b = Cut::kMitre;
    r.mitre_deg = 60;
    r.last_mm = 5;
  });
  add("coped", [](Recipe& r) {
    r.cut_b = Cut::kCoped;
    r.cope_diameter_mm = 60;
  });
  add("coped_equal", [](Recipe& r) {
    r.cut_a = Cut::kCoped;
    r.cope_diameter_mm = 25;
  });
  add("coped_slanting", [](Recipe& r) {
    r.cut_a = r.cut_b = Cut::kCoped;
    r.cope_diameter_mm = 40;
    r.cope_axis_deg = 60;
  });
  add("coped_quarters", [](Recipe& r) {
    r.arcs_in_profile = 4;
    r.cut_b = Cut::kCoped;
    r.cope_diameter_mm = 60;
  });
  add("flange_fused", [](Recipe& r) { r.flange_a = true; });
  add("flange_beside", [](Recipe& r) { r.flange_a = r.separate = true; });
  add("collar_fused", [](Recipe& r) { r.collar = true; });
  add("collar_beside", [](Recipe& r) { r.collar = r.separate = true; });
  add("bracket_fused", [](Recipe& r) { r.bracket = true; });
  add("bracket_beside", [](Recipe& r) { r.bracket = r.separate = true; });
  add("everything", [](Recipe& r) {
    r.flange_a = r.collar = r.cross_hole = true;
    r.arcs_in_profile = 2;
    r.cut_b = Cut::kMitre;
    r.mitre_deg = 20;
  });
  add("cross_hole", [](Recipe& r) { r.cross_hole = true; });
  add("bevel", [](Recipe& r) { r.bevel_mm = 1.2; });
  add("bevel_bar", [](Recipe& r) {
    r.bevel_mm = 3.0;
    r.wall_mm = 0;
  });
  add("second_tube", [](Recipe& r) { r.second_tube = true; });
  return all;
}

class DressedFile : public testing::TestWithParam<Recipe> {};

// Cut, coped, bevelled, flanged, bracketed, drilled: the tube inside keeps its table.
TEST_P(DressedFile, IsRecovered) {
  const Recipe& recipe = GetParam();
  const std::string path = scratch(recipe.name);
  const made::Expected expected = made::write(recipe, path);
  const auto reading = read(path);
  ASSERT_TRUE(reading.ok()) << reading.failure().text();
  SCOPED_TRACE(all_text(*reading));
  expect_section(*reading, recipe);
  expect_table(*reading, expected);
  EXPECT_LT(reading->deviation_max_mm, kWithin_mm);
  const bool forward = starts_at_a(expected);
  const exchange::StepEnd& end_a = forward ? reading->end_a : reading->end_b;
  const exchange::StepEnd& end_b = forward ? reading->end_b : reading->end_a;
  for (const auto& [end, cut] : {std::pair{&end_a, recipe.cut_a}, {&end_b, recipe.cut_b}}) {
    EXPECT_EQ(static_cast<int>(end->cut), static_cast<int>(cut));
    if (cut == Cut::kMitre) {
      EXPECT_NEAR(end->mitre.deg(), recipe.mitre_deg, kWithin_deg);
    }
    if (cut == Cut::kMitre && recipe.name != "mitre_into_bend") {
      const double reach_mm =
          0.5 * recipe.height_mm * std::tan(recipe.mitre_deg * std::numbers::pi / 180.0);
      EXPECT_NEAR(end->longest_mm, reach_mm, kWithin_mm);
      EXPECT_NEAR(end->shortest_mm, -reach_mm, kWithin_mm);
    }
    if (cut == Cut::kCoped) {
      EXPECT_NEAR(end->cut_radius_mm, 0.5 * recipe.cope_diameter_mm, kWithin_mm);
    }
  }
  if (recipe.separate) {
    EXPECT_TRUE(has(*reading, "step.ignored-body"));
  }
  const bool features =
      !recipe.separate && (recipe.flange_a || recipe.collar || recipe.bracket || recipe.cross_hole);
  EXPECT_EQ(has(*reading, "step.ignored-faces"), features);
  EXPECT_EQ(has(*reading, "step.other-tube"), recipe.second_tube);
  EXPECT_EQ(has(*reading, "step.end-bevel"), recipe.bevel_mm > 0.0);
  EXPECT_EQ(has(*reading, "step.covered-end"), recipe.flange_a && !recipe.separate);
}

INSTANTIATE_TEST_SUITE_P(All, DressedFile, testing::ValuesIn(dressed_recipes()),
                         [](const auto& tested) { return tested.param.name; });

// Things that are no tubes are refused, and the refusal says what they are.
TEST(Recover, RefusesWhatIsNoTube) {
  for (const char* kind : {"box", "sphere", "plate", "blocks", "ring", "disc", "elbow-hole",
                           "stepped-shaft", "filleted-box", "hose", "taper"}) {
    const std::string path = scratch(std::string("other_") + kind);
    made::write_other(kind, path);
    const auto reading = read(path);
    ASSERT_FALSE(reading.ok()) << kind << "\n" << all_text(*reading);
    EXPECT_EQ(reading.failure().code, "step.not-a-tube") << kind;
    EXPECT_NE(reading.failure().message.find("face"), std::string::npos) << kind;
  }
}

// Swapping ends gives the table of the other direction and the frame of the other end.
TEST(Recover, SwapsEnds) {
  const std::string path = scratch("three_pipe_swap");
  made::write(recipe("three_pipe_swap", three_bends(), 240), path);
  const auto one = read(path, false);
  const auto other = read(path, true);
  ASSERT_TRUE(one.ok() && other.ok());
  EXPECT_TRUE(one->table.reversed() == other->table);
  const auto line = geometry::lay_out(one->table, one->start);
  const auto back = geometry::lay_out(other->table, other->start);
  EXPECT_LT((line.start_mm() - back.end_mm()).norm(), 1e-9);
  EXPECT_LT((line.end_mm() - back.start_mm()).norm(), 1e-9);
  EXPECT_LT(line.start_mm().norm(), line.end_mm().norm());
}

}  // namespace
}  // namespace bight::reader
