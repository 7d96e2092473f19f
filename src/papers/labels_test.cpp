#include "papers/labels.h"

#include <gtest/gtest.h>

#include <cmath>

namespace bight::papers {
namespace {

constexpr Box kBounds{0.0, 0.0, 100.0, 60.0};

LabelWish wish_at(double x_mm, double y_mm) {
  LabelWish wish;
  wish.target = {x_mm, y_mm};
  return wish;
}

// With nothing in the way a label stands where it was wished.
TEST(LabelRoom, WishGranted) {
  LabelRoom room(kBounds);
  LabelWish wish = wish_at(50, 30);
  wish.direction_x_ratio = 3.0;
  wish.direction_y_ratio = 0.0;
  const auto place = room.place(wish);
  ASSERT_TRUE(place);
  EXPECT_NEAR(place->x_mm, 54.0, 1e-9);
  EXPECT_NEAR(place->y_mm, 30.0, 1e-9);
}

// Labels keep off the tube, off each other and inside the bounds, however many there are.
TEST(LabelRoom, KeepsOff) {
  LabelRoom room(kBounds);
  room.keep_clear({{10, 30}, {90, 30}}, 5.0);
  std::vector<Point> places;
  for (int i = 0; i < 12; ++i) {
    const auto place = room.place(wish_at(45.0 + i, 30.0));
    ASSERT_TRUE(place) << i;
    EXPECT_GE(std::abs(place->y_mm - 30.0), 5.0 + 2.6 - 1e-9);
    EXPECT_TRUE(place->x_mm >= 2.6 && place->x_mm <= 97.4);
    EXPECT_TRUE(place->y_mm >= 2.6 && place->y_mm <= 57.4);
    for (const Point& other : places) {
      EXPECT_TRUE(std::abs(other.x_mm - place->x_mm) >= 5.2 ||
                  std::abs(other.y_mm - place->y_mm) >= 5.2);
    }
    places.push_back(*place);
  }
}

// No room, no label: a number is never printed over another thing.
TEST(LabelRoom, SaysWhenFull) {
  LabelRoom room({0, 0, 10, 10});
  room.keep_clear(Box{0, 0, 10, 10});
  EXPECT_FALSE(room.place(wish_at(5, 5)));
}

// A leader does not run through what is taken: behind a wall there is no place.
TEST(LabelRoom, LeadersCrossNothing) {
  LabelRoom room(kBounds);
  room.keep_clear(Box{52, 0, 1, 60});
  LabelWish wish = wish_at(50, 30);
  wish.direction_x_ratio = 1.0;
  wish.direction_y_ratio = 0.0;
  const auto place = room.place(wish);
  ASSERT_TRUE(place);
  EXPECT_LT(place->x_mm, 52.0);
}

}  // namespace
}  // namespace bight::papers
