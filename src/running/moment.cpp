#include "running/moment.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

namespace bight::running {

namespace {

using std::chrono::day;
using std::chrono::month;
using std::chrono::sys_days;
using std::chrono::year;
using std::chrono::year_month_day;

base::Failure no_time(std::string_view text) {
  return {"run.time", "", fmt::format("\"{}\" is not a time", text.substr(0, 40)),
          "date and time in UTC, as 2026-01-31T14:05:09.250Z"};
}

// The digits at this place as a number; -1 where something else stands.
int digits_at(std::string_view text, std::size_t at, std::size_t count) {
  if (text.size() < at + count) return -1;
  int value = 0;
  for (const char c : text.substr(at, count)) {
    if (c < '0' || c > '9') return -1;
    value = 10 * value + (c - '0');
  }
  return value;
}

// ".25" is 250 ms; -1 when it is no fraction of at most three digits.
int fraction_ms(std::string_view text) {
  if (text.empty()) return 0;
  if (text.front() != '.' || text.size() < 2 || text.size() > 4) return -1;
  int value_ms = digits_at(text, 1, text.size() - 1);
  for (std::size_t i = text.size(); value_ms >= 0 && i < 4; ++i) value_ms *= 10;
  return value_ms;
}

}  // namespace

base::Result<Moment> parse_moment(std::string_view text) {
  if (text.size() < 20 || text[4] != '-' || text[7] != '-' || text[10] != 'T' || text[13] != ':' ||
      text[16] != ':' || text.back() != 'Z') {
    return no_time(text);
  }
  const int years = digits_at(text, 0, 4);
  const int months = digits_at(text, 5, 2);
  const int days = digits_at(text, 8, 2);
  const int hours = digits_at(text, 11, 2);
  const int minutes = digits_at(text, 14, 2);
  const int seconds = digits_at(text, 17, 2);
  const int thousandths = fraction_ms(text.substr(19, text.size() - 20));
  if (std::min({months, days, hours, minutes, seconds, thousandths}) < 0) return no_time(text);
  const year_month_day date{year{years}, month{static_cast<unsigned>(months)},
                            day{static_cast<unsigned>(days)}};
  if (years < 1970 || !date.ok() || hours > 23 || minutes > 59 || seconds > 59) {
    return no_time(text);
  }
  const std::int64_t since_days = sys_days(date).time_since_epoch().count();
  return Moment{((since_days * 24 + hours) * 60 + minutes) * 60'000 + seconds * 1000 + thousandths};
}

std::string print_moment(Moment moment) {
  const std::int64_t day_ms = 86'400'000;
  const sys_days date{std::chrono::days{static_cast<int>(moment.since_1970_ms / day_ms)}};
  const year_month_day parts{date};
  const std::int64_t rest_ms = moment.since_1970_ms % day_ms;
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(parts.year()),
                     static_cast<unsigned>(parts.month()), static_cast<unsigned>(parts.day()),
                     rest_ms / 3'600'000, rest_ms / 60'000 % 60, rest_ms / 1000 % 60,
                     rest_ms % 1000);
}

}  // namespace bight::running
