#include "planning/blank.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"

namespace bight::planning {

namespace {

// Mean radius of a tube; half height of anything else.
double fibre_radius_mm(const stock::Section& section) {
  if (section.kind() == stock::SectionKind::kRoundTube) {
    return (section.height_mm() - section.wall_mm()) / 2.0;
  }
  return section.height_mm() / 2.0;
}

// Share of R * angle that a bend can use at least: sqrt(R² - r²) / R.
double fully_stretched_ratio(double radius_mm, double fibre_mm) {
  if (radius_mm <= fibre_mm) return 0.0;
  return std::sqrt(1.0 - (fibre_mm / radius_mm) * (fibre_mm / radius_mm));
}

// Straight of the part from an end to the near side of each bend, while all bends between are still
// straight.
std::vector<double> runs_mm(const BlankRequest& request, const std::vector<double>& arc_mm,
                            End end) {
  const std::size_t n = request.bent.num_bends();
  std::vector<double> out(n, 0.0);
  double run_mm = end == End::kA ? request.end_a.trim_mm : request.end_b.trim_mm;
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t bend = end == End::kA ? k : n - 1 - k;
    run_mm += request.bent.straight_mm(end == End::kA ? k : n - k);
    out[bend] = run_mm;
    run_mm += arc_mm[bend];
  }
  return out;
}

struct Grip {
  double added_mm = 0.0;
  bool for_clamp = false;  // else for the tail
};

// What must be added at an end.
Grip grip(const BlankRequest& request, const std::vector<double>& arc_mm, End end) {
  const std::size_t n = request.bent.num_bends();
  const std::vector<double> run_mm = runs_mm(request, arc_mm, end);
  Grip out;
  const auto need = [&](std::size_t bend, bool clamp) {
    const workshop::DieSet& die = *request.die_of_bend[bend];
    const double needed_mm =
        clamp ? die.clamp_mm : tail_needed_mm(die, request.bender, request.section, arc_mm[bend]);
    if (needed_mm - run_mm[bend] <= out.added_mm) return;
    out = {needed_mm - run_mm[bend], clamp};
  };
  if (request.order.empty()) {
    for (std::size_t bend = 0; bend < n; ++bend) {
      for (const bool clamp : {true, false}) need(bend, clamp);
    }
    return out;
  }
  // Bends made on the way to the end bear the clamp or tail themselves, if they leave room.
  bool any = false;
  std::size_t outermost = 0;
  for (const PlacedBend& placed : request.order) {
    const bool free = !any || (end == End::kA ? placed.bend < outermost : placed.bend > outermost);
    if (!free) continue;
    need(placed.bend, placed.front == end);
    outermost = placed.bend;
    any = true;
  }
  return out;
}

}  // namespace

double tail_needed_mm(const workshop::DieSet& die, const workshop::Bender& bender,
                      const stock::Section& section, double arc_mm) {
  const double tail_mm =
      die.tail_mm.value_or(std::max(die.pressure_die_mm - arc_mm, section.height_mm()));
  const bool collet = bender.kind == workshop::BenderKind::kCarriageFed;
  return tail_mm + (collet ? bender.grip_mm.value_or(0.0) : 0.0);
}

LaidOut lay_out_blank(const BlankRequest& request) {
  const geometry::BendTable& bent = request.bent;
  const std::size_t n = bent.num_bends();
  BIGHT_CHECK(request.die_of_bend.size() == n && request.known_of_bend.size() == n);
  LaidOut out;
  double low_mm = 0.0;
  double high_mm = 0.0;
  double likely_mm = 0.0;
  std::size_t num_proven = 0;
  for (std::size_t i = 0; i <= n; ++i) {
    low_mm += bent.straight_mm(i);
    likely_mm += bent.straight_mm(i);
    high_mm += bent.straight_mm(i);
    if (i == n) break;
    const geometry::BendRow& row = bent.rows()[i];
    const std::optional<KnownStretch>& measured = request.known_of_bend[i]->stretch();
    const double arc_mm = row.arc_mm();
    const KnownStretch stretch = measured.value_or(KnownStretch{
        1.0, fully_stretched_ratio(row.radius_mm, fibre_radius_mm(request.section)), 1.0, 0});
    if (measured.has_value()) ++num_proven;
    low_mm += arc_mm * stretch.low_ratio;
    likely_mm += arc_mm * stretch.arc_ratio;
    high_mm += arc_mm * stretch.high_ratio;
    out.arc_mm.push_back(arc_mm * stretch.arc_ratio);
  }

  Blank& blank = out.blank;
  blank.front = request.order.empty() ? request.from : request.order.front().front;
  const bool from_a = blank.front == End::kA;
  const part::PartEnd& front = from_a ? request.end_a : request.end_b;
  const part::PartEnd& back = from_a ? request.end_b : request.end_a;
  blank.trim_front_mm = front.trim_mm;
  blank.trim_back_mm = back.trim_mm;
  const Grip at_front = grip(request, out.arc_mm, blank.front);
  const Grip at_back = grip(request, out.arc_mm, other_end(blank.front));
  blank.grip_front_mm = at_front.added_mm;
  blank.grip_back_mm = at_back.added_mm;
  blank.front_for_clamp = at_front.for_clamp;
  blank.back_for_clamp = at_back.for_clamp;
  const double allowance_mm =
      blank.grip_front_mm + blank.grip_back_mm + blank.trim_front_mm + blank.trim_back_mm;
  blank.cut = {low_mm + allowance_mm, likely_mm + allowance_mm, high_mm + allowance_mm};
  blank.proven = n == 0 || num_proven == n;
  if (n == 0) {
    blank.basis = "a straight piece";
  } else if (blank.proven) {
    blank.basis = "stretch measured on trial bends";
  } else {
    blank.basis =
        "not proven: between full stretch, angle x sqrt(R² - r²), and none, angle x R; cut to the "
        "longer until a test bend proves it";
  }

  double at_mm =
      from_a ? blank.grip_front_mm + blank.trim_front_mm : blank.grip_back_mm + blank.trim_back_mm;
  for (std::size_t i = 0; i < n; ++i) {
    at_mm += bent.straight_mm(i);
    out.start_mm.push_back(at_mm);
    at_mm += out.arc_mm[i];
    out.finish_mm.push_back(at_mm);
  }
  return out;
}

}  // namespace bight::planning
