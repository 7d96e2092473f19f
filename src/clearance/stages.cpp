#include "clearance/stages.h"

#include "base/check.h"

namespace bight::clearance {

using base::Angle;
using geometry::Frame;
using geometry::Vec3;
using workshop::BenderKind;

namespace {

bool lever(const Setup& setup) { return setup.bender->kind == BenderKind::kHandLever; }
bool carriage_fed(const Setup& setup) { return setup.bender->kind == BenderKind::kCarriageFed; }

// A step's stages being put together: what each stage leaves behind is where the next begins.
class Course {
 public:
  Course(const Setup& setup, const Tube& tube, const Step& step, const Station& at)
      : setup_(setup),
        tube_(tube),
        step_(step),
        at_(at),
        around_(setup.bender->around),
        bend_(tube.bends[step.bend]) {
    rest_.clamp.shift_mm = opening_mm(around_.clamp_opens_mm);
    rest_.pressure_die.shift_mm = opening_mm(around_.pressure_die_opens_mm);
    // The carriage holds the very tail of the blank, which reaches back from the tangent point.
    const double along_mm = step.front == Front::kEndB
                                ? bend_.start_mm
                                : tube.length_mm - bend_.start_mm - bend_.blank_mm;
    rest_.carriage.shift_mm = at.tangent.origin_mm - at.tangent.ahead * (along_mm + bend_.blank_mm);
  }

  std::vector<StageMotion> run() {
    carriage_fed(setup_) ? feed_in() : bring_in();
    close(Stage::kClamp);
    bend();
    release();
    close(Stage::kUnclamp);
    carriage_fed(setup_) ? turn_back() : take_out();
    return std::move(out_);
  }

 private:
  Vec3 opening_mm(double by_mm) const { return at_.outward() * by_mm; }

  // Both sides of the tube move as one.
  void whole(StageMotion stage, const Motion& motion) {
    stage.ahead = stage.behind = motion;
    out_.push_back(stage);
  }

  StageMotion begin(Stage stage) const {
    StageMotion next = rest_;
    next.stage = stage;
    return next;
  }

  // Turned by less than the step's turn from the bend's plane, pushed back from its mark.
  Motion before_its_mark(const Vec3& beside_mm, bool turned, double short_of_mm) const {
    Motion motion = Motion::turned(at_.tangent.origin_mm, at_.tangent.ahead,
                                   turned ? Angle() : -step_.turn, Angle());
    motion.after_mm = beside_mm - at_.tangent.ahead * short_of_mm;
    return motion;
  }

  void advance_and_turn(const Vec3& beside_mm) {
    if (step_.advance_mm > 0.0) {
      StageMotion stage = begin(Stage::kAdvance);
      const Vec3 by_mm = at_.tangent.ahead * step_.advance_mm;
      Motion motion = before_its_mark(beside_mm, false, step_.advance_mm);
      motion.push_mm = by_mm;
      stage.carriage.shift_mm -= by_mm;
      stage.carriage.slide_mm = by_mm;
      whole(stage, motion);
    }
    if (step_.turn.rad() != 0.0) {
      Motion motion = before_its_mark(beside_mm, false, 0.0);
      motion.turn = step_.turn;
      whole(begin(Stage::kTurn), motion);
    }
  }

  void bring_in() {
    const Vec3 beside_mm = at_.outward() * beside_groove_mm(tube_);
    const Vec3 lift_mm = Vec3::UnitZ() * around_.lift_mm;
    Motion down = before_its_mark(beside_mm + lift_mm, false, step_.advance_mm);
    down.push_mm = -lift_mm;
    whole(begin(Stage::kLoad), down);
    advance_and_turn(beside_mm);
    whole(begin(Stage::kSeat), Motion::pushed(beside_mm, -beside_mm));
  }

  void feed_in() { advance_and_turn(Vec3::Zero()); }

  // Clamp and pressure die close on the tube, or open.
  void close(Stage which) {
    const double sign = which == Stage::kClamp ? -1.0 : 1.0;
    StageMotion stage = begin(which);
    stage.clamp.slide_mm = opening_mm(sign * around_.clamp_opens_mm);
    stage.pressure_die.slide_mm = opening_mm(sign * around_.pressure_die_opens_mm);
    whole(stage, Motion::still());
    rest_.clamp.shift_mm += stage.clamp.slide_mm;
    rest_.pressure_die.shift_mm += stage.pressure_die.slide_mm;
  }

  void bend() {
    StageMotion stage = begin(Stage::kBend);
    const Angle turn = bend_.set_angle * at_.hand;
    stage.die_turn = bend_.set_angle;
    stage.ahead = Motion::turned(Vec3::Zero(), Vec3::UnitZ(), Angle(), turn);
    stage.arm.turn = turn;
    const Vec3 feed_mm = at_.tangent.ahead * bend_.blank_mm;
    if (lever(setup_)) {
      // Die and tail stand still; the tube ahead is wiped round, so its straight part rolls on the
      // die: it slides back by the length laid on while it turns.
      stage.ahead.slide_mm = at_.tangent.ahead * -bend_.blank_mm;
      stage.pressure_die.turn = turn;
    } else {
      stage.clamp.turn = turn;
      stage.behind = Motion::pushed(Vec3::Zero(), feed_mm);
      stage.carriage.slide_mm = feed_mm;
      if (around_.pressure_die_follows) stage.pressure_die.slide_mm = feed_mm;
    }
    out_.push_back(stage);
    const auto settle = [](CarrierMotion& rest, const CarrierMotion& moved) {
      rest.start = moved.start + moved.turn;
      rest.shift_mm = moved.shift_mm + moved.slide_mm;
    };
    settle(rest_.arm, stage.arm);
    settle(rest_.clamp, stage.clamp);
    settle(rest_.pressure_die, stage.pressure_die);
    settle(rest_.carriage, stage.carriage);
    rest_.die_start = bend_.set_angle;
    rest_.shape = Shape::kLoaded;
  }

  // From the loaded to the released pose the front turns evenly while the end of the bend moves in
  // a straight line.
  void release() {
    StageMotion stage = begin(Stage::kRelease);
    const Frame loaded = poses(setup_, tube_, step_, at_, Shape::kLoaded).ahead;
    const Frame released = poses(setup_, tube_, step_, at_, Shape::kReleased).ahead;
    stage.ahead = Motion::turned(loaded.origin_mm, Vec3::UnitZ(), Angle(),
                                 (bend_.angle - bend_.set_angle) * at_.hand);
    stage.ahead.push_mm = released.origin_mm - loaded.origin_mm;
    out_.push_back(stage);
    rest_.shape = Shape::kReleased;
  }

  // Off the die along the middle of the bend: that way every place of an arc up to 180° leaves its
  // groove, or slides along it.
  void take_out() {
    const double half_sine = base::sin(bend_.angle / 2.0);
    const double half_cosine = base::cos(bend_.angle / 2.0);
    const Vec3 off_mm =
        (at_.tangent.ahead * half_sine + at_.outward() * half_cosine) * beside_groove_mm(tube_);
    whole(begin(Stage::kDrawOff), Motion::pushed(Vec3::Zero(), off_mm));
    whole(begin(Stage::kLift), Motion::pushed(off_mm, Vec3::UnitZ() * around_.lift_mm));
  }

  void turn_back() {
    StageMotion stage = begin(Stage::kReturn);
    stage.die_turn = -bend_.set_angle;
    stage.arm.turn = -stage.arm.start;
    stage.clamp.turn = -stage.clamp.start;
    whole(stage, Motion::still());
  }

  const Setup& setup_;
  const Tube& tube_;
  const Step& step_;
  const Station& at_;
  const workshop::Surroundings& around_;
  const TubeBend& bend_;
  StageMotion rest_;  // as the stage before has left everything
  std::vector<StageMotion> out_;
};

}  // namespace

double beside_groove_mm(const Tube& tube) { return 0.5 * tube.od_mm; }

Poses poses(const Setup& setup, const Tube& tube, const Step& step, const Station& at,
            Shape shape) {
  const TubeBend& bend = tube.bends[step.bend];
  const Frame& tangent = at.tangent;
  Poses out;
  switch (shape) {
    case Shape::kStraight: {
      // The lever wipes on what lies ahead of the tangent point, the others draw in what lies
      // behind it.
      const Frame tail = lever(setup) ? tangent : tangent.advanced(-bend.blank_mm);
      out.bend = {tail, bend.blank_mm, 0.0, Angle()};
      break;
    }
    case Shape::kLoaded:
      out.bend = {tangent, bend.die_radius_mm * bend.set_angle.rad(), bend.die_radius_mm,
                  bend.set_angle};
      break;
    case Shape::kReleased:
      out.bend = {tangent, bend.radius_mm * bend.angle.rad(), bend.radius_mm, bend.angle};
      break;
  }
  out.behind = turned_back(out.bend.start);
  out.ahead = out.bend.at(out.bend.length_mm);
  return out;
}

std::vector<StageMotion> stages(const Setup& setup, const Tube& tube, const Step& step,
                                const Station& at) {
  BIGHT_CHECK(setup.bender->kind != BenderKind::kThreeRoll);
  return Course(setup, tube, step, at).run();
}

}  // namespace bight::clearance
