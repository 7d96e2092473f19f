#include "papers/tube_view.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::papers {

using base::Angle;
using geometry::Frame;
using geometry::Vec3;

namespace {

// A body is this much slimmer when it hides lines, so that it does not hide its own outlines.
constexpr double kSlimmer_ratio = 0.97;
// Metal nearer in front of a line than this share of the tube's half size does not hide it.
constexpr double kSkin_ratio = 0.25;
constexpr int kRingParts = 48;

Tube::Station station(const Frame& frame, Angle rolled, bool arc_before) {
  const Frame metal = frame.rolled(-rolled);
  return {frame.origin_mm, frame.ahead, metal.inward, metal.normal, arc_before};
}

// The part of the ray o + s d with lo <= s <= hi where |x| <= half along one axis.
void keep_slab(double o, double d, double least, double most, double& lo, double& hi) {
  if (std::abs(d) < 1e-12) {
    if (o < least || o > most) hi = lo - 1.0;
    return;
  }
  const double s1 = (least - o) / d;
  const double s2 = (most - o) / d;
  lo = std::max(lo, std::min(s1, s2));
  hi = std::min(hi, std::max(s1, s2));
}

// The same for a circle: |(x, y)| <= radius.
void keep_circle(double ox, double oy, double dx, double dy, double radius_mm, double& lo,
                 double& hi) {
  const double a = dx * dx + dy * dy;
  const double c = ox * ox + oy * oy - radius_mm * radius_mm;
  if (a < 1e-12) {
    if (c > 0.0) hi = lo - 1.0;
    return;
  }
  const double b = ox * dx + oy * dy;
  const double root2 = b * b - a * c;
  if (root2 <= 0.0) {
    hi = lo - 1.0;
    return;
  }
  const double root = std::sqrt(root2);
  lo = std::max(lo, (-b - root) / a);
  hi = std::min(hi, (-b + root) / a);
}

}  // namespace

Eye eye_from(const Vec3& toward, const Vec3& up) {
  Eye eye;
  eye.toward = toward.normalized();
  eye.right = up.cross(eye.toward).normalized();
  eye.up = eye.toward.cross(eye.right);
  return eye;
}

Tube::Tube(const geometry::Centreline& line, const stock::Section& section, Angle finest)
    : line_(line), section_(section) {
  // The bend plane rolls from bend to bend, the metal does not: what has been rolled so far is
  // taken back. A roll shows as the turn between one arc's inward and the straight before it.
  Angle rolled;
  for (const geometry::Segment& segment : line.segments) {
    if (segment.is_arc() && !stations_.empty()) {
      const Station& before = stations_.back();
      const Vec3& inward = segment.start.inward;
      rolled = Angle::radians(std::atan2(inward.dot(before.v), inward.dot(before.u)));
    }
    const int num_parts =
        segment.is_arc() ? std::max(2, static_cast<int>(std::ceil(segment.angle / finest))) : 1;
    for (int i = stations_.empty() ? 0 : 1; i <= num_parts; ++i) {
      const Frame at = segment.at(segment.length_mm * i / num_parts);
      stations_.push_back(station(at, rolled, segment.is_arc()));
    }
  }
}

double Tube::half_size_mm() const {
  return std::max(section_.height_mm(), section_.width_mm()) / 2.0;
}

double Tube::support_mm(const Station& at, const Vec3& direction) const {
  const double du = std::abs(direction.dot(at.u));
  const double dv = std::abs(direction.dot(at.v));
  const double half_height_mm = section_.height_mm() / 2.0;
  const double half_width_mm = section_.width_mm() / 2.0;
  if (section_.round()) return half_height_mm * std::hypot(du, dv);
  // A rectangle less its corners, with a disc of the corner's radius in each.
  const double corner_mm = section_.corner_radius_mm();
  return (half_height_mm - corner_mm) * du + (half_width_mm - corner_mm) * dv +
         corner_mm * std::hypot(du, dv);
}

Reach Tube::reach(const Vec3& direction) const {
  Reach reach{1e300, -1e300};
  const auto add = [&](const Station& at) {
    const double middle_mm = at.p_mm.dot(direction);
    const double half_mm = support_mm(at, direction);
    reach.least_mm = std::min(reach.least_mm, middle_mm - half_mm);
    reach.most_mm = std::max(reach.most_mm, middle_mm + half_mm);
  };
  add(stations_.front());
  for (std::size_t i = 1; i < stations_.size(); ++i) add(stations_[i]);
  // Within an arc the tube reaches furthest where its tangent is square to the direction; the
  // section's own reach grows with the centreline's there because the radius exceeds half the
  // section.
  std::size_t next = 0;
  for (const geometry::Segment& segment : line_.segments) {
    if (!segment.is_arc()) continue;
    const Vec3& start = segment.start.origin_mm;
    while ((stations_[next].p_mm - start).squaredNorm() > 1e-12 && next + 1 < stations_.size()) {
      ++next;
    }
    const Vec3 inward_at_start = segment.start.inward;
    const Angle rolled = Angle::radians(
        std::atan2(inward_at_start.dot(stations_[next].v), inward_at_start.dot(stations_[next].u)));
    const double ahead = segment.start.ahead.dot(direction);
    const double inward = inward_at_start.dot(direction);
    if (std::hypot(ahead, inward) < 1e-12) continue;
    double at_rad = std::atan2(-ahead, inward);
    while (at_rad > 0.0) at_rad -= std::numbers::pi;
    for (; at_rad <= segment.angle.rad(); at_rad += std::numbers::pi) {
      if (at_rad < 0.0) continue;
      add(station(segment.at(at_rad * segment.radius_mm), rolled, true));
    }
  }
  return reach;
}

bool Tube::hides(const Vec3& p_mm, const Vec3& toward) const {
  const double skin_mm = kSkin_ratio * half_size_mm();
  for (std::size_t i = 0; i + 1 < stations_.size(); ++i) {
    const Station& a = stations_[i];
    const Vec3 along = stations_[i + 1].p_mm - a.p_mm;
    const double length_mm = along.norm();
    if (length_mm < 1e-9) continue;
    const Vec3 o = p_mm - a.p_mm;
    const Vec3 ahead = along / length_mm;
    // Neighbouring pieces of an arc part like a fan: a little overlap closes it on the outside.
    const double turn = a.ahead.cross(stations_[i + 1].ahead).norm();
    const double overlap_mm = half_size_mm() * turn;
    double lo = 0.0;
    double hi = 1e300;
    keep_slab(o.dot(ahead), toward.dot(ahead), -overlap_mm, length_mm + overlap_mm, lo, hi);
    if (hi <= lo) continue;
    const double half_height_mm = kSlimmer_ratio * section_.height_mm() / 2.0;
    const double half_width_mm = kSlimmer_ratio * section_.width_mm() / 2.0;
    const Vec3 u = (a.u - a.u.dot(ahead) * ahead).normalized();
    const Vec3 v = ahead.cross(u);
    if (section_.round()) {
      keep_circle(o.dot(u), o.dot(v), toward.dot(u), toward.dot(v), half_height_mm, lo, hi);
    } else {
      keep_slab(o.dot(u), toward.dot(u), -half_height_mm, half_height_mm, lo, hi);
      keep_slab(o.dot(v), toward.dot(v), -half_width_mm, half_width_mm, lo, hi);
    }
    if (hi > lo && hi > skin_mm) return true;
  }
  return false;
}

namespace {

using Curve = std::vector<Vec3>;

// The outline of a round tube touches it where the skin is seen edge on: at the centreline plus
// or minus the radius along ahead x toward. Where the tube points at the eye there is no such
// place and the tube shows its full round.
void add_round_outlines(const Tube& tube, const Eye& eye, std::vector<Curve>& curves) {
  const double radius_mm = tube.section().height_mm() / 2.0;
  Curve left, right;
  Vec3 last = Vec3::Zero();
  const auto close = [&] {
    if (left.size() > 1) curves.push_back(left);
    if (right.size() > 1) curves.push_back(right);
    left.clear();
    right.clear();
  };
  for (const Tube::Station& at : tube.stations()) {
    const Vec3 across = at.ahead.cross(eye.toward);
    const double sine = across.norm();
    if (sine < 0.02) {
      close();
      Curve ring;
      for (int k = 0; k <= kRingParts; ++k) {
        const Angle a = Angle::radians(2.0 * std::numbers::pi * k / kRingParts);
        ring.push_back(at.p_mm + radius_mm * (at.u * base::cos(a) + at.v * base::sin(a)));
      }
      curves.push_back(ring);
      if (sine < 1e-9) continue;
    }
    const Vec3 nhat = across / sine;
    if (nhat.dot(last) < 0.0) close();
    last = nhat;
    left.push_back(at.p_mm + radius_mm * nhat);
    right.push_back(at.p_mm - radius_mm * nhat);
  }
  close();
}

// The long edges of a rectangular tube, and on the outside and inside of its bends the line where
// the curved flat turns away from the eye.
void add_rectangular_outlines(const Tube& tube, const Eye& eye, std::vector<Curve>& curves) {
  const double half_height_mm = tube.section().height_mm() / 2.0;
  const double half_width_mm = tube.section().width_mm() / 2.0;
  for (const double hu : {-half_height_mm, half_height_mm}) {
    for (const double hv : {-half_width_mm, half_width_mm}) {
      Curve edge;
      for (const Tube::Station& at : tube.stations()) {
        edge.push_back(at.p_mm + hu * at.u + hv * at.v);
      }
      curves.push_back(edge);
    }
  }
  const auto& stations = tube.stations();
  for (std::size_t i = 1; i < stations.size(); ++i) {
    const Tube::Station& at = stations[i];
    if (!at.arc_before) continue;
    const Vec3 turn = stations[i - 1].ahead.cross(at.ahead);
    if (turn.norm() < 1e-9) continue;
    const Vec3 radial = at.ahead.cross(turn.normalized());
    const Vec3 radial_before = stations[i - 1].ahead.cross(turn.normalized());
    if (radial.dot(eye.toward) * radial_before.dot(eye.toward) > 0.0) continue;
    const bool along_u = std::abs(radial.dot(at.u)) > 0.9;
    if (!along_u && std::abs(radial.dot(at.v)) < 0.9) continue;
    for (const double side : {-1.0, 1.0}) {
      const Vec3 off =
          along_u ? Vec3(side * half_height_mm * at.u) : Vec3(side * half_width_mm * at.v);
      const Vec3 half = along_u ? Vec3(half_width_mm * at.v) : Vec3(half_height_mm * at.u);
      curves.push_back({at.p_mm + off - half, at.p_mm + off + half});
    }
  }
}

// The rim of an end, or of its bore when inset by the wall.
Curve rim(const Tube& tube, const Tube::Station& at, double inset_mm) {
  const double half_height_mm = tube.section().height_mm() / 2.0 - inset_mm;
  const double half_width_mm = tube.section().width_mm() / 2.0 - inset_mm;
  Curve ring;
  if (tube.section().round()) {
    for (int k = 0; k <= kRingParts; ++k) {
      const Angle a = Angle::radians(2.0 * std::numbers::pi * k / kRingParts);
      ring.push_back(at.p_mm + half_height_mm * (at.u * base::cos(a) + at.v * base::sin(a)));
    }
    return ring;
  }
  for (const auto& [su, sv] : {std::pair{1, 1}, {1, -1}, {-1, -1}, {-1, 1}, {1, 1}}) {
    ring.push_back(at.p_mm + su * half_height_mm * at.u + sv * half_width_mm * at.v);
  }
  return ring;
}

struct Shares {
  std::size_t seen = 0;
  std::size_t hidden = 0;
};

// Cuts the curve into steps and keeps the runs that can be seen. A line inside the tube, half_mm
// below its skin, is looked for on the skin in front of it.
void add_seen(const Tube& tube, const Eye& eye, const Curve& curve, double step_mm, double half_mm,
              std::vector<std::vector<ViewPoint>>& runs, Shares* shares) {
  std::vector<ViewPoint> run;
  const auto close = [&] {
    if (run.size() > 1) runs.push_back(run);
    run.clear();
  };
  for (std::size_t i = 0; i + 1 < curve.size(); ++i) {
    const Vec3 along = curve[i + 1] - curve[i];
    const double seen_length_mm = (along - along.dot(eye.toward) * eye.toward).norm();
    const double sine = seen_length_mm / std::max(1e-9, along.norm());
    const double lift_mm = half_mm * 1.02 / std::max(0.1, sine);
    const int num_steps = std::max(1, static_cast<int>(std::ceil(seen_length_mm / step_mm)));
    for (int k = 0; k < num_steps; ++k) {
      const Vec3 from = curve[i] + along * (static_cast<double>(k) / num_steps);
      const Vec3 to = curve[i] + along * (static_cast<double>(k + 1) / num_steps);
      const Vec3 middle = (from + to) / 2.0 + lift_mm * eye.toward;
      if (tube.hides(middle, eye.toward)) {
        if (shares) ++shares->hidden;
        close();
        continue;
      }
      if (shares) ++shares->seen;
      if (run.empty()) run.push_back(eye.seen(from));
      run.push_back(eye.seen(to));
    }
  }
  close();
}

}  // namespace

TubeLines seen_lines(const Tube& tube, const Eye& eye, double step_mm) {
  std::vector<Curve> curves;
  if (tube.section().round()) {
    add_round_outlines(tube, eye, curves);
  } else {
    add_rectangular_outlines(tube, eye, curves);
  }
  const auto& stations = tube.stations();
  curves.push_back(rim(tube, stations.front(), 0.0));
  curves.push_back(rim(tube, stations.back(), 0.0));

  TubeLines lines;
  Shares shares;
  for (const Curve& curve : curves) {
    add_seen(tube, eye, curve, step_mm, 0.0, lines.outlines, &shares);
  }
  const std::size_t num_all = shares.seen + shares.hidden;
  if (num_all > 0) {
    lines.hidden_ratio = static_cast<double>(shares.hidden) / static_cast<double>(num_all);
  }
  if (tube.section().hollow()) {
    const double wall_mm = tube.section().wall_mm();
    if (stations.front().ahead.dot(eye.toward) < -0.05) {
      add_seen(tube, eye, rim(tube, stations.front(), wall_mm), step_mm, 0.0, lines.bores, nullptr);
    }
    if (stations.back().ahead.dot(eye.toward) > 0.05) {
      add_seen(tube, eye, rim(tube, stations.back(), wall_mm), step_mm, 0.0, lines.bores, nullptr);
    }
  }
  Curve middle;
  for (const Tube::Station& at : stations) middle.push_back(at.p_mm);
  add_seen(tube, eye, middle, step_mm, tube.half_size_mm(), lines.centreline, nullptr);
  return lines;
}

}  // namespace bight::papers
