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
  blank.front = request.from;
  const bool from_a = request.from == End::kA;
  const part::PartEnd& front = from_a ? request.end_a : request.end_b;
  const part::PartEnd& back = from_a ? request.end_b : request.end_a;
  blank.trim_front_mm = front.trim_mm;
  blank.trim_back_mm = back.trim_mm;
  if (n > 0) {
    const std::size_t first = from_a ? 0 : n - 1;
    const std::size_t last = from_a ? n - 1 : 0;
    const double ahead_mm = bent.straight_mm(from_a ? 0 : n) + front.trim_mm;
    const double behind_mm = bent.straight_mm(from_a ? n : 0) + back.trim_mm;
    blank.grip_front_mm = std::max(0.0, request.die_of_bend[first]->clamp_mm - ahead_mm);
    blank.grip_back_mm = std::max(0.0, tail_needed_mm(*request.die_of_bend[last], request.bender,
                                                      request.section, out.arc_mm[last]) -
                                           behind_mm);
  }
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
