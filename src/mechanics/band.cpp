#include "mechanics/band.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "mechanics/sobol.h"

namespace bight::mechanics {

namespace {

constexpr std::size_t kOutputs = 9;
constexpr double kDeviations_ratio = 2.0;  // a half-width in standard deviations
constexpr double kTail_ratio = 0.025;      // below and above a 95 % interval
using Point = std::array<double, kCauses>;
using Outputs = std::array<double, kOutputs>;
static_assert(kCauses == kSobolDimensions);

// Sobol points as standard normal numbers (the last coordinate stays even), the same every time.
const std::vector<Point>& scores() {
  static const std::vector<Point> points = [] {
    std::vector<Point> all;
    Sobol sobol;
    for (int i = 0; i < kBandSamples; ++i) {
      Point p = sobol.next();
      for (std::size_t d = 0; d < kCauses; ++d) {
        p[d] += 0.5 / kBandSamples;  // the middle of its interval
        if (d != static_cast<std::size_t>(Cause::kHold)) p[d] = normal_quantile(p[d]);
      }
      all.push_back(p);
    }
    return all;
  }();
  return points;
}

base::Result<stock::Section> varied(const stock::Section& s, double size, double wall) {
  using stock::Section;
  using stock::SectionKind;
  switch (s.kind()) {
    case SectionKind::kRoundTube:
      return Section::round_tube(s.height_mm() * size, s.wall_mm() * wall);
    case SectionKind::kRoundBar:
      return Section::round_bar(s.height_mm() * size);
    case SectionKind::kRectTube:
      return Section::rect_tube(s.height_mm() * size, s.width_mm() * size, s.wall_mm() * wall,
                                s.corner_radius_mm() * std::min(size, 1.0));
    case SectionKind::kRectBar:
      return Section::rect_bar(s.height_mm() * size, s.width_mm() * size);
    case SectionKind::kAngle:
    case SectionKind::kChannel:
      break;
  }
  // Rolled, never bent in a die: predict_bend() has refused it.
  return s;
}

// The case with its inputs moved. A sample that cannot be (a wall thicker than the bore allows) is
// a Failure and is left out.
base::Result<BendCase> moved(const BendCase& bend, const Scatter& scatter, const Point& p) {
  const auto factor = [&](Cause cause, double half_width) {
    const double deviation = half_width / kDeviations_ratio;
    return std::max(0.05, 1.0 + deviation * p[static_cast<std::size_t>(cause)]);
  };
  BIGHT_TRY(const stock::Section section,
            varied(bend.section, factor(Cause::kSize, scatter.size_ratio),
                   factor(Cause::kWall, scatter.wall_ratio)));
  BendCase out = bend;
  out.section = section;
  if (scatter.hardening_ratio > 0.0) {
    out.curve = out.curve.hardened(factor(Cause::kHardening, scatter.hardening_ratio));
  }
  if (scatter.strength_ratio > 0.0) {
    out.curve = out.curve.scaled(factor(Cause::kStrength, scatter.strength_ratio));
  }
  if (scatter.youngs_ratio > 0.0) {
    out.curve = out.curve.stiffened(factor(Cause::kYoungs, scatter.youngs_ratio));
  }
  if (scatter.hold_to_ratio > 0.0) {
    out.hold_ratio += (scatter.hold_to_ratio - bend.hold_ratio) * p[kCauses - 1];
  }
  return out;
}

Outputs outputs(const BendCase& bend, const BendPrediction& p) {
  const double wall = bend.section.wall_mm();
  return {p.moment_nmm,         p.springback_ratio,        p.released_radius_mm,
          p.wall_outer_ratio,   p.wall_outer_ratio * wall, p.wall_inner_ratio * wall,
          p.outer_strain_ratio, p.stretch_ratio,           p.constant.rad()};
}

// Squared correlation of two columns.
double explained(const std::vector<Point>& inputs, const std::vector<Outputs>& results,
                 std::size_t cause, std::size_t output) {
  const double n = static_cast<double>(results.size());
  double x = 0, y = 0;
  for (std::size_t i = 0; i < results.size(); ++i) {
    x += inputs[i][cause] / n;
    y += results[i][output] / n;
  }
  double xx = 0, xy = 0, yy = 0;
  for (std::size_t i = 0; i < results.size(); ++i) {
    const double dx = inputs[i][cause] - x;
    const double dy = results[i][output] - y;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  }
  return xx > 0.0 && yy > 0.0 ? xy * xy / (xx * yy) : 0.0;
}

Band band_of(const std::vector<Point>& inputs, const std::vector<Outputs>& results,
             std::size_t output, double likely) {
  Band band;
  band.likely = likely;
  std::vector<double> column;
  column.reserve(results.size());
  for (const Outputs& row : results) column.push_back(row[output]);
  const double last = static_cast<double>(column.size() - 1);
  const auto quantile = [&](double share) {
    const auto at = column.begin() + std::lround(share * last);
    std::nth_element(column.begin(), at, column.end());
    return *at;
  };
  band.low = std::min(likely, quantile(kTail_ratio));
  band.high = std::max(likely, quantile(1.0 - kTail_ratio));
  for (std::size_t cause = 0; cause < kCauses; ++cause) {
    band.share_ratio[cause] = explained(inputs, results, cause, output);
  }
  band.cause = static_cast<Cause>(
      std::distance(band.share_ratio.begin(),
                    std::max_element(band.share_ratio.begin(), band.share_ratio.end())));
  return band;
}

base::Status check_scatter(const Scatter& s, const BendCase& bend) {
  for (double width :
       {s.strength_ratio, s.hardening_ratio, s.youngs_ratio, s.wall_ratio, s.size_ratio}) {
    if (!(width >= 0.0 && width <= 0.5)) {
      return base::Failure{"band.input", "scatter", fmt::format("{} is not a half-width", width),
                           "a share of the value from 0 to 0.5"};
    }
  }
  if (!(s.hold_to_ratio == 0.0 || (s.hold_to_ratio >= bend.hold_ratio && s.hold_to_ratio <= 1.0))) {
    return base::Failure{"band.input", "hold", fmt::format("{} is out of range", s.hold_to_ratio),
                         "a share from the case's own hold to 1"};
  }
  return base::Done{};
}

}  // namespace

std::string_view words(Cause cause) {
  switch (cause) {
    case Cause::kStrength:
      return "strength";
    case Cause::kHardening:
      return "hardening";
    case Cause::kYoungs:
      return "Young's modulus";
    case Cause::kWall:
      return "wall tolerance";
    case Cause::kSize:
      return "size tolerance";
    case Cause::kHold:
      return "hoop hold";
  }
  return "";
}

base::Result<BendBand> bend_band(const BendCase& bend, const Scatter& scatter) {
  BIGHT_TRY([[maybe_unused]] base::Done checked, check_scatter(scatter, bend));
  BIGHT_TRY(const BendPrediction likely, predict_bend(bend));
  std::vector<Point> inputs;
  std::vector<Outputs> results;
  inputs.reserve(scores().size());
  results.reserve(scores().size());
  for (const Point& p : scores()) {
    const auto sample = moved(bend, scatter, p);
    if (!sample.ok()) continue;
    const auto out = predict_bend(*sample);
    if (!out.ok()) continue;
    inputs.push_back(p);
    results.push_back(outputs(*sample, *out));
  }
  const Outputs middle = outputs(bend, likely);
  std::array<Band, kOutputs> bands;
  for (std::size_t i = 0; i < kOutputs; ++i) bands[i] = band_of(inputs, results, i, middle[i]);
  return BendBand{bands[0], bands[1], bands[2], bands[3], bands[4],
                  bands[5], bands[6], bands[7], bands[8]};
}

}  // namespace bight::mechanics
