#include "papers/run_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "running/sample_run_test_util.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;

running::StepWatch watch_of(const std::vector<double>& offs_deg) {
  running::Run run = running::two_bend_run(20);
  std::vector<running::Event> events;
  int piece = 0;
  for (const double off_deg : offs_deg) {
    ++piece;
    events.push_back(running::event("k" + std::to_string(piece), piece,
                                    running::read_hit(piece, 1, 94.6, 90.0 + off_deg)));
  }
  EXPECT_TRUE(running::take_events(run, events).ok());
  return *running::watch_step(run, running::state_of(run), 1, {});
}

std::string printed_chart(const running::StepWatch& watch) {
  const auto files = run_chart_files(watch, {"Pulpit rail", "12 May 2025", 0.5}, Format::kPdf);
  EXPECT_TRUE(files.ok());
  return printed::flowing_text_of(files->front());
}

TEST(RunChart, SaysWhatToDoAndHowWellTheToleranceIsKept) {
  const std::string text = printed_chart(watch_of({0.05, -0.04, 0.06, -0.05, 0.03, 0.7}));
  for (const char* words :
       {"Pulpit rail", "step 1", "STOP.", "Measure pieces 6 to 6.", "Ppk", "moving range"}) {
    EXPECT_THAT(text, HasSubstr(words));
  }
}

TEST(RunChart, DrawsWithNothingOrOneOrEqualReadings) {
  EXPECT_THAT(printed_chart(watch_of({})), HasSubstr("nothing measured yet"));
  EXPECT_THAT(printed_chart(watch_of({0.1})), HasSubstr("Measure next: piece 2."));
  EXPECT_THAT(printed_chart(watch_of({0.0, 0.0, 0.0, 0.0})), HasSubstr("Go on."));
}

}  // namespace
}  // namespace bight::papers
