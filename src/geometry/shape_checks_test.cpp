#include "geometry/shape_checks.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace bight::geometry {
namespace {

using base::Angle;

TEST(ShapeChecks, NumbersThatAreNoLength) {
  EXPECT_FALSE(refuse_unless_positive("width", 1.0));
  for (const double wrong :
       {0.0, -1.0, std::nan(""), std::numeric_limits<double>::infinity(), 1.1e6}) {
    const Refusal refusal = refuse_unless_positive("width", wrong);
    ASSERT_TRUE(refusal.has_value()) << wrong;
    EXPECT_EQ(refusal->code, "shape.number");
    EXPECT_EQ(refusal->where, "width");
  }
  EXPECT_FALSE(refuse_if_negative("lead", 0.0));
  EXPECT_TRUE(refuse_if_negative("lead", -1e-9));
  EXPECT_TRUE(refuse_if_negative("lead", std::nan("")));
}

TEST(ShapeChecks, AnglesOutsideTheShapesRange) {
  EXPECT_FALSE(refuse_unless_bend("angle", Angle::degrees(90), 90.0));
  EXPECT_FALSE(refuse_unless_bend("angle", Angle::degrees(0.011), 90.0));
  for (const double wrong_deg : {0.0, -30.0, 0.009, 90.001, std::nan("")}) {
    const Refusal refusal = refuse_unless_bend("angle", Angle::degrees(wrong_deg), 90.0);
    ASSERT_TRUE(refusal.has_value()) << wrong_deg;
    EXPECT_EQ(refusal->code, "shape.angle");
  }
}

TEST(ShapeChecks, FacesThatAShapeHas) {
  EXPECT_FALSE(refuse_unless_drawn({}));
  EXPECT_FALSE(refuse_unless_drawn({Face::kOutside, 25.0}));
  EXPECT_EQ(refuse_unless_drawn({Face::kInside, 0.0})->code, "shape.number");
  EXPECT_EQ(refuse_unless_drawn({Face::kLeft, 25.0})->code, "shape.choice");
  EXPECT_EQ(to_centre_mm({Face::kOutside, 25.0}), -12.5);
  EXPECT_EQ(to_centre_mm({Face::kInside, 25.0}), 12.5);
  EXPECT_EQ(to_centre_mm({Face::kCentre, 25.0}), 0.0);
}

TEST(ShapeChecks, ExactlyOneFarEnd) {
  EXPECT_FALSE(refuse_unless_one(100.0, std::nullopt));
  EXPECT_FALSE(refuse_unless_one(std::nullopt, 100.0));
  EXPECT_EQ(refuse_unless_one(100.0, 100.0)->code, "shape.choice");
  EXPECT_EQ(refuse_unless_one(std::nullopt, std::nullopt)->code, "shape.choice");
  EXPECT_EQ(refuse_unless_one(-1.0, std::nullopt)->code, "shape.number");
}

// A suggested value always fits: rounded up for a least, down for a most.
TEST(ShapeChecks, SuggestionsAreRoundedToTheSideThatFits) {
  EXPECT_EQ(at_least("width", 120.0), "the width at least 120.00 mm");
  EXPECT_EQ(at_least("width", 120.0001), "the width at least 120.01 mm");
  EXPECT_EQ(at_most("radius", 39.999), "the radius at most 39.99 mm");
  EXPECT_EQ(at_most("radius", 40.0), "the radius at most 40.00 mm");
  const base::Failure failure = does_not_fit("width", 80.0, "is too small",
                                             {at_least("width", 120.0), at_most("radius", 40)});
  EXPECT_EQ(failure.text(),
            "width: the width of 80.00 mm is too small (make the width at least 120.00 mm, or the "
            "radius at most 40.00 mm)");
  EXPECT_EQ(failure.code, "shape.fit");
}

TEST(ShapeChecks, ShortDimensionsGrowByWhatIsMissing) {
  EXPECT_FALSE(refuse_if_short("lead", 50.0, 0.0, "the bend"));
  EXPECT_FALSE(refuse_if_short("lead", 50.0, -0.5e-6, "the bend"));
  EXPECT_EQ(refuse_if_short("lead", 50.0, -10.0, "the bend")->remedy,
            "make the lead at least 60.00 mm");
}

TEST(ShapeChecks, StraightsAHairTooShortBecomeNothing) {
  const Shape shape = shape_of({{-1e-6, Angle(), Angle::degrees(90), 50.0}}, -1e-7);
  EXPECT_EQ(shape.table.straight_mm(0), 0.0);
  EXPECT_EQ(shape.table.last_straight_mm(), 0.0);
}

}  // namespace
}  // namespace bight::geometry
