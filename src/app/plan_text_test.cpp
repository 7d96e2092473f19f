#include "app/plan_text.h"

#include <gtest/gtest.h>

namespace bight::app {
namespace {

part::Part sample() {
  return part::Part{.name = "Rail",
                    .revision = "B",
                    .hand = part::Hand::kRight,
                    .tube_text = "25 x 1.5",
                    .section = *stock::Section::round_tube(25, 1.5),
                    .material = {.name = "test steel"},
                    .table = *geometry::BendTable::make(
                        {{340, base::Angle(), base::Angle::degrees(90), 60}}, 190)};
}

TEST(PlanText, PartNamesHandUnitsAndConvention) {
  const std::string text = part_text(sample(), {});
  for (const char* wanted : {"Rail RH, revision B", "25 x 1.5, test steel", "0° is straight",
                             "340.0", "90.0°", "end B", "developed length 624.2 mm"}) {
    EXPECT_NE(text.find(wanted), std::string::npos) << wanted << "\n" << text;
  }
}

// Findings say what to try and who says so; colour only when asked.
TEST(PlanText, Findings) {
  const std::vector<part::Finding> findings = {
      {part::Severity::kStop, "a.b", 2, "too short", "lengthen it", "the shop", {}}};
  const std::string plain = findings_text(findings, false);
  EXPECT_EQ(plain, "  stop, bend 2: too short\n      try: lengthen it\n      a.b; the shop\n");
  EXPECT_NE(findings_text(findings, true).find("\033[1;31m"), std::string::npos);
}

TEST(PlanText, PlanWithoutStepsIsShort) {
  planning::Plan plan{.part = sample(), .bent_table = sample().table};
  plan.findings = {{part::Severity::kStop, "plan.no-bender", std::nullopt, "none", "", "", {}}};
  const std::string text = plan_text(plan, {}, false);
  EXPECT_EQ(text.find("cut "), std::string::npos);
  EXPECT_NE(text.find("stop: none"), std::string::npos);
}

}  // namespace
}  // namespace bight::app
