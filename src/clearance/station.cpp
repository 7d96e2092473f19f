#include "clearance/station.h"

#include <fmt/format.h>

#include <algorithm>

namespace bight::clearance {

using base::Angle;
using geometry::Frame;
using geometry::Segment;
using geometry::Vec3;

namespace {

bool made(const Step& step, std::size_t bend) { return ((step.made >> bend) & 1u) != 0; }

// Whether going outwards on this side goes towards end B.
bool towards_b(const Step& step, Side side) {
  return (side == Side::kAhead) == (step.front == Front::kEndB);
}

}  // namespace

Station station(const Setup& setup, std::size_t die, double die_radius_mm) {
  Station out;
  const workshop::DieSet& used = *setup.mounted[die];
  out.hand = setup.bender->direction == workshop::TurnDirection::kClockwise ? -1.0 : 1.0;
  const auto level = static_cast<std::size_t>(used.level - 1);
  const std::vector<double>& levels_mm = setup.bender->around.levels_mm;
  out.level_mm = level < levels_mm.size() ? levels_mm[level] : 0.0;
  out.tangent.origin_mm = Vec3(0.0, -out.hand * die_radius_mm, out.level_mm);
  out.tangent.ahead = Vec3::UnitX();
  out.tangent.inward = Vec3::UnitY() * out.hand;
  out.tangent.normal = Vec3::UnitZ() * out.hand;
  return out;
}

base::Result<double> level_mm(const Setup& setup, const workshop::DieSet& die) {
  const std::vector<double>& levels_mm = setup.bender->around.levels_mm;
  if (levels_mm.empty()) return 0.0;
  const auto level = static_cast<std::size_t>(die.level - 1);
  if (die.level < 1 || level >= levels_mm.size()) {
    return base::Failure{
        "clearance.die", die.name,
        fmt::format("the die sits on level {} of a stack that has {}", die.level, levels_mm.size()),
        "give the bender's levels one height for each level of its stack"};
  }
  return levels_mm[level];
}

std::vector<Piece> lay_side(const Tube& tube, const Step& step, Side side, const Frame& start) {
  const bool rising = towards_b(step, side);
  const auto near_edge = [&](const TubeBend& bend) {
    return rising ? bend.start_mm : bend.start_mm + bend.blank_mm;
  };
  const auto far_edge = [&](const TubeBend& bend) {
    return rising ? bend.start_mm + bend.blank_mm : bend.start_mm;
  };
  std::vector<Piece> pieces;
  Frame frame = start;
  Angle turned;
  double from_mm = far_edge(tube.bends[step.bend]);
  const auto straight_to = [&](double to_mm, bool always) {
    const double length_mm = rising ? to_mm - from_mm : from_mm - to_mm;
    if (length_mm > 0.0 || always) {
      pieces.push_back({{frame, std::max(0.0, length_mm), 0.0, Angle()}, from_mm, to_mm, turned});
      frame = frame.advanced(std::max(0.0, length_mm));
    }
    from_mm = to_mm;
  };
  std::size_t before = step.bend;
  // A straight that holds bends not yet made keeps its direction; only the plane of what follows
  // turns, so the frame at its start may be rolled at once.
  Angle pending;
  while (rising ? before + 1 < tube.bends.size() : before > 0) {
    const std::size_t next = rising ? before + 1 : before - 1;
    pending = pending + tube.bends[std::max(before, next)].rotation;
    before = next;
    if (!made(step, next)) continue;
    const TubeBend& bend = tube.bends[next];
    straight_to(near_edge(bend), pieces.empty());
    frame = frame.rolled(pending);
    pending = Angle();
    pieces.push_back({{frame, bend.radius_mm * bend.angle.rad(), bend.radius_mm, bend.angle},
                      near_edge(bend),
                      far_edge(bend),
                      turned});
    frame = frame.swept(bend.radius_mm, bend.angle);
    turned = turned + bend.angle;
    from_mm = far_edge(bend);
  }
  straight_to(rising ? tube.length_mm : 0.0, true);
  return pieces;
}

Frame turned_back(const Frame& frame) {
  Frame out = frame;
  out.ahead = -frame.ahead;
  out.normal = -frame.normal;
  return out;
}

Segment turned_back(const Segment& segment) {
  Segment out = segment;
  out.start = turned_back(segment.at(segment.length_mm));
  return out;
}

Frame moved(const Frame& frame, const Eigen::Isometry3d& pose) {
  return {pose * frame.origin_mm, pose.linear() * frame.ahead, pose.linear() * frame.inward,
          pose.linear() * frame.normal};
}

Angle bending_on(const Tube& tube, const Step& step, Side side) {
  Angle sum;
  const bool rising = towards_b(step, side);
  for (std::size_t i = 0; i < tube.bends.size(); ++i) {
    const bool here = rising ? i > step.bend : i < step.bend;
    if (here && made(step, i)) sum = sum + tube.bends[i].angle;
  }
  return sum;
}

}  // namespace bight::clearance
