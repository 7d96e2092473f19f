#include "planning/blank.h"

#include <gtest/gtest.h>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

// The die's own figure counts; else the pressure die less the arc, never below one tube size; a
// collet adds its grip.
TEST(Blank, TailBehindTheLastBend) {
  const stock::Section tube = *stock::Section::round_tube(38.1, 1.6);
  workshop::Bender bender = sample::bender("One");
  workshop::DieSet die = sample::die("D", 114.3, 38.1);
  EXPECT_DOUBLE_EQ(tail_needed_mm(die, bender, tube, 180), 110);
  die.tail_mm.reset();
  EXPECT_DOUBLE_EQ(tail_needed_mm(die, bender, tube, 120), 80);
  EXPECT_DOUBLE_EQ(tail_needed_mm(die, bender, tube, 190), 38.1);
  bender.kind = workshop::BenderKind::kCarriageFed;
  bender.grip_mm = 60;
  EXPECT_DOUBLE_EQ(tail_needed_mm(die, bender, tube, 120), 140);
}

// From end B the front is end B, and its trim stands in front.
TEST(Blank, FrontFollowsTheWorkingEnd) {
  const workshop::Shop shop = sample::shop();
  const part::Part part = sample::u_part();
  const KnownSpringback known =
      *KnownSpringback::make(shop, shop.die_sets[0], part.section, part.material);
  const part::PartEnd plain;
  part::PartEnd spare;
  spare.trim_mm = 7;
  const BlankRequest request{
      part.table,       part.section,    plain,  spare, {&shop.die_sets[0], &shop.die_sets[0]},
      {&known, &known}, shop.benders[0], End::kB};
  const LaidOut out = lay_out_blank(request);
  EXPECT_EQ(out.blank.front, End::kB);
  EXPECT_DOUBLE_EQ(out.blank.trim_front_mm, 7);
  EXPECT_DOUBLE_EQ(out.blank.trim_back_mm, 0);
  EXPECT_NEAR(out.blank.cut.likely_mm, part.table.developed_length_mm() + 7, 1e-9);
  EXPECT_NEAR(out.start_mm[0], part.table.straight_mm(0), 1e-9);
}

}  // namespace
}  // namespace bight::planning
