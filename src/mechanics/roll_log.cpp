#include "mechanics/roll_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/positive.h"

namespace bight::mechanics {
using base::positive;

namespace {

using base::Failure;
using base::Result;

constexpr double kStopShort_mm = 0.5;
constexpr double kScaleStep_mm = 0.1;

Failure bad_log(std::string message) {
  return Failure{"roll.log", "", std::move(message),
                 "log position and measured radius of each pass, the tightest last"};
}

}  // namespace

Result<NextPass> next_pass(std::span<const LoggedPass> passes, double target_radius_mm) {
  if (passes.size() < 2) return bad_log("two measured passes are needed to give the next");
  const LoggedPass& before = passes[passes.size() - 2];
  const LoggedPass& last = passes.back();
  for (const LoggedPass& pass : {before, last}) {
    if (!positive(pass.radius_mm) || !std::isfinite(pass.position_mm)) {
      return bad_log(fmt::format("position {} mm with radius {} mm is not a pass", pass.position_mm,
                                 pass.radius_mm));
    }
  }
  const double travel_mm = last.position_mm - before.position_mm;
  const double gain_per_mm = 1 / last.radius_mm - 1 / before.radius_mm;
  if (travel_mm == 0) return bad_log("the last two passes stand at one position");
  if (gain_per_mm <= 0) {
    return bad_log(
        fmt::format("{} mm gave radius {} mm but {} mm gave {} mm: going further in "
                    "cannot open the radius",
                    before.position_mm, before.radius_mm, last.position_mm, last.radius_mm));
  }
  if (!positive(target_radius_mm) || target_radius_mm >= last.radius_mm) {
    return Failure{"roll.target", "",
                   fmt::format("target radius {} mm is not tighter than the last pass, {} mm",
                               target_radius_mm, last.radius_mm),
                   "rolls cannot open a ring; start a new bar"};
  }
  NextPass next;
  next.curvature_per_mm2 = gain_per_mm / travel_mm;
  const double ahead_mm = (1 / target_radius_mm - 1 / last.radius_mm) / next.curvature_per_mm2;
  next.position_mm = last.position_mm + ahead_mm;
  next.far_ahead = std::abs(ahead_mm) > std::abs(travel_mm);
  const double short_mm = std::min(kStopShort_mm, std::abs(ahead_mm) / 2);
  const double sign_ratio = ahead_mm > 0 ? 1.0 : -1.0;
  // Towards the last pass, whichever way the scale counts; the hair keeps 28.1 from becoming 28.0.
  const double steps_ratio = (next.position_mm - sign_ratio * short_mm) / kScaleStep_mm;
  next.stop_mm = kScaleStep_mm *
                 (sign_ratio > 0 ? std::floor(steps_ratio + 1e-9) : std::ceil(steps_ratio - 1e-9));
  return next;
}

Result<MachineScale> learn_scale(const RollMachine& machine, const RollBar& bar,
                                 std::span<const LoggedPass> passes,
                                 std::optional<double> zero_mm) {
  if (passes.empty()) return bad_log("no pass has been logged");
  if (passes.size() == 1 && !zero_mm) {
    return bad_log("one pass teaches nothing unless the reading at first touch is known");
  }
  std::vector<double> model_mm;
  std::optional<double> incoming_mm;
  for (const LoggedPass& pass : passes) {
    if (incoming_mm && !(pass.radius_mm < *incoming_mm)) {
      return bad_log(fmt::format("radius {} mm after {} mm: each pass must be tighter",
                                 pass.radius_mm, *incoming_mm));
    }
    BIGHT_TRY(const RollPass computed, roll_to_radius(machine, bar, pass.radius_mm, incoming_mm));
    model_mm.push_back(computed.position_mm);
    incoming_mm = pass.radius_mm;
  }
  const double count = static_cast<double>(passes.size());
  double mean_model_mm = 0.0;
  double mean_read_mm = zero_mm.value_or(0.0);
  if (!zero_mm) {
    for (std::size_t i = 0; i < passes.size(); ++i) {
      mean_model_mm += model_mm[i] / count;
      mean_read_mm += passes[i].position_mm / count;
    }
  }
  // With a known zero the line runs through (0, zero), else through the means.
  double cross_mm2 = 0.0;
  double square_mm2 = 0.0;
  for (std::size_t i = 0; i < passes.size(); ++i) {
    const double model_off_mm = model_mm[i] - mean_model_mm;
    cross_mm2 += model_off_mm * (passes[i].position_mm - mean_read_mm);
    square_mm2 += model_off_mm * model_off_mm;
  }
  MachineScale scale;
  scale.num_passes = static_cast<int>(passes.size());
  scale.factor_ratio = cross_mm2 / square_mm2;
  scale.zero_mm = mean_read_mm - scale.factor_ratio * mean_model_mm;
  if (!positive(scale.factor_ratio)) {
    return bad_log("the logged positions do not rise with the bending they did");
  }
  for (std::size_t i = 0; i < passes.size(); ++i) {
    const double off_mm = passes[i].position_mm - scale.zero_mm - scale.factor_ratio * model_mm[i];
    scale.worst_mm = std::max(scale.worst_mm, std::abs(off_mm));
  }
  return scale;
}

}  // namespace bight::mechanics
