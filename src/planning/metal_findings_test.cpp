#include "planning/metal_findings.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;
using part::Severity;
using sample::find;
using sample::row;

// Outer strain D/2R of 38.1 on 76.2 is 25 %; a metal that breaks at 10 % is warned of.
TEST(MetalFindingsReference, StretchAgainstElongation) {
  part::Part part = sample::tube_part({row(300, 0, 90, 77)}, 300);
  part.material.elongation_ratio->value = 0.10;
  const Plan plan = *planning::plan(part, sample::shop());
  const part::Finding* finding = find(plan.findings, "metal.elongation");
  ASSERT_NE(finding, nullptr);
  EXPECT_NEAR(finding->numbers.at("stretch_ratio"), 0.25, 0.005);
}

TEST(MetalFindings, WeakBenderStops) {
  workshop::Shop shop = sample::shop();
  shop.benders[0].od_max_mm = 30;
  shop.benders[0].wall_max_mm = 1.0;
  shop.benders[0].section_modulus_max_mm3 = 100;
  shop.benders[0].torque_max_nmm = 1000;
  shop.benders[0].angle_max = Angle::degrees(60);
  const Plan plan = *planning::plan(sample::u_part(), shop);
  for (const char* code : {"plan.capacity-size", "plan.capacity-wall", "plan.capacity-modulus",
                           "plan.torque", "plan.angle-beyond"}) {
    const part::Finding* finding = find(plan.findings, code);
    ASSERT_NE(finding, nullptr) << code;
    EXPECT_EQ(finding->severity, Severity::kStop) << code;
  }
}

}  // namespace
}  // namespace bight::planning
