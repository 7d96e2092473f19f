#include <fmt/format.h>

#include "clearance/station.h"
#include "clearance/step_clearance.h"

namespace bight::clearance {

std::vector<Limit> broken_limits(const Setup& setup, const Tube& tube, const Step& step) {
  std::vector<Limit> out;
  const workshop::Bender& bender = *setup.bender;
  if (bender.kind != workshop::BenderKind::kCarriageFed) return out;
  const TubeBend& bend = tube.bends[step.bend];
  const double behind_mm =
      step.front == Front::kEndB ? bend.start_mm : tube.length_mm - bend.start_mm - bend.blank_mm;
  const double reach_mm = behind_mm + bend.blank_mm;  // behind the tangent point at the start
  const double grip_mm = bender.grip_mm.value_or(0.0);
  if (bender.travel_mm.has_value() && reach_mm - grip_mm > *bender.travel_mm) {
    out.push_back({"clearance.travel", reach_mm - grip_mm, *bender.travel_mm,
                   fmt::format("the carriage would have to stand {:.0f} mm behind the die; it "
                               "travels {:.0f} mm",
                               reach_mm - grip_mm, *bender.travel_mm)});
  }
  if (bender.feed_min_mm.has_value() && step.advance_mm > 0.0 &&
      step.advance_mm < *bender.feed_min_mm) {
    out.push_back({"clearance.feed", *bender.feed_min_mm, step.advance_mm,
                   fmt::format("the carriage would have to feed {:.1f} mm; its shortest feed is "
                               "{:.1f} mm",
                               step.advance_mm, *bender.feed_min_mm)});
  }
  const std::optional<double>& rod_mm = bender.around.mandrel_rod_mm;
  if (setup.mounted[step.die]->mandrel && rod_mm.has_value() && reach_mm > *rod_mm) {
    out.push_back({"clearance.rod", reach_mm, *rod_mm,
                   fmt::format("{:.0f} mm of tube lie behind the die; the mandrel rod is {:.0f} mm "
                               "long",
                               reach_mm, *rod_mm)});
  }
  if (behind_mm < grip_mm) {
    out.push_back({"clearance.grip", grip_mm, behind_mm,
                   fmt::format("{:.0f} mm of tube remain behind the bend; the collet holds "
                               "{:.0f} mm",
                               behind_mm, grip_mm)});
  } else if (bending_on(tube, step, Side::kBehind).rad() > 0.0) {
    out.push_back({"clearance.grip", grip_mm, 0.0,
                   "a bend is already made behind this one, and the collet and the guide take "
                   "straight tube only"});
  }
  return out;
}

}  // namespace bight::clearance
