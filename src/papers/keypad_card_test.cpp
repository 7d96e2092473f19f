#include "papers/keypad_card.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;

std::string printed_card(const planning::Plan& plan, Paper paper) {
  planning::KeypadProfile profile = planning::usual_keypad(*plan.bender);
  profile.note = "the sign key comes after the number";
  const auto table = planning::keypad_table(plan, profile);
  EXPECT_TRUE(table.ok());
  SheetOptions options;
  options.paper = paper;
  options.date = "12 May 2025";
  const auto files =
      keypad_card_files(plan, *table, planning::checklist_of(plan), options, Format::kPdf);
  EXPECT_TRUE(files.ok());
  return printed::flowing_text_of(files->front());
}

// Every typed number, total and line of the checklist stands on the paper.
TEST(KeypadCard, EverythingIsPrinted) {
  for (const auto& [name, plan] : sample::all()) {
    if (plan.steps.empty() || !plan.bender) continue;
    SCOPED_TRACE(name);
    for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
      const std::string text = printed_card(plan, paper);
      const auto table = planning::keypad_table(plan, planning::usual_keypad(*plan.bender));
      for (const planning::KeypadRow& row : table->rows) {
        for (const planning::KeypadCell& cell : row.cells) EXPECT_THAT(text, HasSubstr(cell.text));
      }
      for (const std::string& total : table->totals) EXPECT_THAT(text, HasSubstr(total));
      for (const char* words : {"read back", "12 May 2025", "Emergency stop", "certifies nothing",
                                "the sign key comes after the number"}) {
        EXPECT_THAT(text, HasSubstr(words));
      }
    }
  }
}

}  // namespace
}  // namespace bight::papers
