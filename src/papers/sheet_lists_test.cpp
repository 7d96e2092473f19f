#include "papers/sheet_lists.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/ruled.h"
#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

const Wording kMetric{{}};

std::string group_of(const planning::Plan& plan,
                     const std::function<Group(const Writer&, double)>& make) {
  return printed::drawn([&](Canvas& canvas) {
    const Writer writer{plan, kMetric, canvas, ""};
    double y_mm = 10.0;
    const Group group = make(writer, 94.0);
    const Box bar{10.0, y_mm, 94.0, title_bar(canvas, {10.0, y_mm, 94.0, 0.0}, group.title)};
    if (group.on_title) group.on_title(canvas, bar);
    y_mm += bar.height_mm;
    for (const Block& row : group.rows) {
      row.draw(canvas, {10.0, y_mm, 94.0, row.height_mm});
      y_mm += row.height_mm;
    }
  });
}

// Findings: the word of their weight, the bend, what is wrong, what to do, the code, and by a stop
// who says so; stops come first whatever the plan's order.
TEST(SheetLists, Findings) {
  planning::Plan plan = sample::stopped();
  plan.findings.front().source = "the shop's own tools";
  std::reverse(plan.findings.begin(), plan.findings.end());
  const std::string pdf = group_of(plan, findings_group);
  const std::string text = printed::flowing_text_of(pdf);
  EXPECT_LT(text.find("STOP, bend 1"), text.find("STOP, bend 2"));
  EXPECT_LT(text.find("STOP, bend 2"), text.find("Note"));
  for (const char* word :
       {"38.1 mm", "60.0 mm", "14.2 mm", "plan.no-die", "Do:", "the shop's own tools"}) {
    EXPECT_THAT(text, HasSubstr(word));
  }
  printed::expect_tidy(pdf);
  const std::string caution = printed::flowing_text_of(group_of(sample::three_d(), findings_group));
  EXPECT_THAT(caution, HasSubstr("CAUTION, bend 2"));
  EXPECT_THAT(caution, HasSubstr("plan.straight-below-clamp"));
  EXPECT_THAT(printed::flowing_text_of(group_of(sample::planar_u(), findings_group)),
              HasSubstr("Nothing stands out"));
}

// What is said of several bends alike is said once.
TEST(SheetLists, AFindingOfSeveralBendsStandsOnce) {
  planning::Plan plan = sample::stopped();
  part::Finding again = plan.findings.front();
  again.severity = part::Severity::kCaution;
  again.message = "the radius differs";
  plan.findings.clear();
  for (const std::size_t bend : {1u, 2u, 5u}) {
    again.bend = bend;
    plan.findings.push_back(again);
  }
  const std::string text = printed::flowing_text_of(group_of(plan, findings_group));
  EXPECT_THAT(text, HasSubstr("CAUTION, bends 1, 2, 5"));
  EXPECT_EQ(text.find("the radius differs"), text.rfind("the radius differs"));
}

// Check lengths with their wanted values and the tolerance of the drawing.
TEST(SheetLists, Checks) {
  const std::string pdf = group_of(sample::long_names(), checks_group);
  const std::string text = printed::flowing_text_of(pdf);
  for (const char* word : {"501.4", "367.8", "700.2", "662.9", "1041.7", "±1.5 mm", "1st", "2nd"}) {
    EXPECT_THAT(text, HasSubstr(word));
  }
  printed::expect_tidy(pdf);
  EXPECT_THAT(printed::flowing_text_of(group_of(sample::stopped(), checks_group)),
              HasSubstr("No check lengths"));
}

// The lines to tick follow what the plan uses.
TEST(SheetLists, Checklist) {
  const auto of = [](const planning::Plan& plan) {
    return printed::flowing_text_of(printed::drawn_block(
        plan, kMetric, [](const Writer& writer) { return checklist_block(writer); }));
  };
  const std::string plain = of(sample::three_d());
  for (const char* word : {"zero", "Support set anew", "Lubricant", "Guard", "Emergency stop",
                           "Mandrel", "Seam at 7:30", "Degree wheel"}) {
    EXPECT_THAT(plain, HasSubstr(word));
  }
  planning::Plan bare = sample::three_d();
  bare.dies[0].die.mandrel = false;
  bare.dies[0].die.wiper = true;
  bare.seam.reset();
  bare.bender->degree_wheel = false;
  const std::string fewer = of(bare);
  EXPECT_THAT(fewer, Not(HasSubstr("Mandrel")));
  EXPECT_THAT(fewer, HasSubstr("Wiper"));
  EXPECT_THAT(fewer, Not(HasSubstr("Seam")));
  EXPECT_THAT(fewer, Not(HasSubstr("Degree wheel")));
}

// What to beware of, and that nothing is certified.
TEST(SheetLists, Cautions) {
  const std::string pdf =
      printed::drawn_block(sample::three_d(), kMetric,
                           [](const Writer& writer) { return cautions_block(writer, 190.0); });
  const std::string text = printed::flowing_text_of(pdf);
  for (const char* word : {"Nip points", "free leg", "stores energy", "sharp", "Local codes",
                           "manual", "licensed", "certifies nothing"}) {
    EXPECT_THAT(text, HasSubstr(word));
  }
  printed::expect_tidy(pdf);
}

// A stopped plan cannot be signed for release.
TEST(SheetLists, SignOff) {
  const auto of = [](const planning::Plan& plan) {
    return printed::flowing_text_of(printed::drawn_block(
        plan, kMetric, [](const Writer& writer) { return sign_off_block(writer); }));
  };
  EXPECT_THAT(of(sample::three_d()), HasSubstr("Released to run by"));
  EXPECT_THAT(of(sample::stopped()), Not(HasSubstr("Released to run by")));
  EXPECT_THAT(of(sample::stopped()), HasSubstr("NOT TO BE RELEASED"));
}

// Room to write in keeps within its box.
TEST(SheetLists, Notes) {
  const Box box{10.0, 10.0, 190.0, 50.0};
  printed::expect_within(printed::drawn([&](Canvas& canvas) { draw_notes(canvas, box); }), box);
}

}  // namespace
}  // namespace bight::papers
