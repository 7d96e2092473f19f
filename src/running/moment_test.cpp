#include "running/moment.h"

#include <gtest/gtest.h>

namespace bight::running {
namespace {

// Unix times of these moments from the date program of GNU coreutils.
TEST(Moment, IsMillisecondsSince1970) {
  EXPECT_EQ(parse_moment("1970-01-01T00:00:00Z")->since_1970_ms, 0);
  EXPECT_EQ(parse_moment("2000-02-29T12:34:56.7Z")->since_1970_ms, 951'827'696'700);
  EXPECT_EQ(parse_moment("2026-11-28T22:01:07.250Z")->since_1970_ms, 1'795'903'267'250);
}

TEST(Moment, PrintedReadsBack) {
  for (const std::int64_t ms :
       {0LL, 951'827'696'700LL, 1'795'903'267'250LL, 253'402'300'799'999LL}) {
    const std::string text = print_moment({ms});
    ASSERT_TRUE(parse_moment(text).ok()) << text;
    EXPECT_EQ(parse_moment(text)->since_1970_ms, ms);
  }
  EXPECT_EQ(print_moment({1'795'903'267'250}), "2026-11-28T22:01:07.250Z");
}

TEST(Moment, RefusesWhatIsNoTime) {
  for (const char* text :
       {"", "2026-11-28", "2026-11-28T22:01:07", "2026-02-29T22:01:07Z", "2026-11-28T24:00:00Z",
        "2026-11-28T22:01:60Z", "2026-11-28 22:01:07Z", "2026-11-28T22:01:07.1234Z",
        "2026-11-28T22:01:07.Z", "2026-11-28T22:01:07+02:00", "1969-12-31T23:59:59Z",
        "2026-1a-28T22:01:07Z", "2026-11-28T22:01:07x5Z"}) {
    const auto moment = parse_moment(text);
    ASSERT_FALSE(moment.ok()) << text;
    EXPECT_EQ(moment.failure().code, "run.time");
  }
}

}  // namespace
}  // namespace bight::running
