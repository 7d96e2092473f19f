#include "planning/work_order.h"

#include <gtest/gtest.h>

namespace bight::planning {
namespace {

TEST(WorkOrder, DrawnFromEitherEnd) {
  EXPECT_EQ(text(drawn_order(3, End::kA)), "1A,2A,3A");
  EXPECT_EQ(text(drawn_order(3, End::kB)), "3B,2B,1B");
  EXPECT_EQ(text({}), "");
}

// What is printed is read back; ends may be left open, and words are words.
TEST(WorkOrder, WishesAreRead) {
  using Kind = OrderWish::Kind;
  EXPECT_EQ(parse_order_wish("auto")->kind, Kind::kDrawnIfItWorks);
  EXPECT_EQ(parse_order_wish(" keep ")->kind, Kind::kDrawn);
  EXPECT_EQ(parse_order_wish("best")->kind, Kind::kBest);
  for (const Kind kind : {Kind::kDrawnIfItWorks, Kind::kDrawn, Kind::kBest}) {
    EXPECT_EQ(parse_order_wish(word(kind))->kind, kind);
  }
  const OrderWish wish = *parse_order_wish("3B, 1 ,2a");
  EXPECT_EQ(wish.kind, Kind::kGiven);
  EXPECT_EQ(word(wish.kind), "given");
  ASSERT_EQ(wish.bends.size(), 3u);
  EXPECT_EQ(wish.bends[0].bend, 2u);
  EXPECT_EQ(wish.bends[0].front, End::kB);
  EXPECT_EQ(wish.bends[1].bend, 0u);
  EXPECT_FALSE(wish.bends[1].front.has_value());
  EXPECT_EQ(wish.bends[2].front, End::kA);
  EXPECT_TRUE(wish.suits(3).ok());
}

TEST(WorkOrder, WhatIsNoOrder) {
  for (const char* typed : {"", "worst", "1,,2", "1,2,", "0,1", "-1", "1C", "A", "1 2",
                            "99999999999999999999", "1.5"}) {
    const base::Result<OrderWish> wish = parse_order_wish(typed);
    ASSERT_FALSE(wish.ok()) << typed;
    EXPECT_EQ(wish.failure().code, "plan.order");
  }
  const auto message = [](const char* typed) {
    return parse_order_wish(typed)->suits(3).failure().message;
  };
  EXPECT_EQ(message("1,2"), "the order leaves out bend 3");
  EXPECT_EQ(message("1,2,2"), "the order names bend 2 twice");
  EXPECT_EQ(message("1,2,3,4"), "the order names bend 4, the part has 3");
  EXPECT_TRUE(parse_order_wish("best")->suits(3).ok());
}

}  // namespace
}  // namespace bight::planning
