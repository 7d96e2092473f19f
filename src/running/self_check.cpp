#include "running/self_check.h"

#include <algorithm>
#include <cmath>

#include "base/quantiles.h"
#include "learning/least_squares.h"

namespace bight::running {

using base::Failure;
using base::Result;

namespace {

constexpr double kShare_ratio = 0.9;     // of the intervals
constexpr double kErrorQuantile = 1.96;  // an error is given for 95 of 100 readings
constexpr double kDay_ms = 86'400'000.0;
constexpr double kMonth_days = 30.0;

Fitness worse(Fitness a, Fitness b) {
  const auto rank = [](Fitness f) { return f == Fitness::kOff ? 2 : f == Fitness::kOpen ? 1 : 0; };
  return rank(a) >= rank(b) ? a : b;
}

CheckedValue judged(double value, double half, double limit, std::size_t count) {
  CheckedValue out{value, {value - half, value + half}, limit, Fitness::kOpen, count};
  if (out.interval.low >= -limit && out.interval.high <= limit) out.fitness = Fitness::kGood;
  if (out.interval.low > limit || out.interval.high < -limit) out.fitness = Fitness::kOff;
  return out;
}

// Half width of an interval from a standard error that was worked out with the residuals' sigma.
struct FitSpread {
  double sigma = 0.0;
  bool from_gauge = false;
  double quantile = 0.0;
};

FitSpread spread_of(double residual_sigma, std::size_t freedom, double gauge_sigma) {
  const double tail = 0.5 + kShare_ratio / 2.0;
  if (freedom == 0 || residual_sigma <= gauge_sigma) {
    return {gauge_sigma, true, base::normal_quantile(tail)};
  }
  return {residual_sigma, false, base::student_quantile(tail, static_cast<double>(freedom))};
}

// Inverse of X'X for rows 1, x: the variances of intercept and slope in units of sigma².
struct LineShape {
  double mean = 0.0, squares = 0.0;
};

LineShape shape_of(const std::vector<double>& x) {
  LineShape shape;
  for (const double v : x) shape.mean += v / static_cast<double>(x.size());
  for (const double v : x) shape.squares += (v - shape.mean) * (v - shape.mean);
  return shape;
}

Result<ScaleCheck> check_scale(const std::vector<ScaleReading>& readings, base::Angle error,
                               const CheckLimits& limits) {
  std::vector<double> keyed_deg;
  std::vector<double> off_deg;
  for (const ScaleReading& reading : readings) {
    keyed_deg.push_back(reading.keyed.deg());
    off_deg.push_back((reading.done - reading.keyed).deg());
  }
  const auto [low, high] = std::minmax_element(keyed_deg.begin(), keyed_deg.end());
  const bool line = *high - *low >= kScaleApart_deg;
  std::vector<std::vector<double>> rows;
  for (const double keyed : keyed_deg) {
    rows.push_back(line ? std::vector<double>{1.0, keyed} : std::vector<double>{1.0});
  }
  BIGHT_TRY(const learning::LeastSquaresFit fit, learning::least_squares(rows, off_deg));
  const FitSpread spread = spread_of(fit.residual_sigma, fit.freedom, error.deg() / kErrorQuantile);
  const double count = static_cast<double>(readings.size());
  const double unit = spread.quantile * spread.sigma;
  ScaleCheck out;
  out.scatter_deg = spread.sigma;
  out.from_gauge = spread.from_gauge;
  if (!line) {
    out.zero_deg =
        judged(fit.coefficients[0], unit / std::sqrt(count), limits.zero.deg(), readings.size());
    return out;
  }
  const LineShape shape = shape_of(keyed_deg);
  const double of_zero = std::sqrt(1.0 / count + shape.mean * shape.mean / shape.squares);
  out.zero_deg = judged(fit.coefficients[0], unit * of_zero, limits.zero.deg(), readings.size());
  out.scale_ratio = judged(fit.coefficients[1], unit / std::sqrt(shape.squares), limits.scale_ratio,
                           readings.size());
  return out;
}

CheckedValue check_slip(const std::vector<double>& slips_mm, double error_mm, double limit_mm) {
  const double count = static_cast<double>(slips_mm.size());
  double mean_mm = 0.0;
  for (const double slip : slips_mm) mean_mm += slip / count;
  double squares_mm2 = 0.0;
  for (const double slip : slips_mm) squares_mm2 += (slip - mean_mm) * (slip - mean_mm);
  const std::size_t freedom = slips_mm.size() - 1;
  const double sigma_mm =
      freedom == 0 ? 0.0 : std::sqrt(squares_mm2 / static_cast<double>(freedom));
  const FitSpread spread = spread_of(sigma_mm, freedom, error_mm / kErrorQuantile);
  return judged(mean_mm, spread.quantile * spread.sigma / std::sqrt(count), limit_mm,
                slips_mm.size());
}

base::Status check_numbers(const MachineCheck& check, const CheckLimits& limits) {
  bool fine = true;
  for (const std::vector<ScaleReading>* list : {&check.bends, &check.rotations}) {
    for (const ScaleReading& reading : *list) {
      fine = fine && std::isfinite(reading.keyed.deg()) && std::isfinite(reading.done.deg());
    }
  }
  for (const double slip : check.slips_mm) fine = fine && std::isfinite(slip);
  for (const double size : {check.error.deg(), check.slip_error_mm, limits.zero.deg(),
                            limits.scale_ratio, limits.slip_mm}) {
    fine = fine && std::isfinite(size) && size > 0.0;
  }
  if (fine) return base::Done{};
  return Failure{"check.number", "", "a reading is no number, or an error or limit is not above 0",
                 "give errors and limits above 0"};
}

// The one value of a check that a trend follows.
struct Followed {
  const char* what;
  const char* unit;
  std::optional<CheckedValue> (*of)(const CheckResult&);
};

std::optional<CheckedValue> scale_of(const std::optional<ScaleCheck>& check) {
  return check ? check->scale_ratio : std::nullopt;
}
// Where the scale is not known either, the number is not the zero.
std::optional<CheckedValue> zero_of(const std::optional<ScaleCheck>& check) {
  return check && check->scale_ratio ? std::optional(check->zero_deg) : std::nullopt;
}

constexpr Followed kFollowed[] = {
    {"angle zero", "deg", [](const CheckResult& r) { return zero_of(r.angle); }},
    {"angle scale", "ratio", [](const CheckResult& r) { return scale_of(r.angle); }},
    {"rotation zero", "deg", [](const CheckResult& r) { return zero_of(r.rotation); }},
    {"rotation scale", "ratio", [](const CheckResult& r) { return scale_of(r.rotation); }},
    {"slip", "mm", [](const CheckResult& r) { return r.slip_mm; }}};

std::optional<CheckTrend> check_trend_of(const Followed& followed,
                                         const std::vector<CheckResult>& results) {
  std::vector<double> days;
  std::vector<double> values;
  double limit = 0.0;
  for (const CheckResult& result : results) {
    const std::optional<CheckedValue> value = followed.of(result);
    if (!value) continue;
    days.push_back(static_cast<double>(result.at.since_1970_ms) / kDay_ms);
    values.push_back(value->value);
    limit = value->limit;
  }
  std::vector<double> different = days;
  std::sort(different.begin(), different.end());
  different.erase(std::unique(different.begin(), different.end()), different.end());
  if (different.size() < 3) return std::nullopt;
  const double last_day = different.back();
  std::vector<std::vector<double>> rows;
  for (const double day : days) rows.push_back({1.0, day - last_day});
  const Result<learning::LeastSquaresFit> fit = learning::least_squares(rows, values);
  if (!fit.ok()) return std::nullopt;
  const double slope = fit->coefficients[1];
  const double half =
      base::student_quantile(0.5 + kShare_ratio / 2.0, static_cast<double>(fit->freedom)) *
      fit->standard_errors[1];
  CheckTrend trend{followed.what,
                   followed.unit,
                   slope * kMonth_days,
                   {(slope - half) * kMonth_days, (slope + half) * kMonth_days},
                   {},
                   values.size()};
  const double level = fit->coefficients[0];
  const bool certain = (slope - half) * (slope + half) > 0.0;
  const bool outwards = level * slope >= 0.0;
  if (certain && outwards && std::abs(level) < limit) {
    trend.days_left = (limit - std::abs(level)) / std::abs(slope);
  }
  return trend;
}

}  // namespace

std::string_view word(Fitness fitness) {
  switch (fitness) {
    case Fitness::kGood:
      return "good";
    case Fitness::kOff:
      return "off";
    case Fitness::kOpen:
      return "open";
  }
  return "";
}

Result<CheckResult> check_machine(const MachineCheck& check, const CheckLimits& limits) {
  if (check.bends.empty() && check.rotations.empty() && check.slips_mm.empty()) {
    return Failure{"check.nothing", "", "nothing was read at the machine",
                   "give bends, rotations or slips"};
  }
  BIGHT_TRY(const base::Done numbers, check_numbers(check, limits));
  static_cast<void>(numbers);
  CheckResult out;
  out.at = check.at;
  out.who = check.who;
  const auto take = [&](const std::optional<CheckedValue>& value) {
    if (value) out.fitness = worse(out.fitness, value->fitness);
  };
  for (const bool bends : {true, false}) {
    const std::vector<ScaleReading>& readings = bends ? check.bends : check.rotations;
    if (readings.empty()) continue;
    BIGHT_TRY(const ScaleCheck scale, check_scale(readings, check.error, limits));
    take(scale.zero_deg);
    take(scale.scale_ratio);
    (bends ? out.angle : out.rotation) = scale;
  }
  if (!check.slips_mm.empty()) {
    out.slip_mm = check_slip(check.slips_mm, check.slip_error_mm, limits.slip_mm);
    take(out.slip_mm);
  }
  return out;
}

std::vector<CheckTrend> trends_of(const std::vector<CheckResult>& results) {
  std::vector<CheckTrend> out;
  for (const Followed& followed : kFollowed) {
    if (std::optional<CheckTrend> trend = check_trend_of(followed, results)) {
      out.push_back(std::move(*trend));
    }
  }
  return out;
}

}  // namespace bight::running
