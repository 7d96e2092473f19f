#include "planning/order_findings.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using sample::find;
using sample::row;

workshop::Body block(const char* name, geometry::Vec3 at_mm, geometry::Vec3 size_mm,
                     bool keep_out = false) {
  workshop::Body body;
  body.name = name;
  body.shape = workshop::BoxShape{size_mm};
  body.at_mm = at_mm;
  body.keep_out = keep_out;
  return body;
}

// The leg ahead swings from the feed direction towards +y on a head that turns counter-clockwise:
// a place there is swept, and a place that stands off by less than agreed is said.
workshop::Shop shop(workshop::Body body) {
  workshop::Shop s = sample::shop();
  s.benders[0].direction = workshop::TurnDirection::kCounterClockwise;
  s.benders[0].around.bodies = {std::move(body)};
  return s;
}

part::Part elbow() { return sample::tube_part({row(700, 0, 90)}, 400); }

Plan made_with(workshop::Body body) {
  PlanOptions options;
  options.order.kind = OrderWish::Kind::kDrawn;
  return *plan(elbow(), shop(std::move(body)), options);
}

TEST(OrderFindings, OperatorsPlaceIsKept) {
  const Plan made = made_with(block("operator's place", {500, 300, 0}, {200, 200, 1000}, true));
  const part::Finding* finding = find(made.findings, "order.keep-out");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, part::Severity::kStop);
  EXPECT_NE(finding->message.find("swings through the operator's place"), std::string::npos);
  EXPECT_EQ(find(made.findings, "order.hit"), nullptr);
  EXPECT_LT(finding->numbers.at("clearance_mm"), 0);
}

TEST(OrderFindings, SolidBodyIsHit) {
  const Plan made = made_with(block("post", {500, 300, 0}, {200, 200, 1000}));
  const part::Finding* finding = find(made.findings, "order.hit");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->bend, 1u);
  EXPECT_NE(finding->message.find("hits the post"), std::string::npos) << finding->message;
}

// A shelf whose top lies 29 mm under the tube's centre leaves 29 - 38.1 / 2 = 9.95 mm (by hand).
TEST(OrderFindings, NarrowPlaceIsSaid) {
  const Plan made = made_with(block("shelf", {500, 300, -129}, {200, 200, 200}));
  const part::Finding* finding = find(made.findings, "order.margin");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, part::Severity::kCaution);
  EXPECT_NEAR(finding->numbers.at("clearance_mm"), 29 - 38.1 / 2, 0.11);
  EXPECT_EQ(finding->numbers.at("agreed_mm"), 20);
  EXPECT_TRUE(made.order.works());
}

// What an order comes to, in words.
TEST(OrderFindings, SummedUpInWords) {
  const Plan clear = made_with(block("shelf", {500, 300, -200}, {200, 200, 200}));
  EXPECT_EQ(clear.order.name, "in drawing order from end A");
  EXPECT_TRUE(clear.order.words.starts_with("clears the shelf by 80.")) << clear.order.words;
  const Plan hit = made_with(block("post", {500, 300, 0}, {200, 200, 1000}));
  EXPECT_TRUE(hit.order.words.starts_with("hits the post by")) << hit.order.words;
  EXPECT_TRUE(hit.order.words.ends_with("at bend 1")) << hit.order.words;
  const Plan far = made_with(block("tree", {5000, 3000, 0}, {200, 200, 1000}));
  EXPECT_EQ(far.order.words, "comes near to nothing");
  EXPECT_EQ(*far.order.low_mm, kInterest_mm);
}

}  // namespace
}  // namespace bight::planning
