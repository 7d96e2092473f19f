#include "papers/labels.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::papers {

namespace {

constexpr double kLabelGap_mm = 0.5;  // between a label and anything else

bool overlap(const Box& a, const Box& b) {
  return a.x_mm < b.right_mm() && b.x_mm < a.right_mm() && a.y_mm < b.bottom_mm() &&
         b.y_mm < a.bottom_mm();
}

}  // namespace

void LabelRoom::keep_clear(const std::vector<Point>& line, double half_thickness_mm) {
  // Discs so close together that no label slips between two.
  const double pitch_mm = std::max(0.5, half_thickness_mm / 2.0);
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double dx_mm = line[i + 1].x_mm - line[i].x_mm;
    const double dy_mm = line[i + 1].y_mm - line[i].y_mm;
    const int num_parts = 1 + static_cast<int>(std::hypot(dx_mm, dy_mm) / pitch_mm);
    for (int k = 0; k <= num_parts; ++k) {
      const double share_ratio = static_cast<double>(k) / num_parts;
      discs_.push_back({{line[i].x_mm + share_ratio * dx_mm, line[i].y_mm + share_ratio * dy_mm},
                        half_thickness_mm});
    }
  }
}

bool LabelRoom::free(const Box& box) const {
  if (box.x_mm < bounds_.x_mm || box.y_mm < bounds_.y_mm || box.right_mm() > bounds_.right_mm() ||
      box.bottom_mm() > bounds_.bottom_mm()) {
    return false;
  }
  const Box wide = box.inset(-kLabelGap_mm);
  for (const Box& other : taken_) {
    if (overlap(wide, other)) return false;
  }
  for (const Disc& disc : discs_) {
    const double dx_mm =
        disc.centre.x_mm - std::clamp(disc.centre.x_mm, wide.x_mm, wide.right_mm());
    const double dy_mm =
        disc.centre.y_mm - std::clamp(disc.centre.y_mm, wide.y_mm, wide.bottom_mm());
    if (std::hypot(dx_mm, dy_mm) < disc.radius_mm) return false;
  }
  return true;
}

bool LabelRoom::leader_free(Point from, Point to) const {
  constexpr int kNumSamples = 24;
  for (int k = 0; k <= kNumSamples; ++k) {
    const double share_ratio = static_cast<double>(k) / kNumSamples;
    const Box dot{from.x_mm + share_ratio * (to.x_mm - from.x_mm),
                  from.y_mm + share_ratio * (to.y_mm - from.y_mm), 0.0, 0.0};
    for (const Box& other : taken_) {
      if (overlap(dot, other)) return false;
    }
  }
  return true;
}

std::optional<Point> LabelRoom::place(const LabelWish& wish) {
  constexpr double kStep_mm = 1.0;
  constexpr int kNumDirections = 36;
  const double wished_rad = std::atan2(wish.direction_y_ratio, wish.direction_x_ratio);
  std::optional<Point> best;
  double best_cost = 1e300;
  for (double away_mm = wish.nearest_mm; away_mm <= wish.farthest_mm; away_mm += kStep_mm) {
    for (int k = 0; k < kNumDirections; ++k) {
      const double off_rad = 2.0 * std::numbers::pi * k / kNumDirections;
      const double turned_rad = std::min(off_rad, 2.0 * std::numbers::pi - off_rad);
      // Half a turn away is worth as much as 9 mm further out.
      const double cost = away_mm + 9.0 * turned_rad / std::numbers::pi;
      if (cost >= best_cost) continue;
      const Point at{wish.target.x_mm + away_mm * std::cos(wished_rad + off_rad),
                     wish.target.y_mm + away_mm * std::sin(wished_rad + off_rad)};
      const Box box{at.x_mm - wish.half_width_mm, at.y_mm - wish.half_height_mm,
                    2.0 * wish.half_width_mm, 2.0 * wish.half_height_mm};
      if (!free(box) || !leader_free(wish.target, at)) continue;
      best = at;
      best_cost = cost;
    }
  }
  if (best) {
    taken_.push_back({best->x_mm - wish.half_width_mm, best->y_mm - wish.half_height_mm,
                      2.0 * wish.half_width_mm, 2.0 * wish.half_height_mm});
  }
  return best;
}

}  // namespace bight::papers
