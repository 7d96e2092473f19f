#include "clearance/contests.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::clearance {

using base::Angle;
using geometry::Frame;
using geometry::Segment;
using geometry::Vec3;
using workshop::BenderKind;

namespace {

// A bend in the making is looked at in parts of about this angle, each there as soon as the first
// of it is bent.
constexpr double kPart_rad = std::numbers::pi / 12.0;

int num_parts(const TubeBend& bend) {
  return std::max(1, static_cast<int>(std::ceil(bend.set_angle.rad() / kPart_rad)));
}

// Adds one contest, unless there is nothing to strike.
void add(Contests& out, std::size_t stage, const CarrierMotion& carrier, const Obstacles& obstacles,
         const std::vector<Rope>& ropes, const Motion& motion, std::size_t skip_first,
         std::size_t skip_last, double spread_mm = 0.0) {
  if (obstacles.empty() || ropes.size() <= skip_first + skip_last) return;
  Contest contest;
  contest.ropes = &ropes;
  contest.obstacles = &obstacles;
  contest.skip_first = skip_first;
  contest.skip_last = skip_last;
  contest.spread_mm = spread_mm;
  contest.tag = static_cast<int>(out.about.size());
  const bool carrier_is_turned = carrier.start.rad() != 0.0 || carrier.turn.rad() != 0.0;
  if (carrier_is_turned && motion.turns() && carrier.turn.rad() == 0.0) {
    // The tube turns about an axis of its own against a carrier that stands turned: look at both
    // from where the carrier stands.
    const Eigen::Isometry3d pose = carrier.at(0.0);
    std::vector<Rope>& seen = out.ropes.emplace_back();
    for (const Rope& rope : ropes) seen.push_back(moved(rope, pose.inverse()));
    contest.ropes = &seen;
    contest.motion = seen_at(pose, motion);
  } else {
    contest.motion = seen_from(carrier, motion);
  }
  out.about.push_back({stage, carrier});
  out.list.push_back(contest);
}

}  // namespace

StepContests::StepContests(const Prepared& prepared, const Step& step)
    : prepared_(prepared),
      step_(step),
      at_(station(prepared.setup, step.die, prepared.dies[step.die].radius_mm)),
      stages_(clearance::stages(prepared.setup, prepared.tube, step, at_)) {}

// num_near: ropes of the first straight, arc and straight.
std::vector<Rope> StepContests::side_ropes(Side side, const Frame& from,
                                           std::size_t* num_near) const {
  std::vector<Rope> ropes;
  const std::vector<Piece> pieces = lay_side(prepared_.tube, step_, side, from);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const Piece& piece = pieces[i];
    add_ropes(ropes, piece.segment, piece.along_mm, piece.along_end_mm, piece.turned);
    if (i <= 2 && num_near != nullptr) *num_near = ropes.size();
  }
  ropes.back().flat_b = true;
  return ropes;
}

Contests StepContests::of_side(Side side) const {
  Contests out;
  const AroundDie& around = prepared_.around[step_.die];
  const bool carriage_fed = prepared_.bender.kind == BenderKind::kCarriageFed;
  const std::vector<Rope>* ropes = nullptr;
  Shape shape = Shape::kStraight;
  for (std::size_t i = 0; i < stages_.size(); ++i) {
    const StageMotion& stage = stages_[i];
    std::size_t num_near = 1;
    if (ropes == nullptr || stage.shape != shape) {
      shape = stage.shape;
      const Poses at = poses(prepared_.setup, prepared_.tube, step_, at_, shape);
      out.ropes.push_back(side_ropes(side, side == Side::kAhead ? at.ahead : at.behind, &num_near));
      ropes = &out.ropes.back();
    }
    const Motion& motion = side == Side::kAhead ? stage.ahead : stage.behind;
    // While a carriage pushes on, the bend made before is still leaving the die.
    const bool leaving = carriage_fed && stage.stage == Stage::kAdvance && side == Side::kAhead;
    const std::size_t held = leaving ? num_near : 1;
    add(out, i, {}, prepared_.still, *ropes, motion, 0, 0);
    add(out, i, {}, prepared_.discs, *ropes, motion, held, 0);
    add(out, i, stage.arm, prepared_.arm, *ropes, motion, 0, 0);
    add(out, i, stage.clamp, around.clamp, *ropes, motion, held, 0);
    add(out, i, stage.pressure_die, around.pressure_die, *ropes, motion, held, 0);
    if (!carriage_fed) continue;
    add(out, i, stage.carriage, prepared_.carriage, *ropes, motion, 0,
        side == Side::kBehind ? 1 : 0);
  }
  return out;
}

// The arc in parts, each with the share of the bending at which it begins to be there.
std::vector<Rope> StepContests::arc_in_parts(const Segment& arc) const {
  const TubeBend& bend = prepared_.tube.bends[step_.bend];
  const bool rising = step_.front == Front::kEndB;
  const double from_mm = rising ? bend.start_mm : bend.start_mm + bend.blank_mm;
  const double to_mm = rising ? bend.start_mm + bend.blank_mm : bend.start_mm;
  const int num = num_parts(bend);
  std::vector<Rope> ropes;
  for (int k = 0; k < num; ++k) {
    Segment part = arc;
    part.start = arc.at(arc.length_mm * k / num);
    part.length_mm = arc.length_mm / num;
    part.angle = arc.angle / num;
    add_ropes(ropes, part, from_mm + (to_mm - from_mm) * k / num,
              from_mm + (to_mm - from_mm) * (k + 1) / num, arc.angle * (1.0 * k / num));
    ropes.back().from_ratio = 1.0 * k / num;
  }
  return ropes;
}

Contests StepContests::of_bend() const {
  Contests out;
  const TubeBend& bend = prepared_.tube.bends[step_.bend];
  const bool wiped = prepared_.bender.kind == BenderKind::kHandLever;
  const int num = num_parts(bend);
  const auto bend_of = [&](Shape shape) {
    return poses(prepared_.setup, prepared_.tube, step_, at_, shape).bend;
  };
  const auto against_both = [&](std::size_t i, const std::vector<Rope>& ropes, const Motion& motion,
                                double spread_mm = 0.0) {
    add(out, i, {}, prepared_.still, ropes, motion, 0, 0, spread_mm);
    add(out, i, stages_[i].arm, prepared_.arm, ropes, motion, 0, 0, spread_mm);
  };
  const Segment loaded = bend_of(Shape::kLoaded);
  const Segment released = bend_of(Shape::kReleased);
  const Segment straight = bend_of(Shape::kStraight);
  for (std::size_t i = 0; i < stages_.size(); ++i) {
    const StageMotion& stage = stages_[i];
    if (stage.stage == Stage::kBend) {
      out.ropes.push_back(arc_in_parts(loaded));
      against_both(i, out.ropes.back(), Motion::still());
      // What is not yet bent: drawn up to the tangent point, or wiped on.
      std::vector<Rope>& rest = out.ropes.emplace_back();
      for (int k = 0; k < num; ++k) {
        Segment part = straight;
        part.start = straight.at(straight.length_mm * k / num);
        part.length_mm = straight.length_mm / num;
        add_ropes(rest, part, bend.start_mm, bend.start_mm + bend.blank_mm, Angle());
        rest.back().to_ratio = 1.0 * (k + 1) / num;
      }
      against_both(i, rest, wiped ? stage.ahead : Motion::still());
      continue;
    }
    if (stage.stage == Stage::kRelease) {
      for (int k = 0; k < num; ++k) {
        const Frame a = loaded.at(loaded.length_mm * k / num);
        const Frame b = loaded.at(loaded.length_mm * (k + 1) / num);
        const Frame a_end = released.at(released.length_mm * k / num);
        const Frame b_end = released.at(released.length_mm * (k + 1) / num);
        std::vector<Rope>& ropes = out.ropes.emplace_back();
        add_ropes(ropes, {a, loaded.length_mm / num, loaded.radius_mm, loaded.angle / num},
                  bend.start_mm, bend.start_mm + bend.blank_mm, Angle());
        const Angle turn = (bend.angle - bend.set_angle) * ((k + 0.5) / num * at_.hand);
        Motion motion = Motion::turned(a.origin_mm, Vec3::UnitZ(), Angle(), turn);
        motion.push_mm = a_end.origin_mm - a.origin_mm;
        // A stretch of arc neither turns nor opens quite like a rigid one: its far end misses by
        // this much, its sagitta changes by that, and an even turn leaves the straight line.
        const double miss_mm = (motion.at(1.0) * b.origin_mm - b_end.origin_mm).norm();
        const double sag_mm = std::abs(loaded.length_mm * loaded.angle.rad() -
                                       released.length_mm * released.angle.rad()) /
                              (8.0 * num * num);
        const double bow_mm = turn.rad() * turn.rad() / 8.0 * loaded.length_mm / num;
        against_both(i, ropes, motion, miss_mm + sag_mm + bow_mm);
      }
      continue;
    }
    std::vector<Rope>& ropes = out.ropes.emplace_back();
    add_ropes(ropes, stage.shape == Shape::kStraight ? straight : released, bend.start_mm,
              bend.start_mm + bend.blank_mm, Angle());
    against_both(i, ropes, stage.behind);
  }
  return out;
}

Contests StepContests::of_itself() const {
  Contests out;
  const TubeBend& bend = prepared_.tube.bends[step_.bend];
  const double ahead_rad = bending_on(prepared_.tube, step_, Side::kAhead).rad();
  const double behind_rad = bending_on(prepared_.tube, step_, Side::kBehind).rad();
  const double set_rad = bend.set_angle.rad();
  if (ahead_rad + behind_rad + set_rad < std::numbers::pi - 1e-9) return out;
  const auto add_pair = [&](std::size_t stage, const std::vector<Rope>& moving,
                            const Motion& motion, const CarrierMotion& carrier,
                            const std::vector<Rope>& still, double between_rad) {
    Contest contest;
    contest.ropes = &moving;
    contest.others = &still;
    contest.motion = seen_from(carrier, motion);
    contest.between_rad = between_rad;
    contest.tag = static_cast<int>(out.about.size());
    out.about.push_back({stage, carrier});
    out.list.push_back(contest);
  };
  for (std::size_t i = 0; i < stages_.size(); ++i) {
    const StageMotion& stage = stages_[i];
    if (stage.stage != Stage::kBend && stage.stage != Stage::kRelease) continue;
    const Poses at = poses(prepared_.setup, prepared_.tube, step_, at_, stage.shape);
    const std::vector<Rope>& ahead =
        out.ropes.emplace_back(side_ropes(Side::kAhead, at.ahead, nullptr));
    const std::vector<Rope>& behind =
        out.ropes.emplace_back(side_ropes(Side::kBehind, at.behind, nullptr));
    CarrierMotion with_tail;
    with_tail.slide_mm = stage.behind.push_mm;
    add_pair(i, ahead, stage.ahead, with_tail, behind, set_rad);
    if (stage.stage != Stage::kBend) continue;
    const Poses end = poses(prepared_.setup, prepared_.tube, step_, at_, Shape::kLoaded);
    if (behind_rad + set_rad >= std::numbers::pi - 1e-9) {
      // The whole bend is taken to be there from the start, never less.
      const std::vector<Rope>& arc = out.ropes.emplace_back(arc_in_parts(end.bend));
      add_pair(i, behind, stage.behind, {}, arc, 0.0);
    }
    if (ahead_rad + set_rad >= std::numbers::pi - 1e-9) {
      // At the end of bending, where all of it is there; before, less of it is, in the same place
      // relative to what lies ahead.
      std::vector<Rope>& arc = out.ropes.emplace_back(arc_in_parts(end.bend));
      for (Rope& rope : arc) {
        rope.turned_a_rad = set_rad - rope.turned_a_rad;
        rope.turned_b_rad = set_rad - rope.turned_b_rad;
      }
      const std::vector<Rope>& ahead_end =
          out.ropes.emplace_back(side_ropes(Side::kAhead, end.ahead, nullptr));
      add_pair(i, ahead_end, Motion::still(), {}, arc, 0.0);
    }
  }
  return out;
}

}  // namespace bight::clearance
