#include "clearance/rope.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::clearance {

using base::Angle;
using geometry::Vec3;

std::array<Rope, 2> Rope::halves() const {
  std::array<Rope, 2> out_ropes{*this, *this};
  Rope& first = out_ropes[0];
  Rope& second = out_ropes[1];
  const Vec3 chord_middle_mm = 0.5 * (a_mm + b_mm);
  const Vec3 middle_mm = chord_middle_mm + out * sag_mm;
  first.b_mm = middle_mm;
  second.a_mm = middle_mm;
  first.along_b_mm = second.along_a_mm = 0.5 * (along_a_mm + along_b_mm);
  first.turned_b_rad = second.turned_a_rad = 0.5 * (turned_a_rad + turned_b_rad);
  first.flat_b = false;
  second.flat_a = false;
  if (radius_mm > 0.0) {
    // Half the angle: cos(x/2) and 1 - cos(x/2) from cos x without losing digits.
    const double cos_quarter = std::sqrt(0.5 * (1.0 + cos_half));
    for (Rope* half : {&first, &second}) {
      half->cos_half = cos_quarter;
      half->sag_mm = sag_mm / (2.0 * (1.0 + cos_quarter));
      half->out = (0.5 * (half->a_mm + half->b_mm) - centre_mm).normalized();
    }
  }
  return out_ropes;
}

Vec3 Rope::on_centreline_mm(double share_ratio) const {
  const Vec3 chord_mm = a_mm + (b_mm - a_mm) * share_ratio;
  if (radius_mm <= 0.0) return chord_mm;
  return centre_mm + (chord_mm - centre_mm).normalized() * radius_mm;
}

void add_ropes(std::vector<Rope>& ropes, const geometry::Segment& segment, double along_mm,
               double along_end_mm, Angle turned_before) {
  if (!segment.is_arc()) {
    Rope rope;
    rope.a_mm = segment.start.origin_mm;
    rope.b_mm = rope.a_mm + segment.start.ahead * segment.length_mm;
    rope.along_a_mm = along_mm;
    rope.along_b_mm = along_end_mm;
    rope.turned_a_rad = rope.turned_b_rad = turned_before.rad();
    ropes.push_back(rope);
    return;
  }
  const int num = std::max(
      1, static_cast<int>(std::ceil(segment.angle.rad() / (0.5 * std::numbers::pi) - 1e-9)));
  const Angle part = segment.angle / num;
  const double half_sine = base::sin(part / 4.0);
  geometry::Frame frame = segment.start;
  for (int i = 0; i < num; ++i) {
    const geometry::Frame next = frame.swept(segment.radius_mm, part);
    Rope rope;
    rope.a_mm = frame.origin_mm;
    rope.b_mm = next.origin_mm;
    rope.centre_mm = frame.origin_mm + frame.inward * segment.radius_mm;
    rope.out = -(frame.inward + next.inward).normalized();
    rope.radius_mm = segment.radius_mm;
    rope.cos_half = base::cos(part / 2.0);
    rope.sag_mm = segment.radius_mm * 2.0 * half_sine * half_sine;
    rope.along_a_mm = along_mm + (along_end_mm - along_mm) * i / num;
    rope.along_b_mm = along_mm + (along_end_mm - along_mm) * (i + 1) / num;
    rope.turned_a_rad = (turned_before + part * i).rad();
    rope.turned_b_rad = (turned_before + part * (i + 1)).rad();
    ropes.push_back(rope);
    frame = next;
  }
}

Rope moved(const Rope& rope, const Eigen::Isometry3d& pose) {
  Rope out = rope;
  out.a_mm = pose * rope.a_mm;
  out.b_mm = pose * rope.b_mm;
  out.centre_mm = pose * rope.centre_mm;
  out.out = pose.linear() * rope.out;
  return out;
}

}  // namespace bight::clearance
