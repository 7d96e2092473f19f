#include "planning/checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/centreline.h"
#include "planning/words.h"

namespace bight::planning {

using base::Angle;

double over_outside_mm(const geometry::BendRow& row, double height_mm) {
  return (row.radius_mm + height_mm / 2.0) * base::tan(row.angle / 2.0);
}

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

namespace {

// How far the tube's outside reaches along one axis.
CheckDimension overall(const std::string& label, double low_mm, double high_mm) {
  return {label,
          high_mm - low_mm,
          "h - l",
          {{"h", "furthest point of the tube's outside that way", high_mm, "mm"},
           {"l", "nearest point, both seen from the centre of end A", low_mm, "mm"}}};
}

CheckDimension between_ends(const Eigen::Vector3d& way_mm) {
  return {"end A to end B, centres",
          way_mm.norm(),
          "sqrt(x^2 + y^2 + z^2)",
          {{"x", "from end A to end B along straight 1", way_mm.x(), "mm"},
           {"y", "across it in the plane of bend 1", way_mm.y(), "mm"},
           {"z", "out of that plane", way_mm.z(), "mm"}}};
}

// From an end along its straight to where the outside edges of its bend would meet.
CheckDimension end_over_outside(const std::string& label, double straight_mm,
                                const geometry::BendRow& row, double height_mm) {
  return {label,
          straight_mm + over_outside_mm(row, height_mm),
          "s + (R + D / 2) * tan(angle / 2)",
          {{"s", "straight at that end", straight_mm, "mm"},
           {"R", "centreline radius after release", row.radius_mm, "mm"},
           {"D", "size of the tube in the plane of the bend", height_mm, "mm"},
           {"angle", "bend angle", row.angle.deg(), "deg"}}};
}

}  // namespace

std::vector<CheckDimension> check_dimensions(const geometry::BendTable& bent,
                                             const stock::Section& section,
                                             const base::LengthStyle& style) {
  std::vector<CheckDimension> checks;
  // Lying on the plane of the first bend, as one lays it on a table: the default frame.
  const geometry::Centreline line = geometry::lay_out(bent);
  const double size_mm = std::max(section.height_mm(), section.width_mm());
  const Eigen::AlignedBox3d box = geometry::envelope_mm(line, size_mm);
  const Eigen::Vector3d low_mm = box.min() - line.start_mm();
  const Eigen::Vector3d high_mm = box.max() - line.start_mm();
  checks.push_back(overall("overall along straight 1", low_mm.x(), high_mm.x()));
  checks.push_back(overall("overall across it, flat", low_mm.y(), high_mm.y()));
  checks.push_back(overall("overall height, bend 1 flat", low_mm.z(), high_mm.z()));
  checks.push_back(between_ends(line.end_mm() - line.start_mm()));
  const std::size_t n = bent.num_bends();
  const auto outside_mm = [&](std::size_t bend) {
    return over_outside_mm(bent.rows()[bend], section.height_mm());
  };
  const Angle widest = Angle::degrees(150);
  if (n > 0 && bent.rows()[0].angle <= widest) {
    checks.push_back(end_over_outside("end A to outside of bend 1", bent.straight_mm(0),
                                      bent.rows()[0], section.height_mm()));
  }
  if (n > 0 && bent.rows()[n - 1].angle <= widest) {
    checks.push_back(end_over_outside(fmt::format("end B to outside of bend {}", n),
                                      bent.straight_mm(n), bent.rows()[n - 1],
                                      section.height_mm()));
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
         across_mm(angle, leg_mm),
         "2 * leg * cos(angle / 2)",
         {{"leg", "along each outside edge, from where the edges meet", leg_mm, "mm"},
          {"angle", "bend angle", angle.deg(), "deg"}}});
  }
  return checks;
}

}  // namespace bight::planning
