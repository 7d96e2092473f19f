#include "workshop/body.h"

#include <gtest/gtest.h>

namespace bight::workshop {
namespace {

// Each carrier has the word that shop files use, and no two the same.
TEST(Body, CarrierWords) {
  EXPECT_EQ(word(CarriedBy::kFrame), "frame");
  EXPECT_EQ(word(CarriedBy::kArm), "arm");
  EXPECT_EQ(word(CarriedBy::kClamp), "clamp");
  EXPECT_EQ(word(CarriedBy::kPressureDie), "pressure-die");
  EXPECT_EQ(word(CarriedBy::kCarriage), "carriage");
}

}  // namespace
}  // namespace bight::workshop
