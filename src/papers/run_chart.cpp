#include "papers/run_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "papers/ruled.h"

namespace bight::papers {

namespace {

using running::StepWatch;

constexpr double kChartMargin_mm = 8.0;
constexpr double kScale_mm = 16.0;  // left of the plot for its numbers
constexpr double kWords_mm = 26.0;

// From pieces and degrees to paper.
struct Plot {
  Box box;
  double first, last, low, high;  // pieces and degrees at the edges

  Point at(double piece, double value) const {
    const double x_ratio = last > first ? (piece - first) / (last - first) : 0.5;
    return {box.x_mm + x_ratio * box.width_mm,
            box.bottom_mm() - (value - low) / (high - low) * box.height_mm};
  }
};

// A step of 1, 2 or 5 times a power of ten that parts the span into four to ten.
double scale_step(double span) {
  const double power = std::pow(10.0, std::floor(std::log10(span / 4.0)));
  for (const double factor : {5.0, 2.0}) {
    if (span / (factor * power) >= 4.0) return factor * power;
  }
  return power;
}

void draw_scale(Canvas& canvas, const Plot& plot) {
  const double step = scale_step(plot.high - plot.low);
  const int decimals = step < 0.1 ? 2 : step < 1.0 ? 1 : 0;
  for (double value = std::ceil(plot.low / step) * step; value <= plot.high + 1e-9; value += step) {
    const Point left = plot.at(plot.first, value);
    canvas.stroke(std::vector<Point>{{plot.box.x_mm, left.y_mm}, {plot.box.right_mm(), left.y_mm}},
                  false, {kThin_mm, 0.85});
    const double shown = std::abs(value) < step / 2.0 ? 0.0 : value;
    text_in(canvas, {plot.box.x_mm - kScale_mm, left.y_mm - 2.0, kScale_mm - 1.5, 4.0},
            fmt::format("{:.{}f}", shown, decimals), {kSmall_pt, false, Align::kRight}, 6.0);
  }
  frame(canvas, plot.box, kThin_mm);
}

void across(Canvas& canvas, const Plot& plot, double value, const Pen& pen) {
  if (value < plot.low || value > plot.high) return;
  const double y_mm = plot.at(plot.first, value).y_mm;
  canvas.stroke(std::vector<Point>{{plot.box.x_mm, y_mm}, {plot.box.right_mm(), y_mm}}, false, pen);
}

void curve(Canvas& canvas, const Plot& plot, const StepWatch& watch,
           const std::vector<double>& values, const Pen& pen) {
  std::vector<Point> points;
  for (std::size_t i = 0; i < values.size(); ++i) {
    points.push_back(plot.at(watch.readings[i].piece, values[i]));
  }
  if (points.size() > 1) canvas.stroke(points, false, pen);
}

bool signalled(const StepWatch& watch, std::size_t index) {
  return std::any_of(watch.signals.begin(), watch.signals.end(),
                     [&](const running::Signal& signal) { return signal.at == index; });
}

// Everything that must be seen lies within.
Plot readings_plot(const StepWatch& watch, const ChartWords& words, const Box& box) {
  double far = words.tolerance_deg.value_or(0.05);
  for (const running::WatchedReading& reading : watch.readings) {
    far = std::max(far, std::abs(reading.off_deg));
  }
  if (watch.individuals) far = std::max(far, watch.individuals->upper);
  return {box, watch.readings.front().piece - 0.5, watch.readings.back().piece + 0.5, -1.1 * far,
          1.1 * far};
}

void draw_readings(Canvas& canvas, const StepWatch& watch, const ChartWords& words,
                   const Plot& plot) {
  draw_scale(canvas, plot);
  across(canvas, plot, 0.0, {kRule_mm, 0.4});
  if (words.tolerance_deg) {
    for (const double side : {-1.0, 1.0}) {
      across(canvas, plot, side * *words.tolerance_deg, {kHeavy_mm, 0.0});
    }
  }
  if (watch.individuals) {
    across(canvas, plot, watch.individuals->upper, {kRule_mm, 0.2, Dash::kShort});
    across(canvas, plot, watch.individuals->lower, {kRule_mm, 0.2, Dash::kShort});
  }
  if (watch.ewma) {
    curve(canvas, plot, watch, watch.ewma->upper, {kThin_mm, 0.5, Dash::kCentreline});
    curve(canvas, plot, watch, watch.ewma->lower, {kThin_mm, 0.5, Dash::kCentreline});
    curve(canvas, plot, watch, watch.ewma->smoothed, {0.6, 0.35});
  }
  const std::size_t every = watch.readings.size() / 24 + 1;
  for (std::size_t i = 0; i < watch.readings.size(); ++i) {
    const Point point = plot.at(watch.readings[i].piece, watch.readings[i].off_deg);
    canvas.circle(point, 0.9, std::nullopt, 0.0);
    if (signalled(watch, i)) canvas.circle(point, 2.0, Pen{0.5}, std::nullopt);
    if (i % every == 0) {
      canvas.text({point.x_mm, plot.box.bottom_mm() + 0.4}, std::to_string(watch.readings[i].piece),
                  {kSmall_pt, false, Align::kCentre});
    }
  }
}

void draw_ranges(Canvas& canvas, const StepWatch& watch, const Box& box) {
  double most = watch.individuals->range_upper;
  for (const double range : watch.individuals->ranges) most = std::max(most, range);
  if (!(most > 0.0)) return;
  const Plot plot{box, watch.readings.front().piece - 0.5, watch.readings.back().piece + 0.5, 0.0,
                  1.1 * most};
  draw_scale(canvas, plot);
  across(canvas, plot, watch.individuals->range_mean, {kRule_mm, 0.4});
  across(canvas, plot, watch.individuals->range_upper, {kRule_mm, 0.2, Dash::kShort});
  for (std::size_t i = 0; i < watch.individuals->ranges.size(); ++i) {
    canvas.circle(plot.at(watch.readings[i + 1].piece, watch.individuals->ranges[i]), 0.8,
                  std::nullopt, 0.0);
  }
}

std::string advice_words(const running::Advice& advice) {
  std::string words;
  switch (advice.call) {
    case running::Call::kGoOn:
      words = "Go on.";
      break;
    case running::Call::kReadAgain:
      words = "Read the piece again before believing it.";
      break;
    case running::Call::kAdjust:
      words = "Adjust.";
      break;
    case running::Call::kStop:
      words = "STOP.";
      break;
  }
  std::string why;
  for (const std::string& reason : advice.reasons) why += (why.empty() ? " Why: " : "; ") + reason;
  if (!why.empty()) words += why + ".";
  if (advice.shift_set_deg) {
    words += fmt::format(" Add {:+.2f}° to the set angle.", *advice.shift_set_deg);
  }
  if (advice.suspects) {
    words +=
        fmt::format(" Measure pieces {} to {}.", advice.suspects->first, advice.suspects->second);
  }
  return words + fmt::format(" Measure next: piece {}.", advice.measure_piece);
}

std::string capability_words(const running::Capability& capability) {
  const auto index = [](const char* name, const std::optional<running::Index>& value) {
    return value ? fmt::format("{} {:.2f} ({:.2f} to {:.2f})  ", name, value->value,
                               value->interval.low, value->interval.high)
                 : std::string();
  };
  return fmt::format("{} readings, mean {:+.3f}°, sigma {:.3f}°.  ", capability.count,
                     capability.mean, capability.sigma_overall) +
         index("Cp", capability.cp) + index("Cpk", capability.cpk) + index("Ppk", capability.ppk) +
         fmt::format("with {:.0f} % intervals", 100 * capability.share_ratio);
}

}  // namespace

void draw_run_chart(const StepWatch& watch, const ChartWords& words, Canvas& canvas) {
  const Box inside = Box{0, 0, canvas.width_mm(), canvas.height_mm()}.inset(kChartMargin_mm);
  title_bar(canvas, {inside.x_mm, inside.y_mm, inside.width_mm, kTitleBar_mm},
            fmt::format("{}  ·  step {}  ·  from piece {}  ·  {}", words.title, watch.step,
                        watch.from_piece, words.date));
  const double top_mm = inside.y_mm + kTitleBar_mm + 6.0;
  const double bottom_mm = inside.bottom_mm() - kWords_mm;
  const bool ranges = watch.individuals && watch.readings.size() > 2;
  const double height_mm = bottom_mm - top_mm;
  const Box upper{inside.x_mm + kScale_mm, top_mm, inside.width_mm - kScale_mm - 2.0,
                  ranges ? height_mm * 0.62 : height_mm};
  canvas.text({inside.x_mm, top_mm - 4.6},
              "degrees off target: dots readings, line smoothed, dashes limits, heavy tolerance",
              {kSmall_pt});
  if (watch.readings.empty()) {
    frame(canvas, upper, kThin_mm);
    text_in(canvas, upper, "nothing measured yet", {13.0, false, Align::kCentre});
  } else {
    draw_readings(canvas, watch, words, readings_plot(watch, words, upper));
  }
  if (ranges) {
    const double lower_mm = upper.bottom_mm() + 9.0;
    canvas.text({inside.x_mm, lower_mm - 4.4}, "moving range, degrees", {kSmall_pt});
    draw_ranges(canvas, watch,
                {upper.x_mm, lower_mm, upper.width_mm, std::max(8.0, bottom_mm - lower_mm)});
  }
  double y_mm = bottom_mm + 5.0;
  TextStyle style{10.5, true};
  style.wrap_mm = inside.width_mm;
  const std::string advice = advice_words(watch.advice);
  canvas.text({inside.x_mm, y_mm}, advice, style);
  y_mm += text_height_mm(canvas, advice, style, inside.width_mm) + 1.0;
  if (watch.capability) {
    TextStyle small{kBody_pt};
    small.wrap_mm = inside.width_mm;
    canvas.text({inside.x_mm, y_mm}, capability_words(*watch.capability), small);
  }
}

base::Result<std::vector<std::string>> run_chart_files(const StepWatch& watch,
                                                       const ChartWords& words, Format format) {
  CanvasOptions paper;
  paper.format = format;
  paper.width_mm = 210.0;
  paper.height_mm = 148.0;
  paper.title = "Run chart: " + words.title;
  BIGHT_TRY(const std::unique_ptr<Canvas> canvas, open_canvas(paper));
  draw_run_chart(watch, words, *canvas);
  return canvas->finish();
}

}  // namespace bight::papers
