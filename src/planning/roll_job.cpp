#include "planning/roll_job.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "stock/flow_curve.h"

namespace bight::planning {
namespace {

using base::Failure;
using base::Result;
using mechanics::LoggedPass;
using mechanics::RingMeasure;
using part::Finding;
using part::Severity;

// What must be added to a radius to reach the centreline.
Result<double> to_centreline_mm(const RollJob& job) {
  const double half_mm = job.section.height_mm() / 2;
  switch (job.measure) {
    case RingMeasure::kInside:
      return half_mm;
    case RingMeasure::kCentreline:
      return 0.0;
    case RingMeasure::kOutside:
      return -half_mm;
    case RingMeasure::kNotSaid:
      break;
  }
  return Failure{"ring.measure", "", "is the radius to the inside, the centreline or the outside?",
                 "say which line is measured; logged radii are taken to the same one"};
}

std::vector<LoggedPass> centreline_log(const RollJob& job, double added_mm) {
  std::vector<LoggedPass> log = job.log;
  for (LoggedPass& pass : log) pass.radius_mm += added_mm;
  return log;
}

void add_shape_findings(const RollJob& job, const stock::FlowCurve& curve, RollPlan& plan) {
  if (job.section.kind() == stock::SectionKind::kRoundTube) {
    const double loaded_mm = plan.loaded_clr_mm.value_or(plan.centreline_mm);
    const auto forecast =
        mechanics::free_ovality({job.section, curve, job.material.poisson_ratio, loaded_mm});
    if (forecast.ok() && forecast->fate != mechanics::SectionFate::kHolds) {
      const bool surely = forecast->fate == mechanics::SectionFate::kCollapses;
      plan.findings.push_back({surely ? Severity::kStop : Severity::kCaution,
                               "roll.collapse",
                               {},
                               forecast->message,
                               "grooved rolls, a heavier wall or more radius",
                               "flattening by energy, plain rolls, not proven on measured bends",
                               {}});
    } else if (forecast.ok()) {
      plan.findings.push_back({Severity::kNote,
                               "roll.ovality",
                               {},
                               "on plain rolls: " + forecast->message,
                               "",
                               "flattening by energy, not proven on measured bends",
                               {{"of_nominal_ratio", forecast->of_nominal->likely_ratio}}});
    }
  }
  const auto cracks = mechanics::crack_forecast(
      job.section, curve,
      job.material.elongation_ratio ? std::optional(job.material.elongation_ratio->value)
                                    : std::nullopt,
      plan.centreline_mm);
  if (cracks.ok() && cracks->verdict != mechanics::CrackVerdict::kWithin) {
    plan.findings.push_back(
        {cracks->verdict == mechanics::CrackVerdict::kStop ? Severity::kStop : Severity::kCaution,
         "roll.strain",
         {},
         cracks->message,
         "more radius or a softer condition",
         "outer strain D/2R",
         {}});
  }
}

Result<base::Done> add_passes(const RollJob& job, const stock::FlowCurve& curve,
                              const std::vector<LoggedPass>& log, RollPlan& plan) {
  const mechanics::RollBar bar = mechanics::roll_bar(job.section, curve);
  BIGHT_TRY(plan.loaded_clr_mm, mechanics::loaded_clr_mm(bar, plan.centreline_mm));
  // Logged passes are done: the plan goes on from the bar as it is now.
  std::optional<double> incoming_mm;
  if (!log.empty()) incoming_mm = log.back().radius_mm;
  BIGHT_TRY(
      std::vector<mechanics::RollPass> passes,
      mechanics::plan_passes(*job.machine, bar, plan.centreline_mm, job.num_passes, incoming_mm));
  const auto circle = mechanics::circle_travel_mm(*job.machine, bar.depth_mm, *plan.loaded_clr_mm);
  if (circle.ok()) plan.circle_travel_mm = *circle;
  if (log.size() > 1 || (log.size() == 1 && job.touch_mm)) {
    BIGHT_TRY(plan.scale, mechanics::learn_scale(*job.machine, bar, log, job.touch_mm));
  } else if (job.touch_mm) {
    plan.scale = mechanics::MachineScale{*job.touch_mm, 1.0, 0.0, 0};
  }
  for (mechanics::RollPass& pass : passes) {
    PlannedPass planned;
    if (plan.scale) {
      planned.reading_mm = plan.scale->zero_mm + plan.scale->factor_ratio * pass.position_mm;
    }
    planned.pass = std::move(pass);
    plan.passes.push_back(std::move(planned));
  }
  if (!plan.scale || plan.scale->num_passes == 0) {
    plan.findings.push_back(
        {Severity::kCaution,
         "roll.unproven",
         {},
         "no pass of this machine has been logged: positions are computed, the radius may be 15 % "
         "out",
         "creep up to the position, measure, and log each pass",
         "Int. J. Adv. Manuf. Technol. 2019, doi 10.1007/s00170-019-04183-2 (abstract)",
         {}});
  }
  plan.findings.push_back(
      {Severity::kNote,
       "roll.flats",
       {},
       fmt::format("about {:.0f} mm at each end stays straight unless it is pre-bent",
                   plan.passes.back().pass.flat_mm),
       "add it and cut it off, or part rings off a coiled stick",
       "common practice, no source",
       {{"flat_mm", plan.passes.back().pass.flat_mm}}});
  return base::Done{};
}

void warn_of_far_step(RollPlan& plan) {
  if (!plan.next || !plan.next->far_ahead) return;
  plan.findings.push_back(
      {Severity::kCaution,
       "roll.far-ahead",
       {},
       "the target lies further ahead than the last two passes are apart",
       fmt::format("stop at {:.1f}, measure, and log the pass", plan.next->stop_mm),
       "curvature is linear in the position over a short range only",
       {}});
}

}  // namespace

Result<RollPlan> plan_roll(const RollJob& job) {
  RollPlan plan;
  BIGHT_TRY(const double added_mm, to_centreline_mm(job));
  plan.centreline_mm = job.radius_mm + added_mm;
  if (!std::isfinite(plan.centreline_mm) || plan.centreline_mm <= job.section.height_mm() / 2) {
    return Failure{
        "roll.radius", "",
        fmt::format("radius {} mm leaves no hole in {}", job.radius_mm, job.section.text()),
        "give a larger radius, and say which line it is measured to"};
  }
  BIGHT_TRY(const stock::DerivedFlow flow, stock::flow_curve(job.material));
  plan.metal = fmt::format("{}: {}; {}", job.material.name, flow.curve.text(), flow.construction);
  const std::vector<LoggedPass> log = centreline_log(job, added_mm);
  if (log.size() >= 2) {
    BIGHT_TRY(plan.next, mechanics::next_pass(log, plan.centreline_mm));
  }
  warn_of_far_step(plan);
  if (job.machine) {
    BIGHT_TRY([[maybe_unused]] const auto added, add_passes(job, flow.curve, log, plan));
  }
  if (job.ring) {
    BIGHT_TRY(plan.ring, mechanics::ring_cut({2 * plan.centreline_mm, RingMeasure::kCentreline,
                                              job.section.height_mm(), job.flats_mm}));
    if (job.stick_mm) {
      BIGHT_TRY(plan.pieces,
                mechanics::pieces_per_stick(plan.ring->cut_mm, *job.stick_mm, job.kerf_mm));
    }
  }
  if (!job.section.round()) {
    BIGHT_TRY(plan.ways, mechanics::way_strains(job.section,
                                                plan.centreline_mm - job.section.height_mm() / 2));
  }
  add_shape_findings(job, flow.curve, plan);
  part::sort_by_weight(plan.findings);
  return plan;
}

}  // namespace bight::planning
