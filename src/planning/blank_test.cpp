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
  const BlankRequest request{part.table,
                             part.section,
                             plain,
                             spare,
                             {&shop.die_sets[0], &shop.die_sets[0]},
                             {&known, &known},
                             shop.benders[0],
                             drawn_order(2, End::kB)};
  const LaidOut out = lay_out_blank(request);
  EXPECT_EQ(out.blank.front, End::kB);
  EXPECT_DOUBLE_EQ(out.blank.trim_front_mm, 7);
  EXPECT_DOUBLE_EQ(out.blank.trim_back_mm, 0);
  EXPECT_NEAR(out.blank.cut.likely_mm, part.table.developed_length_mm() + 7, 1e-9);
  EXPECT_NEAR(out.start_mm[0], part.table.straight_mm(0), 1e-9);
}

// Bends of 60 | 400 | 60 in the die that needs 95 ahead and 110 behind: 35 more at the end that is
// clamped, 50 more at the other; with both ends behind once, 50 at each; and for any order the
// larger of the two at each end (the die's figures, by hand).
TEST(Blank, GripAsTheOrderNeedsIt) {
  const workshop::Shop shop = sample::shop();
  part::Part part = sample::tube_part({sample::row(60, 0, 90), sample::row(400, 0, 90)}, 60);
  const KnownSpringback known =
      *KnownSpringback::make(shop, shop.die_sets[0], part.section, part.material);
  const auto blank = [&](BendOrder order) {
    const BlankRequest request{part.table,
                               part.section,
                               part.end_a,
                               part.end_b,
                               {&shop.die_sets[0], &shop.die_sets[0]},
                               {&known, &known},
                               shop.benders[0],
                               std::move(order),
                               End::kB};
    return lay_out_blank(request).blank;
  };
  const Blank from_a = blank({{0, End::kA}, {1, End::kA}});
  EXPECT_NEAR(from_a.grip_front_mm, 35, 1e-9);
  EXPECT_NEAR(from_a.grip_back_mm, 50, 1e-9);
  EXPECT_TRUE(from_a.front_for_clamp);
  EXPECT_FALSE(from_a.back_for_clamp);
  // Bend 1 has end A behind it, bend 2 has end B behind it.
  const Blank turned = blank({{0, End::kB}, {1, End::kA}});
  EXPECT_EQ(turned.front, End::kB);
  EXPECT_NEAR(turned.grip_front_mm, 50, 1e-9);
  EXPECT_NEAR(turned.grip_back_mm, 50, 1e-9);
  EXPECT_FALSE(turned.front_for_clamp);
  const Blank any = blank({});
  EXPECT_EQ(any.front, End::kB);
  EXPECT_NEAR(any.grip_front_mm, 50, 1e-9);
  EXPECT_NEAR(any.grip_back_mm, 50, 1e-9);
  // Each end ahead of its own bend: clamps only.
  const Blank clamps = blank({{1, End::kB}, {0, End::kA}});
  EXPECT_NEAR(clamps.grip_front_mm, 35, 1e-9);
  EXPECT_NEAR(clamps.grip_back_mm, 35, 1e-9);
}

}  // namespace
}  // namespace bight::planning
