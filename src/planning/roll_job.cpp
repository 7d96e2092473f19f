#include "planning/roll_job.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "mechanics/side_bow.h"
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
  switch (job.measure) {
    case RingMeasure::kInside:
      return job.section.inner_mm();
    case RingMeasure::kCentreline:
      return 0.0;
    case RingMeasure::kOutside:
      return -job.section.outer_mm();
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
  const auto circle = mechanics::circle_travel_mm(*job.machine, bar, *plan.loaded_clr_mm);
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

std::string side_words(double curvature_per_mm) {
  // Beyond this the bow of a metre is below a tenth of a millimetre.
  constexpr double kStraight_mm = 1.2e6;
  const double radius_mm = 1 / std::abs(curvature_per_mm);
  if (!(radius_mm < kStraight_mm)) return "stays straight sideways";
  return fmt::format("bows sideways on a radius of about {:.0f} mm", radius_mm);
}

// An angle pushes out of its plane: how much, and what is left of it after release.
Finding angle_twist(const RollJob& job, const stock::FlowCurve& curve, const RollPlan& plan) {
  const stock::Section& s = job.section;
  double loaded_mm = plan.loaded_clr_mm.value_or(plan.centreline_mm);
  if (!plan.loaded_clr_mm) {
    const auto loaded = mechanics::loaded_clr_mm(mechanics::roll_bar(s, curve), loaded_mm);
    if (loaded.ok()) loaded_mm = *loaded;
  }
  const mechanics::SideBow bow = mechanics::side_bow(s, curve, loaded_mm);
  const double product_mm4 = s.product_moment_mm4();
  return {Severity::kCaution,
          "roll.twist",
          {},
          fmt::format("this plane of bending is none of the angle's principal planes (product of "
                      "inertia {:.3g} cm4 beside {:.3g} in the plane and {:.3g} across): left "
                      "alone it runs sideways by {:.0f} % of its curvature and twists; guided "
                      "straight in the rolls it {} once it is let go",
                      product_mm4 / 1e4, s.second_moment_mm4() / 1e4, s.across_moment_mm4() / 1e4,
                      100 * std::abs(bow.unguided_ratio), side_words(bow.sideways_per_mm)),
          "rolls grooved for the angle and a twist guide behind them; roll a pair back to back, or "
          "straighten the ring flat afterwards",
          "unsymmetrical bending, docs/theory/open_sections.md; torsion itself is not worked out",
          {{"product_mm4", product_mm4},
           {"unguided_ratio", bow.unguided_ratio},
           {"side_moment_nm", bow.side_moment_nmm / 1000},
           {"sideways_per_mm", bow.sideways_per_mm}}};
}

void add_open_findings(const RollJob& job, const stock::FlowCurve& curve, RollPlan& plan) {
  const stock::Section& s = job.section;
  if (!s.open()) return;
  if (s.product_moment_mm4() != 0.0) plan.findings.push_back(angle_twist(job, curve, plan));
  if (s.on_edge()) {
    const double off_mm = mechanics::shear_centre_mm(s);
    plan.findings.push_back(
        {Severity::kCaution,
         "roll.twist",
         {},
         fmt::format("a channel on edge twists: the rolls press on its web, its shear centre lies "
                     "{:.1f} mm outside the web's middle",
                     off_mm),
         "rolls that hold both flanges and a twist guide behind them; roll a pair back to back",
         "thin-walled shear centre, textbook; how far it twists is not worked out",
         {{"shear_centre_mm", off_mm}}});
  }
  const bool toes_in = s.toes() == stock::Toes::kIn && !s.on_edge();
  const double toe_mm = toes_in ? s.inner_mm() : s.outer_mm();
  plan.findings.push_back(
      {Severity::kNote,
       "roll.toes",
       {},
       s.on_edge() ? fmt::format("on edge, the inside flange is shortened {:.1f} %",
                                 100 * s.inner_mm() / plan.centreline_mm)
                   : fmt::format("toes {}: their edge is {} by {:.1f} %; no published limit was "
                                 "found for {}",
                                 toes_in ? "in" : "out", toes_in ? "shortened" : "stretched",
                                 100 * toe_mm / plan.centreline_mm,
                                 toes_in ? "its buckling" : "its drawing down"),
       "grooved rolls; creep up and look at the edge after each pass",
       "plane sections",
       {}});
}

}  // namespace

Result<RollPlan> plan_roll(const RollJob& job) {
  RollPlan plan;
  BIGHT_TRY(const double added_mm, to_centreline_mm(job));
  plan.centreline_mm = job.radius_mm + added_mm;
  if (!std::isfinite(plan.centreline_mm) || plan.centreline_mm <= job.section.inner_mm()) {
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
    BIGHT_TRY(plan.ways,
              mechanics::way_strains(job.section, plan.centreline_mm - job.section.inner_mm()));
  }
  add_shape_findings(job, flow.curve, plan);
  add_open_findings(job, flow.curve, plan);
  part::sort_by_weight(plan.findings);
  return plan;
}

}  // namespace bight::planning
