#include "exchange/check_document.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "exchange/fields.h"
#include "exchange/json_numbers.h"

namespace bight::exchange {

using base::Angle;
using base::Result;
using nlohmann::ordered_json;
using running::CheckedValue;
using running::CheckLimits;
using running::MachineCheck;
using running::ScaleReading;

namespace {

constexpr std::size_t kMostChecks = 500;
constexpr std::size_t kMostReadings = 200;

// S = a + b · set: what a finished angle was under load.
struct PutBack {
  Angle constant;
  double proportional_ratio = 0.0;
  Angle loaded(Angle finished) const {
    return (finished + constant) * (1.0 / (1.0 - proportional_ratio));
  }
};

Angle angle_within(Fields& f, const char* key, double low_deg, double high_deg) {
  const Angle angle = f.need_angle(key);
  if (f.status().ok() && !(angle.deg() >= low_deg && angle.deg() <= high_deg)) {
    f.complain(key, "check.reading", "no bender does this", "an angle as read at the machine");
  }
  return angle;
}

ScaleReading bend_of(Fields& f, const std::optional<PutBack>& springback) {
  ScaleReading reading;
  reading.keyed = angle_within(f, "set", 0.0, 360.0);
  const bool finished = f.has("finished");
  if (finished == f.has("loaded")) {
    f.complain("loaded", "check.reading", "exactly one of loaded and finished is needed",
               "loaded: read at the arm under load; finished: after release");
    return reading;
  }
  reading.done = angle_within(f, finished ? "finished" : "loaded", 0.0, 360.0);
  if (!finished) return reading;
  if (springback) {
    reading.done = springback->loaded(reading.done);
  } else {
    f.complain("finished", "check.springback", "a finished angle has lost its springback",
               "give springback = { a = …, b = … } of this tube and die, or read the arm under "
               "load");
  }
  return reading;
}

ScaleReading turn_of(Fields& f) {
  ScaleReading reading;
  reading.keyed = angle_within(f, "set", -360.0, 360.0);
  reading.done = angle_within(f, "turned", -360.0, 360.0);
  return reading;
}

template <typename ReadOne>
std::vector<ScaleReading> readings_of(Fields& f, const char* key, ReadOne read_one) {
  std::vector<ScaleReading> out;
  if (f.count(key) > kMostReadings) {
    f.complain(key, "check.reading", "these are too many readings for one check", "at most 200");
    return out;
  }
  for (Fields& row : f.tables(key)) {
    out.push_back(read_one(row));
    row.no_others();
    f.adopt(row);
  }
  return out;
}

running::Moment day_of(Fields& f) {
  const std::string text = f.need_text("date");
  const Result<running::Moment> day = running::parse_moment(text + "T00:00:00Z");
  if (day.ok()) return *day;
  if (f.status().ok()) {
    f.complain("date", "check.date", "\"" + text + "\" is no day", "as 2026-05-20");
  }
  return {};
}

MachineCheck check_of(Fields& f) {
  MachineCheck check;
  check.at = day_of(f);
  check.who = f.text("who").value_or("");
  check.error = f.angle("angle_error").value_or(check.error);
  check.slip_error_mm = f.length_mm("slip_error").value_or(check.slip_error_mm);
  std::optional<PutBack> springback;
  if (std::optional<Fields> law = f.table("springback")) {
    springback = PutBack{law->need_angle("a"), law->number("b").value_or(0.0)};
    if (!(springback->proportional_ratio > -0.5 && springback->proportional_ratio < 0.9)) {
      law->complain("b", "check.springback", "no tube springs back like this",
                    "the share of the set angle that is lost");
      springback->proportional_ratio = 0.0;
    }
    law->no_others();
    f.adopt(*law);
  }
  check.bends = readings_of(f, "bends", [&](Fields& row) { return bend_of(row, springback); });
  check.rotations = readings_of(f, "turns", turn_of);
  check.slips_mm = f.lengths_mm("slips").value_or(std::vector<double>{});
  const bool nothing = check.bends.empty() && check.rotations.empty() && check.slips_mm.empty();
  if (nothing && f.status().ok()) {
    f.complain("bends", "check.nothing", "nothing was read at the machine",
               "give bends, turns or slips");
  }
  const bool errors = check.error > Angle() && check.slip_error_mm > 0.0;
  if (!errors && f.status().ok()) {
    f.complain("angle_error", "check.reading", "an error is above 0", "what the gauge is good to");
  }
  return check;
}

CheckLimits limits_of(Fields& f) {
  CheckLimits limits;
  limits.zero = f.angle("zero").value_or(limits.zero);
  limits.scale_ratio = f.number("scale_percent").value_or(100.0 * limits.scale_ratio) / 100.0;
  limits.slip_mm = f.length_mm("slip").value_or(limits.slip_mm);
  if (!(limits.zero > Angle() && limits.scale_ratio > 0.0 && limits.slip_mm > 0.0)) {
    f.complain("zero", "check.reading", "a limit is above 0", "how far it may be off");
  }
  f.no_others();
  return limits;
}

ordered_json value_json(const CheckedValue& value) {
  return {{"value", tidy(value.value)},
          {"low", tidy(value.interval.low)},
          {"high", tidy(value.interval.high)},
          {"limit", tidy(value.limit)},
          {"fitness", running::word(value.fitness)},
          {"readings", value.count}};
}

ordered_json scale_json(const std::optional<running::ScaleCheck>& check) {
  if (!check) return nullptr;
  return {{"zero_deg", value_json(check->zero_deg)},
          {"scale", check->scale_ratio ? value_json(*check->scale_ratio) : ordered_json(nullptr)},
          {"scatter_deg", tidy(check->scatter_deg)},
          {"scatter_of", check->from_gauge ? "gauge" : "readings"}};
}

}  // namespace

Result<CheckLog> read_check_log(const Document& document) {
  Fields top(document);
  BIGHT_TRY(const base::Done rules, read_rules(top, "check.schema"));
  static_cast<void>(rules);
  CheckLog log;
  log.bender = top.text("bender").value_or("");
  if (std::optional<Fields> limits = top.table("limits")) {
    log.limits = limits_of(*limits);
    top.adopt(*limits);
  }
  if (top.count("check") > kMostChecks) {
    top.complain("check", "check.reading", "these are too many checks", "at most 500; begin anew");
  } else {
    for (Fields& f : top.tables("check")) {
      log.checks.push_back(check_of(f));
      f.no_others();
      top.adopt(f);
    }
  }
  top.no_others();
  if (log.checks.empty() && top.status().ok()) {
    top.complain("check", "check.nothing", "the log holds no check", "add a [[check]]");
  }
  BIGHT_TRY(const base::Done read, top.status());
  static_cast<void>(read);
  std::stable_sort(log.checks.begin(), log.checks.end(),
                   [](const MachineCheck& a, const MachineCheck& b) { return a.at < b.at; });
  return log;
}

ordered_json check_json(const std::string& bender, const std::vector<running::CheckResult>& results,
                        const std::vector<running::CheckTrend>& trends) {
  ordered_json json = {{"schema", 1}, {"bender", bender}, {"confidence", 0.9}};
  json["checks"] = ordered_json::array();
  for (const running::CheckResult& result : results) {
    json["checks"].push_back(
        {{"date", running::print_moment(result.at).substr(0, 10)},
         {"who", result.who},
         {"fitness", running::word(result.fitness)},
         {"angle", scale_json(result.angle)},
         {"rotation", scale_json(result.rotation)},
         {"slip_mm", result.slip_mm ? value_json(*result.slip_mm) : ordered_json(nullptr)}});
  }
  json["trends"] = ordered_json::array();
  for (const running::CheckTrend& trend : trends) {
    json["trends"].push_back({{"what", trend.what},
                              {"unit", trend.unit},
                              {"per_month", tidy(trend.per_month)},
                              {"low", tidy(trend.interval.low)},
                              {"high", tidy(trend.interval.high)},
                              {"days_left", trend.days_left ? ordered_json(tidy(*trend.days_left))
                                                            : ordered_json(nullptr)},
                              {"checks", trend.count}});
  }
  return json;
}

}  // namespace bight::exchange
