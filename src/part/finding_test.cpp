#include "part/finding.h"

#include <gtest/gtest.h>

namespace bight::part {
namespace {

// What stops the job is read first, then bend by bend.
TEST(Finding, StopsComeFirst) {
  std::vector<Finding> findings = {
      {Severity::kNote, "a", 1, "", "", "", {}},
      {Severity::kStop, "b", 3, "", "", "", {}},
      {Severity::kCaution, "c", std::nullopt, "", "", "", {}},
      {Severity::kStop, "d", 2, "", "", "", {}},
  };
  EXPECT_TRUE(any_stop(findings));
  sort_by_weight(findings);
  EXPECT_EQ(findings[0].code, "d");
  EXPECT_EQ(findings[1].code, "b");
  EXPECT_EQ(findings[2].code, "c");
  EXPECT_EQ(findings[3].code, "a");
  EXPECT_EQ(word(findings[0].severity), "stop");
}

TEST(Finding, NoStopAmongNotes) {
  EXPECT_FALSE(any_stop({{Severity::kCaution, "c", std::nullopt, "", "", "", {}}}));
}

}  // namespace
}  // namespace bight::part
