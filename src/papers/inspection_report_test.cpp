#include "papers/inspection_report.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "geometry/centreline.h"
#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

using geometry::Vec3;
using ::testing::HasSubstr;
using ::testing::Not;

struct Case {
  planning::Plan plan;
  inspection::Measured measured;
  inspection::Agreement agreement;
};

std::string printed(const Case& c, Paper paper = Paper::kA4, base::LengthStyle style = {}) {
  const auto inspection =
      inspection::inspect(c.plan.part, c.plan.bent_table, c.measured, c.agreement);
  EXPECT_TRUE(inspection.ok()) << inspection.failure().text();
  SheetOptions options;
  options.paper = paper;
  options.length = style;
  options.date = "12 May 2025";
  const ReportInput input{c.plan,   c.measured,    *inspection, c.agreement,
                          "K40719", "11 May 2025", "MK",        "digital level, tape"};
  const auto files = report_files(input, options, Format::kPdf);
  EXPECT_TRUE(files.ok());
  return files->front();
}

// A flat part of two legs; its end B came out 4.2 mm too far along its leg.
Case story_17() {
  Case c{sample::plan_of(
             "Bracket",
             *geometry::BendTable::make({{500.0 - 114.3, {}, sample::deg(90), 114.3}}, 400 - 114.3),
             sample::round_38()),
         {},
         {}};
  c.measured.name = "piece 3";
  c.measured.points_mm = {Vec3(0, 0, 0), Vec3(500, 0, 0), Vec3(500, 404.2, 0)};
  c.agreement.end_mm = 3.0;
  c.agreement.corner_mm = 3.0;
  return c;
}

// Every bend of a plan a little off, with a section and limits for all.
Case all_read(planning::Plan plan) {
  Case c{std::move(plan), {}, {}};
  c.measured.name = "first piece";
  double off = 0.3;
  for (const geometry::BendRow& row : c.plan.bent_table.rows()) {
    inspection::MeasuredBend bend;
    bend.straight_mm = row.straight_mm + off;
    bend.rotation = row.rotation + sample::deg(0.2);
    bend.angle = row.angle - sample::deg(off);
    c.measured.bends.push_back(bend);
    off = -off;
  }
  c.measured.last_straight_mm = c.plan.bent_table.last_straight_mm() + 0.6;
  c.agreement.length_mm = 1.5;
  c.agreement.angle = sample::deg(0.5);
  c.agreement.zone_radius_mm = 2.0;
  c.agreement.end_mm = 3.0;
  c.agreement.guard_band = true;
  return c;
}

// Both ways of laying it over stand side by side with datum, method and verdict named
// (trade's own numbers: +4.2 along the leg; 0.65, 1.86, 2.47 by best fit).
TEST(InspectionReport, BothAlignmentsWhenTheyDisagree) {
  const std::string pdf = printed(story_17());
  const std::string text = printed::flowing_text_of(pdf);
  for (const char* words :
       {"end A, first leg and first plane (agreed): outside", "4.20", "+4.20", "0.65", "1.86",
        "2.47", "within", "OUTSIDE WHAT WAS AGREED", "ends within 3.00", "Measured by",
        "Checked by", "certifies nothing", "piece 3", "12 May 2025"}) {
    EXPECT_THAT(text, HasSubstr(words));
  }
}

// On both papers, in both units: no word over another or off the paper, every reading printed with
// what it is good to.
TEST(InspectionReport, TidyOnEveryPaper) {
  base::LengthStyle inch;
  inch.unit = base::LengthUnit::kInch;
  inch.decimals = 3;
  const Case cases[] = {story_17(), all_read(sample::three_d()), all_read(sample::twelve_bends()),
                        all_read(sample::planar_u())};
  for (const Case& c : cases) {
    SCOPED_TRACE(c.plan.part.name);
    for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
      printed::expect_tidy(printed(c, paper), 5.0);
      printed::expect_tidy(printed(c, paper, inch), 5.0);
    }
  }
  const std::string text = printed::flowing_text_of(printed(cases[1]));
  for (const char* words :
       {"READINGS", "straight 1", "rotation before bend 2", "good to", "A reading's error counts",
        "rotations ±0.50°", "centreline within a tube of radius", "TO CHECK WITH A TAPE",
        "End A to outside of leg 2"}) {
    EXPECT_THAT(text, HasSubstr(words));
  }
}

// Angles alone say nothing of places: the part itself is drawn, and nothing is judged that was not
// agreed.
TEST(InspectionReport, AnglesAlone) {
  Case c{sample::planar_u(), {}, {}};
  c.measured.bends.resize(2);
  c.measured.bends[0].angle = sample::deg(89.6);
  const std::string text = printed::flowing_text_of(printed(c));
  EXPECT_THAT(text, HasSubstr("NOT JUDGED"));
  EXPECT_THAT(text, HasSubstr("nothing was agreed"));
  EXPECT_THAT(text, Not(HasSubstr("LAID OVER")));
  printed::expect_tidy(printed(c), 5.0);
}

}  // namespace
}  // namespace bight::papers
