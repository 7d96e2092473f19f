#include "planning/checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/centreline.h"
#include "planning/words.h"

namespace bight::planning {

using base::Angle;

double across_mm(Angle angle, double leg_mm) { return 2.0 * leg_mm * base::cos(angle / 2.0); }

Angle angle_from_across(double leg_a_mm, double leg_b_mm, double across_mm) {
  const double cosine = (leg_a_mm * leg_a_mm + leg_b_mm * leg_b_mm - across_mm * across_mm) /
                        (2.0 * leg_a_mm * leg_b_mm);
  return Angle::radians(std::numbers::pi - std::acos(std::clamp(cosine, -1.0, 1.0)));
}

double round_leg_mm(double available_mm, const base::LengthStyle& style) {
  const double step_mm = style.unit == base::LengthUnit::kInch ? 2.0 * 25.4 : 50.0;
  const double most_mm = style.unit == base::LengthUnit::kInch ? 12.0 * 25.4 : 300.0;
  return std::floor(std::min(available_mm, most_mm) / step_mm + 1e-9) * step_mm;
}

std::vector<CheckDimension> check_dimensions(const geometry::BendTable& bent,
                                             const stock::Section& section,
                                             const base::LengthStyle& style) {
  std::vector<CheckDimension> checks;
  // Lying on the plane of the first bend, as one lays it on a table: the default frame.
  const geometry::Centreline line = geometry::lay_out(bent);
  const double size_mm = std::max(section.height_mm(), section.width_mm());
  const Eigen::Vector3d box_mm = geometry::envelope_mm(line, size_mm).sizes();
  checks.push_back({"overall along straight 1", box_mm.x()});
  checks.push_back({"overall across it, flat", box_mm.y()});
  checks.push_back({"overall height, bend 1 flat", box_mm.z()});
  checks.push_back({"end A to end B, centres", (line.end_mm() - line.start_mm()).norm()});
  const std::size_t n = bent.num_bends();
  const auto outside_mm = [&](std::size_t bend) {
    const geometry::BendRow& row = bent.rows()[bend];
    return (row.radius_mm + section.height_mm() / 2.0) * base::tan(row.angle / 2.0);
  };
  const Angle widest = Angle::degrees(150);
  if (n > 0 && bent.rows()[0].angle <= widest) {
    checks.push_back({"end A to outside of bend 1", bent.straight_mm(0) + outside_mm(0)});
  }
  if (n > 0 && bent.rows()[n - 1].angle <= widest) {
    checks.push_back(
        {fmt::format("end B to outside of bend {}", n), bent.straight_mm(n) + outside_mm(n - 1)});
  }
  for (std::size_t i = 0; i < n; ++i) {
    const Angle angle = bent.rows()[i].angle;
    if (angle < Angle::degrees(20) || angle > widest) continue;
    const double shorter_mm = std::min(bent.straight_mm(i), bent.straight_mm(i + 1));
    const double leg_mm = round_leg_mm(outside_mm(i) + shorter_mm, style);
    // The mark must lie on straight tube to mean anything.
    if (leg_mm < outside_mm(i) || leg_mm <= 0.0) continue;
    checks.push_back(
        {fmt::format("bend {}: across, {} along each outside edge", i + 1, say(leg_mm, style)),
         across_mm(angle, leg_mm)});
  }
  return checks;
}

}  // namespace bight::planning
