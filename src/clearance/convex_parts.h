// A simple polygon as convex pieces.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

namespace bight::clearance {

using Outline = std::vector<Eigen::Vector2d>;

// Convex pieces that together are the polygon exactly, each counter-clockwise; one piece when it is
// convex. Ears are cut off and merged again where the result stays convex (Hertel and Mehlhorn
// 1983: never more than four times the fewest pieces). Nothing when the outline has fewer than
// three corners, no area, or crosses or touches itself.
std::optional<std::vector<Outline>> convex_parts(const Outline& outline_mm);

// Twice the area, positive for counter-clockwise.
double twice_area_mm2(const Outline& outline_mm);

}  // namespace bight::clearance
