#include "papers/sheet.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"
#include "papers/wording.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

SheetOptions options_of(Paper paper, bool inch = false, bool fraction = false) {
  SheetOptions options;
  options.paper = paper;
  options.date = "12 May 2025";
  if (inch) {
    options.length.unit = base::LengthUnit::kInch;
    options.length.decimals = 3;
    if (fraction) options.length.form = base::LengthStyle::Form::kFraction;
  }
  return options;
}

std::string pdf_of(const planning::Plan& plan, const SheetOptions& options) {
  auto files = sheet_files(plan, options, Format::kPdf);
  EXPECT_TRUE(files.ok());
  return files->front();
}

struct Case {
  std::string name;
  planning::Plan plan;
  SheetOptions options;
};

std::vector<Case> all_cases() {
  std::vector<Case> cases;
  for (auto& [name, plan] : sample::all()) {
    cases.push_back({name + " A4 mm", plan, options_of(Paper::kA4)});
    cases.push_back({name + " letter mm", plan, options_of(Paper::kLetter)});
    cases.push_back({name + " letter inch", plan, options_of(Paper::kLetter, true)});
    cases.push_back({name + " A4 fractions", plan, options_of(Paper::kA4, true, true)});
  }
  return cases;
}

// Every number of the plan is on the sheet, in each unit and on each paper.
TEST(Sheet, EveryNumberIsPrinted) {
  for (const Case& c : all_cases()) {
    SCOPED_TRACE(c.name);
    const std::string text = printed::flowing_text_of(pdf_of(c.plan, c.options));
    const Wording w(c.options.length, c.plan.bender->angle_step);
    std::vector<std::string> wanted{std::to_string(c.plan.part.quantity), c.options.date,
                                    c.plan.part.revision, w.size(c.plan.part.section.wall_mm()),
                                    w.angle(c.plan.bent_table.total_bend())};
    if (c.plan.blank.cut.likely_mm > 0.0) {
      wanted.push_back(w.length_with_unit(c.plan.blank.cut.likely_mm));
      wanted.push_back(w.band(c.plan.blank.cut));
      wanted.push_back("grip " + w.length(c.plan.blank.grip_front_mm));
      wanted.push_back("grip " + w.length(c.plan.blank.grip_back_mm));
      wanted.push_back(w.mass(c.plan.mass_kg));
    }
    for (const planning::Step& step : c.plan.steps) {
      for (const std::string& number :
           {w.length(step.mark_mm), "from B " + w.length(step.mark_from_b_mm),
            w.length(step.arc_mm), w.length(step.straight_mm), w.signed_angle(step.rotation),
            w.angle(step.wheel), w.angle(step.angle), w.set_angle(step.set_angle.likely),
            w.set_band(step.set_angle), w.torque(step.torque_nmm)}) {
        wanted.push_back(number);
      }
      if (step.die_mark_mm) wanted.push_back("die line " + w.length(*step.die_mark_mm));
    }
    for (const auto& check : c.plan.checks) wanted.push_back(w.length(check.value_mm));
    for (const auto& used : c.plan.dies) {
      wanted.push_back("die R " + w.size(used.die.radius_mm));
      wanted.push_back("part R " + w.size(used.radius_after_release_mm));
      wanted.push_back(w.fine_angle(used.law.constant));
    }
    if (c.plan.seam) wanted.push_back(c.plan.seam->text);
    for (const std::string& number : wanted) {
      EXPECT_THAT(text, HasSubstr(number));
    }
  }
}

// No word leaves the paper's margin, none covers another; fonts travel with the file.
TEST(Sheet, TidyAndEmbedded) {
  for (const Case& c : all_cases()) {
    SCOPED_TRACE(c.name);
    const std::string pdf = pdf_of(c.plan, c.options);
    printed::expect_tidy(pdf, 5.0);
    // Columns of pdffonts: name, type, encoding, emb, sub, uni.
    const std::string fonts = printed::fonts_of(pdf);
    EXPECT_THAT(fonts, HasSubstr("NotoSans-Bold"));
    std::size_t num_fonts = 0;
    std::size_t num_embedded = 0;
    const std::regex row(R"(\n\S+\+\S+ .*? (yes|no) +(yes|no) +(yes|no))");
    for (std::sregex_iterator it(fonts.begin(), fonts.end(), row), end; it != end; ++it) {
      ++num_fonts;
      num_embedded += (*it)[1] == "yes" ? 1U : 0U;
    }
    EXPECT_GE(num_fonts, 2u);
    EXPECT_EQ(num_embedded, num_fonts);
  }
}

// The words of a page, from the PDF reader.
std::string page_text(const std::string& pdf, int page) {
  const std::string n = std::to_string(page);
  return printed::with_pdf(pdf, "pdftotext -layout -f " + n + " -l " + n, "-");
}

// One page for a few bends, a second only for many; each says which of how many it is, and its
// paper is the one asked for (ISO 216 A4 210 x 297 mm; US Letter 8.5 x 11 in).
TEST(Sheet, PagesAndPaper) {
  for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
    for (const planning::Plan& plan : {sample::three_d(), sample::planar_u(), sample::stopped()}) {
      EXPECT_EQ(printed::num_pages(pdf_of(plan, options_of(paper))), 1) << plan.part.name;
    }
    EXPECT_EQ(printed::num_pages(pdf_of(sample::twelve_bends(), options_of(paper))), 2);
  }
  const std::string a4 = pdf_of(sample::twelve_bends(), options_of(Paper::kA4));
  EXPECT_THAT(printed::info_of(a4), HasSubstr("595.276 x 841.89 pts (A4)"));
  EXPECT_THAT(page_text(a4, 1), HasSubstr("page 1 of 2"));
  EXPECT_THAT(page_text(a4, 2), HasSubstr("page 2 of 2"));
  EXPECT_THAT(page_text(a4, 2), HasSubstr("Manifold runner 4"));
  EXPECT_THAT(printed::info_of(pdf_of(sample::three_d(), options_of(Paper::kLetter))),
              HasSubstr("612 x 792 pts (letter)"));
}

// Where the findings do not fit in front, the front says what stands overleaf and carries what must
// be seen to before the first bend.
TEST(Sheet, FindingsOverleafAreAnnounced) {
  planning::Plan plan = sample::three_d();
  for (int i = 0; i < 8; ++i) {
    plan.checks.push_back(
        {fmt::format("bend {}: across, 300.0 mm along each outside edge", i), 400.0 + i});
  }
  const std::string pdf = pdf_of(plan, options_of(Paper::kLetter));
  ASSERT_EQ(printed::num_pages(pdf), 2);
  const std::string front = page_text(pdf, 1);
  EXPECT_THAT(front, HasSubstr("On the next page: 0 stops, 1 caution, 1 note"));
  EXPECT_THAT(front, HasSubstr("Emergency stop tried"));
  EXPECT_THAT(page_text(pdf, 2), HasSubstr("FINDINGS"));
  EXPECT_THAT(page_text(pdf, 2), Not(HasSubstr("Emergency stop tried")));
  printed::expect_tidy(pdf, 5.0);
}

// Check totals, worked out here by hand: 340 + 182 + 260.5 + 190.7 = 973.2 and
// 90 + 45 + 60.2 = 195.2; set by 1.04 + 1.038 x angle, each as it is printed, 94.5 + 47.8 + 63.5 =
// 205.8.
TEST(Sheet, CheckTotals) {
  const std::string text =
      printed::flowing_text_of(pdf_of(sample::three_d(), options_of(Paper::kA4)));
  EXPECT_THAT(text, HasSubstr("4 straights 973.2 mm"));
  EXPECT_THAT(text, HasSubstr("3 bend angles 195.2° wanted, 205.8° set"));
}

// A plan with stops says so in large letters on every page, and is not released.
TEST(Sheet, StoppedOnEveryPage) {
  planning::Plan plan = sample::twelve_bends();
  plan.findings.push_back(
      {part::Severity::kStop, "plan.no-die", 3, "No die takes bend 3.", "Another radius.", ""});
  const std::string pdf = pdf_of(plan, options_of(Paper::kA4));
  for (int page = 1; page <= printed::num_pages(pdf); ++page) {
    EXPECT_THAT(page_text(pdf, page), HasSubstr("DO NOT BEND FROM THIS SHEET"));
  }
  EXPECT_THAT(printed::text_of(pdf), Not(HasSubstr("Released to run by")));
  EXPECT_THAT(printed::text_of(pdf_of(sample::three_d(), options_of(Paper::kA4))),
              Not(HasSubstr("DO NOT BEND")));
}

// Forty bends, thirty findings and checks with long words still come out whole, in order.
TEST(Sheet, VeryLong) {
  planning::Plan plan = sample::twelve_bends();
  const auto steps = plan.steps;
  while (plan.steps.size() < 40) plan.steps.push_back(steps[plan.steps.size() % steps.size()]);
  for (int i = 0; i < 30; ++i) {
    plan.findings.push_back({part::Severity::kCaution, "plan.torque", 2,
                             fmt::format("Finding number {} says something at length about what "
                                         "the bender is asked to do.",
                                         i),
                             "Do something about it.", "common practice, no source"});
    plan.checks.push_back({fmt::format("Check number {} from one place to another", i), 100.0 + i});
  }
  const std::string pdf = pdf_of(plan, options_of(Paper::kLetter));
  EXPECT_GT(printed::num_pages(pdf), 3);
  printed::expect_tidy(pdf, 5.0);
  const std::string text = printed::flowing_text_of(pdf);
  for (int i = 0; i < 30; ++i) {
    EXPECT_THAT(text, HasSubstr(fmt::format("Finding number {} ", i)));
    EXPECT_THAT(text, HasSubstr(fmt::format("Check number {} ", i)));
  }
  EXPECT_THAT(text, HasSubstr("on the next page"));
  EXPECT_THAT(text, HasSubstr("continued"));
}

// Rows that go on overleaf are announced at the foot of the page they leave.
TEST(Sheet, AnnouncesNextPage) {
  planning::Plan plan = sample::twelve_bends();
  const auto steps = plan.steps;
  plan.steps.insert(plan.steps.end(), steps.begin(), steps.end());
  const std::string pdf = pdf_of(plan, options_of(Paper::kLetter));
  EXPECT_THAT(page_text(pdf, 1), ::testing::ContainsRegex("Steps 1[0-9] to 24 on the next page"));
  EXPECT_THAT(page_text(pdf, 2), Not(HasSubstr("on the next page")));
}

// The same plan prints the same bytes.
TEST(Sheet, SameBytes) {
  EXPECT_EQ(pdf_of(sample::three_d(), options_of(Paper::kA4)),
            pdf_of(sample::three_d(), options_of(Paper::kA4)));
}

// Files: the ending says the format, later pages stand beside the first.
TEST(Sheet, WritesFiles) {
  const auto options = options_of(Paper::kA4);
  const printed::TestFile pdf(".pdf");
  ASSERT_TRUE(write_sheet(sample::three_d(), options, pdf.path()).ok());
  EXPECT_GT(std::filesystem::file_size(pdf.path()), 10000u);
  for (const std::string ending : {".svg", ".png"}) {
    const printed::TestFile file(ending);
    ASSERT_TRUE(write_sheet(sample::twelve_bends(), options, file.path()).ok());
    const std::string stem = file.path().substr(0, file.path().size() - 4);
    EXPECT_GT(std::filesystem::file_size(file.path()), 10000u);
    EXPECT_TRUE(std::filesystem::remove(stem + "-2" + ending));
    EXPECT_FALSE(std::filesystem::exists(stem + "-3" + ending));
  }
}

// What cannot be written is said in words.
TEST(Sheet, RefusesToWrite) {
  const auto options = options_of(Paper::kA4);
  for (const std::string path : {"sheet.docx", "sheet", "sheet.pdf.txt"}) {
    const auto status = write_sheet(sample::three_d(), options, path);
    ASSERT_FALSE(status.ok());
    EXPECT_EQ(status.failure().code, "papers.format");
  }
  const auto status = write_sheet(sample::three_d(), options, "/no/such/folder/sheet.pdf");
  ASSERT_FALSE(status.ok());
  EXPECT_EQ(status.failure().code, "papers.write");
}

}  // namespace
}  // namespace bight::papers
