#include "planning/checklist.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

Plan plan_with(bool mandrel, bool proven) {
  const auto table =
      *geometry::BendTable::make({{340, base::Angle(), base::Angle::degrees(90), 60}}, 190);
  Plan plan{.part = {.name = "one ninety",
                     .section = *stock::Section::round_tube(25, 1.5),
                     .material = sample::steel(),
                     .table = table},
            .bent_table = table};
  plan.bender = workshop::Bender{.name = "Heron"};
  workshop::DieSet die = sample::die("R60", 60, 25);
  die.mandrel = mandrel;
  plan.dies.push_back({die, {base::Angle(), 0.0, "", proven}, 60});
  plan.metal.emplace_back();
  plan.metal[0].nose_advance_mm = 5.5;
  plan.blank.proven = proven;
  Step step;
  step.mark_mm = 340;
  plan.steps.push_back(step);
  return plan;
}

std::string text_of(const Checklist& list, const std::string& id) {
  for (const ChecklistItem& item : list.items) {
    if (item.id == id) return item.text;
  }
  return "";
}

TEST(Checklist, AsksForWhatThePlanUses) {
  const Checklist with = checklist_of(plan_with(true, true));
  EXPECT_NE(text_of(with, "mandrel").find("5.5 mm"), std::string::npos);
  EXPECT_NE(text_of(with, "die-match").find("radius 60.0 mm, groove 25.0 mm"), std::string::npos);
  EXPECT_NE(text_of(with, "swing").find("340.0 mm"), std::string::npos);
  EXPECT_NE(text_of(with, "trial").find("One trial bend"), std::string::npos);
  const Checklist without = checklist_of(plan_with(false, false));
  EXPECT_EQ(text_of(without, "mandrel"), "");
  EXPECT_EQ(text_of(without, "wiper"), "");
  EXPECT_NE(text_of(without, "trial").find("not proven"), std::string::npos);
}

TEST(Checklist, SpeaksInInchesWhereAsked) {
  base::LengthStyle inches;
  inches.unit = base::LengthUnit::kInch;
  for (const ChecklistItem& item : checklist_of(plan_with(true, true), inches).items) {
    EXPECT_EQ(item.text.find(" mm"), std::string::npos) << item.text;
  }
}

TEST(Checklist, NamesPeopleMachineAndTheLaw) {
  const Checklist list = checklist_of(plan_with(false, true));
  for (const char* id : {"axis-zero", "wheel-zero", "support", "lubricant", "blank", "program",
                         "guards", "e-stop", "swing", "dry-run"}) {
    EXPECT_NE(text_of(list, id), "") << id;
  }
  ASSERT_FALSE(list.cautions.empty());
  EXPECT_NE(list.cautions.back().find("manual"), std::string::npos);
  EXPECT_NE(list.cautions.back().find("certifies nothing"), std::string::npos);
}

TEST(Checklist, IdsAreUniqueAndFitARunsEvents) {
  Plan plan = plan_with(true, true);
  plan.dies.push_back(plan.dies[0]);
  std::set<std::string> ids;
  for (const ChecklistItem& item : checklist_of(plan).items) {
    EXPECT_TRUE(ids.insert(item.id).second) << item.id;
    EXPECT_EQ(item.id.find(' '), std::string::npos);
    EXPECT_FALSE(item.source.empty());
  }
}

}  // namespace
}  // namespace bight::planning
