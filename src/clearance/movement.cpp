#include "clearance/movement.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "clearance/stages.h"
#include "clearance/surroundings.h"

namespace bight::clearance {

using base::Angle;
using geometry::Segment;
using workshop::CarriedBy;

namespace {

Segment moved_piece(const Segment& segment, const Eigen::Isometry3d& pose) {
  Segment out = segment;
  out.start = moved(segment.start, pose);
  return out;
}

// The bend while it is being made or released, from the tail to the front.
void add_bend(std::vector<Segment>& tube, const Prepared& p, const TubeBend& bend,
              const Station& at, const StageMotion& stage, const Poses& base, double t) {
  if (stage.stage == Stage::kRelease) {
    const auto between = [t](double loaded, double released) {
      return loaded + (released - loaded) * t;
    };
    const double radius_mm = between(bend.die_radius_mm, bend.radius_mm);
    const Angle angle = bend.set_angle + (bend.angle - bend.set_angle) * t;
    tube.push_back({at.tangent, radius_mm * angle.rad(), radius_mm, angle});
    return;
  }
  if (stage.stage != Stage::kBend) {
    tube.push_back(moved_piece(base.bend, stage.behind.at(t)));
    return;
  }
  const Segment arc{at.tangent, bend.die_radius_mm * bend.set_angle.rad() * t, bend.die_radius_mm,
                    bend.set_angle * t};
  const double rest_mm = bend.blank_mm * (1.0 - t);
  if (p.bender.kind == workshop::BenderKind::kHandLever) {
    tube.push_back(arc);
    tube.push_back({arc.at(arc.length_mm), rest_mm, 0.0, Angle()});
  } else {
    tube.push_back({at.tangent.advanced(-rest_mm), rest_mm, 0.0, Angle()});
    tube.push_back(arc);
  }
}

Eigen::Isometry3d carrier_pose(const StageMotion& stage, CarriedBy on, const Station& at,
                               double t) {
  Eigen::Isometry3d tangent = Eigen::Isometry3d::Identity();
  tangent.translation() = at.tangent.origin_mm;
  switch (on) {
    case CarriedBy::kFrame:
      return Eigen::Isometry3d::Identity();
    case CarriedBy::kArm:
      return stage.arm.at(t);
    case CarriedBy::kClamp:
      return stage.clamp.at(t) * tangent;
    case CarriedBy::kPressureDie:
      return stage.pressure_die.at(t) * tangent;
    case CarriedBy::kCarriage:
      return stage.carriage.at(t);
  }
  return Eigen::Isometry3d::Identity();
}

// How many moments a stage deserves, its first and last included.
int num_moments(const StageMotion& stage, const FilmOptions& options) {
  double num = 1.0;
  const auto length = [&](const geometry::Vec3& by_mm) {
    num = std::max(num, std::ceil(by_mm.norm() / options.length_step_mm));
  };
  const auto angle = [&](Angle by) {
    num = std::max(num, std::ceil(std::abs(by.rad()) / options.angle_step.rad() - 1e-9));
  };
  for (const Motion* motion : {&stage.ahead, &stage.behind}) {
    length(motion->push_mm);
    angle(motion->turn);
  }
  angle(stage.die_turn);
  length(stage.clamp.slide_mm);
  length(stage.pressure_die.slide_mm);
  return static_cast<int>(num) + 1;
}

}  // namespace

base::Result<std::vector<Moment>> movement(const Setup& setup, const Tube& tube, const Step& step,
                                           const FilmOptions& options) {
  BIGHT_TRY(const std::shared_ptr<const Prepared> p, prepare(setup, tube));
  std::vector<Moment> film;
  if (p->bender.kind == workshop::BenderKind::kThreeRoll) return film;
  BIGHT_CHECK(step.bend < tube.bends.size() && step.die < p->dies.size());
  const Station at = station(p->setup, step.die, p->dies[step.die].radius_mm);
  for (const StageMotion& stage : stages(p->setup, tube, step, at)) {
    const Poses base = poses(p->setup, tube, step, at, stage.shape);
    const std::vector<Piece> ahead = lay_side(tube, step, Side::kAhead, base.ahead);
    const std::vector<Piece> behind = lay_side(tube, step, Side::kBehind, base.behind);
    const int num = num_moments(stage, options);
    for (int i = 0; i < num; ++i) {
      const double t = static_cast<double>(i) / (num - 1);
      Moment moment;
      moment.stage = stage.stage;
      moment.share_ratio = t;
      moment.angle = stage.die_start + stage.die_turn * t;
      for (auto piece = behind.rbegin(); piece != behind.rend(); ++piece) {
        moment.tube.push_back(turned_back(moved_piece(piece->segment, stage.behind.at(t))));
      }
      add_bend(moment.tube, *p, tube.bends[step.bend], at, stage, base, t);
      for (const Piece& piece : ahead) {
        moment.tube.push_back(moved_piece(piece.segment, stage.ahead.at(t)));
      }
      for (const workshop::Body& body : p->bender.around.bodies) {
        moment.bodies.push_back(carrier_pose(stage, body.on, at, t) * body.pose());
      }
      moment.die.translation() = geometry::Vec3(0.0, 0.0, at.level_mm);
      // A lever's die stands still.
      if (p->bender.kind != workshop::BenderKind::kHandLever) {
        moment.die.linear() = stage.arm.at(t).linear();
      }
      film.push_back(std::move(moment));
    }
  }
  return film;
}

}  // namespace bight::clearance
