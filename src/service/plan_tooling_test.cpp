#include "service/plan_tooling.h"

#include "service/plan_answer_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class PlanToolingTest : public test::PlanAnswerTest {};

TEST_F(PlanToolingTest, SaysWhichDieSetsFitAndWhyOthersDoNot) {
  furnish();
  const Json tooling = answer(test::rail())["tooling"];
  ASSERT_EQ(tooling.size(), 2u);
  EXPECT_EQ(tooling[0]["die"], "25R76");
  EXPECT_EQ(tooling[0]["fits"], true);
  EXPECT_EQ(tooling[0]["used"], true);
  EXPECT_EQ(tooling[0]["why"], "");
  // What springs back grows in radius.
  EXPECT_GT(tooling[0]["radius_after_mm"].get<double>(), tooling[0]["radius_mm"].get<double>());
  EXPECT_EQ(tooling[1]["fits"], false);
  EXPECT_EQ(tooling[1]["radius_after_mm"], nullptr);
  EXPECT_NE(tooling[1]["why"].get<std::string>().find("38.1"), std::string::npos);
}

TEST_F(PlanToolingTest, EachLimitOfABenderIsSaid) {
  const stock::Section tube = *stock::Section::round_tube(25.0, 1.5);
  workshop::Bender bender;
  bender.od_max_mm = 25.0;
  EXPECT_EQ(too_weak(bender, tube), "");
  bender.od_max_mm = 20.0;
  EXPECT_EQ(too_weak(bender, tube), "it takes tube up to 20 mm, this is 25 mm");
  bender.od_max_mm = 60.0;
  bender.wall_max_mm = 1.2;
  EXPECT_EQ(too_weak(bender, tube), "it takes walls up to 1.2 mm, this is 1.5 mm");
  EXPECT_EQ(too_weak(bender, *stock::Section::round_bar(20.0)), "");  // it has no wall
  bender.wall_max_mm.reset();
  // pi (25^4 - 22^4) / (32 * 25) = 614.1 mm3; of a bar b h^2 / 6, the larger way up.
  bender.section_modulus_max_mm3 = 600.0;
  EXPECT_EQ(too_weak(bender, tube),
            "it is rated for a section modulus of 600 mm³, this has 614 mm³");
  EXPECT_EQ(too_weak(bender, *stock::Section::rect_bar(10.0, 20.0)),
            "it is rated for a section modulus of 600 mm³, this has 667 mm³");
  bender.kind = workshop::BenderKind::kThreeRoll;
  EXPECT_EQ(too_weak(bender, tube), "it rolls, and has no die");
}

TEST_F(PlanToolingTest, AnEmptyShopHasNone) {
  const Json all = answer(test::rail());
  EXPECT_EQ(all["tooling"].size(), 0u);
  EXPECT_EQ(all["benders"].size(), 0u);
}

}  // namespace
}  // namespace bight::service
