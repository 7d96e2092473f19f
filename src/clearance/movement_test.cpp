#include "clearance/movement.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Segment;
using geometry::Vec3;
using sample::Angle;
using workshop::BenderKind;
using workshop::TurnDirection;
using Matrix = Eigen::Matrix4d;

Matrix shift(double x_mm, double y_mm, double z_mm) {
  Matrix m = Matrix::Identity();
  m.topRightCorner<3, 1>() = Vec3(x_mm, y_mm, z_mm);
  return m;
}
Matrix roll(double a_rad) {
  Matrix m = Matrix::Identity();
  m(1, 1) = m(2, 2) = std::cos(a_rad);
  m(2, 1) = std::sin(a_rad);
  m(1, 2) = -m(2, 1);
  return m;
}
Matrix yaw(double a_rad) {
  Matrix m = Matrix::Identity();
  m(0, 0) = m(1, 1) = std::cos(a_rad);
  m(1, 0) = std::sin(a_rad);
  m(0, 1) = -m(1, 0);
  return m;
}
Vec3 place(const Matrix& m) { return m.topRightCorner<3, 1>(); }

// Tangent points from end A to end B of a tube whose bends are bent or not as `made` says, the bend
// in hand with its own radius and angle: a product of homogeneous matrices along the tube, x ahead,
// y towards the inside of the bend. Sharing no code with what it tests.
struct Path {
  std::vector<Vec3> points_mm;
  Matrix at_bend;  // frame at the end-A side tangent point of the bend in hand
};
Path path(const Tube& tube, const Step& step, double radius_mm, double angle_rad) {
  Path out;
  Matrix m = Matrix::Identity();
  double at_mm = 0.0;
  out.points_mm.push_back(place(m));
  for (std::size_t i = 0; i < tube.bends.size(); ++i) {
    const TubeBend& bend = tube.bends[i];
    m = m * shift(bend.start_mm - at_mm, 0, 0) * roll(i == 0 ? 0.0 : bend.rotation.rad());
    at_mm = bend.start_mm + bend.blank_mm;
    if (i == step.bend) out.at_bend = m;
    const bool made = ((step.made >> i) & 1u) != 0;
    if (!made && i != step.bend) {
      m = m * shift(bend.blank_mm, 0, 0);
      continue;
    }
    const double r_mm = i == step.bend ? radius_mm : bend.radius_mm;
    const double a_rad = i == step.bend ? angle_rad : bend.angle.rad();
    out.points_mm.push_back(place(m));
    m = m * shift(0, r_mm, 0) * yaw(a_rad) * shift(0, -r_mm, 0);
    out.points_mm.push_back(place(m));
  }
  out.points_mm.push_back(place(m * shift(tube.length_mm - at_mm, 0, 0)));
  return out;
}

// Ends of the film's arcs and of the whole tube, from the tail to the front.
std::vector<Vec3> film_points(const Moment& moment) {
  std::vector<Vec3> out{moment.tube.front().start.origin_mm};
  for (const Segment& s : moment.tube) {
    if (!s.is_arc()) continue;
    out.push_back(s.start.origin_mm);
    out.push_back(s.at(s.length_mm).origin_mm);
  }
  out.push_back(moment.tube.back().at(moment.tube.back().length_mm).origin_mm);
  return out;
}

struct Case {
  workshop::Bender bender;
  workshop::DieSet die = sample::die();
  Tube tube;
  Step step;
  Setup setup() const { return {&bender, {&die}}; }
};

Case random_case(std::mt19937_64& rng, BenderKind kind) {
  Case c;
  const auto direction =
      rng() % 2 == 0 ? TurnDirection::kClockwise : TurnDirection::kCounterClockwise;
  c.bender = sample::bender(kind, direction);
  c.tube = sample::random_tube(rng, 1 + rng() % 6);
  c.step.bend = rng() % c.tube.bends.size();
  c.step.made =
      rng() & ((MadeBends{1} << c.tube.bends.size()) - 1) & ~(MadeBends{1} << c.step.bend);
  c.step.front = rng() % 2 == 0 ? Front::kEndA : Front::kEndB;
  c.step.turn = Angle::degrees(sample::uniform(rng, -170, 170));
  c.step.advance_mm = sample::uniform(rng, 1, 300);
  return c;
}

// The released tube lies at the die where the product of matrices puts it: the tangent point on the
// feed axis, the bend round the die's side, for both hands and both ends ahead.
TEST(Movement, ReleasedTubeByMatrices) {
  std::mt19937_64 rng(10);
  for (int round = 0; round < 200; ++round) {
    const Case c =
        random_case(rng, std::array{BenderKind::kHandPlaced, BenderKind::kHandLever,
                                    BenderKind::kCarriageFed}[static_cast<std::size_t>(round % 3)]);
    const auto film = movement(c.setup(), c.tube, c.step).value();
    const TubeBend& bend = c.tube.bends[c.step.bend];
    const auto moment = std::find_if(film.begin(), film.end(),
                                     [](const Moment& m) { return m.stage == Stage::kUnclamp; });
    ASSERT_NE(moment, film.end());
    const Path wanted = path(c.tube, c.step, bend.radius_mm, bend.angle.rad());
    // Machine from tube. End B ahead: x of the bend's frame is the feed. End A ahead: the bend is
    // entered from its other end, so the feed is against x there.
    const bool b_ahead = c.step.front == Front::kEndB;
    const double hand = c.bender.direction == TurnDirection::kClockwise ? -1.0 : 1.0;
    Matrix entry = wanted.at_bend;
    if (!b_ahead) {
      entry = entry * shift(0, bend.radius_mm, 0) * yaw(bend.angle.rad()) *
              shift(0, -bend.radius_mm, 0);
    }
    Matrix station = shift(0, -hand * 114.3, 0);
    // x ahead, y inward; a clockwise head has y of the machine against it.
    if (hand < 0) station = station * roll(std::numbers::pi);
    if (!b_ahead) {
      Matrix about = Matrix::Identity();  // x and z turned, y kept: a half turn about y
      about(0, 0) = about(2, 2) = -1.0;
      station = station * about;
    }
    const Matrix to_machine = station * entry.inverse();
    std::vector<Vec3> points = wanted.points_mm;
    if (!b_ahead) std::reverse(points.begin(), points.end());
    const std::vector<Vec3> got = film_points(*moment);
    ASSERT_EQ(got.size(), points.size());
    for (std::size_t i = 0; i < got.size(); ++i) {
      const Vec3 p_mm = (to_machine * points[i].homogeneous()).head<3>();
      EXPECT_LT((got[i] - p_mm).norm(), 1e-8) << round << " point " << i;
    }
  }
}

// While a rotary die turns, what lies ahead turns with it about the die's axis and what lies behind
// follows along the feed; a lever wipes the front round and the tail stands.
TEST(Movement, BendingByMatrices) {
  std::mt19937_64 rng(11);
  for (int round = 0; round < 60; ++round) {
    const bool lever = round % 2 == 1;
    const Case c = random_case(rng, lever ? BenderKind::kHandLever : BenderKind::kHandPlaced);
    const auto film = movement(c.setup(), c.tube, c.step).value();
    const TubeBend& bend = c.tube.bends[c.step.bend];
    const double hand = c.bender.direction == TurnDirection::kClockwise ? -1.0 : 1.0;
    std::optional<Moment> first;
    int num = 0;
    for (const Moment& m : film) {
      if (m.stage != Stage::kBend) continue;
      if (!first.has_value()) first = m;
      ++num;
      const double t = m.share_ratio;
      EXPECT_NEAR(m.angle.rad(), bend.set_angle.rad() * t, 1e-12);
      const Vec3 front0 = film_points(*first).back();
      const Vec3 tail0 = film_points(*first).front();
      const Matrix turn = yaw(hand * bend.set_angle.rad() * t);
      const Matrix front = lever ? Matrix(turn * shift(-bend.blank_mm * t, 0, 0)) : turn;
      const Matrix tail = lever ? Matrix(Matrix::Identity()) : shift(bend.blank_mm * t, 0, 0);
      EXPECT_LT((film_points(m).back() - (front * front0.homogeneous()).head<3>()).norm(), 1e-8);
      EXPECT_LT((film_points(m).front() - (tail * tail0.homogeneous()).head<3>()).norm(), 1e-8);
      // Bodies: arm and clamp turn with the die, the rest stands.
      for (std::size_t i = 0; i < m.bodies.size(); ++i) {
        const auto on = c.bender.around.bodies[i].on;
        const bool turns = on == workshop::CarriedBy::kArm ||
                           (!lever && on == workshop::CarriedBy::kClamp) ||
                           (lever && on == workshop::CarriedBy::kPressureDie);
        const Matrix wanted =
            (turns ? turn : Matrix(Matrix::Identity())) * first->bodies[i].matrix();
        EXPECT_LT((m.bodies[i].matrix() - wanted).cwiseAbs().maxCoeff(), 1e-9) << i;
      }
    }
    EXPECT_GE(num, bend.set_angle.deg() / 2.0);
  }
}

// Nothing jumps: each stage begins where the one before ended, and the pieces of the tube join.
// (The arc of a release is drawn evenly between its two shapes, so it may miss the front by a
// fraction of a millimetre on the way.)
TEST(Movement, NothingJumps) {
  std::mt19937_64 rng(12);
  for (int round = 0; round < 60; ++round) {
    const Case c =
        random_case(rng, std::array{BenderKind::kHandPlaced, BenderKind::kHandLever,
                                    BenderKind::kCarriageFed}[static_cast<std::size_t>(round % 3)]);
    const auto film = movement(c.setup(), c.tube, c.step).value();
    for (std::size_t i = 0; i < film.size(); ++i) {
      const Moment& m = film[i];
      for (std::size_t k = 1; k < m.tube.size(); ++k) {
        const Vec3 end_mm = m.tube[k - 1].at(m.tube[k - 1].length_mm).origin_mm;
        EXPECT_LT((end_mm - m.tube[k].start.origin_mm).norm(),
                  m.stage == Stage::kRelease ? 0.6 : 1e-8)
            << word(m.stage) << " " << k;
      }
      if (i == 0 || film[i - 1].stage == m.stage) continue;
      const Moment& before = film[i - 1];
      EXPECT_EQ(before.share_ratio, 1.0);
      EXPECT_EQ(m.share_ratio, 0.0);
      // When bending begins and ends, an arc of no angle comes and a straight of no length goes.
      EXPECT_LT((film_points(before).front() - film_points(m).front()).norm(), 1e-8);
      EXPECT_LT((film_points(before).back() - film_points(m).back()).norm(), 1e-8)
          << word(before.stage) << " to " << word(m.stage);
      for (std::size_t k = 0; k < m.bodies.size(); ++k) {
        EXPECT_LT((m.bodies[k].matrix() - before.bodies[k].matrix()).cwiseAbs().maxCoeff(), 1e-9)
            << c.bender.around.bodies[k].name << " from " << word(before.stage);
      }
    }
  }
}

// The stages each kind of bender goes through; a three-roll bender has none.
TEST(Movement, StagesOfEachKind) {
  std::mt19937_64 rng(13);
  const auto words = [&](BenderKind kind, bool turned) {
    Case c = random_case(rng, kind);
    if (!turned) {
      c.step.turn = Angle();
      c.step.advance_mm = 0;
    }
    std::string out;
    const std::vector<Moment> film = movement(c.setup(), c.tube, c.step).value();
    for (const Moment& m : film) {
      if (m.share_ratio == 0.0) out += std::string(word(m.stage)) + ", ";
    }
    return out;
  };
  EXPECT_EQ(words(BenderKind::kHandPlaced, false),
            "load, seat, clamp, bend, release, unclamp, draw off, lift, ");
  EXPECT_EQ(words(BenderKind::kHandPlaced, true),
            "load, advance, turn, seat, clamp, bend, release, unclamp, draw off, lift, ");
  EXPECT_EQ(words(BenderKind::kCarriageFed, true),
            "advance, turn, clamp, bend, release, unclamp, return, ");
  EXPECT_EQ(words(BenderKind::kHandLever, false),
            "load, seat, clamp, bend, release, unclamp, draw off, lift, ");
  EXPECT_EQ(words(BenderKind::kThreeRoll, false), "");
}

// The turn is right-hand positive about the feed: -z goes to +y by +90° about +x.
TEST(Movement, TurnIsRightHanded) {
  Case c;
  c.bender = sample::bender();
  c.tube = sample::tube({{300, 0, 30}, {200, 0, 90}}, 400);
  c.step = {.bend = 0, .made = 0b10, .front = Front::kEndB};
  c.step.turn = Angle::degrees(90);
  const std::vector<Moment> film = movement(c.setup(), c.tube, c.step).value();
  for (const Moment& m : film) {
    if (m.stage != Stage::kTurn) continue;
    const Vec3 leg = m.tube.back().start.ahead;
    // In the bend's plane, at the end, the leg of a counter-clockwise head points to +y. Before a
    // turn of +90° about +x that direction was -z.
    if (m.share_ratio == 0.0) {
      EXPECT_LT((leg - Vec3(0, 0, -1)).norm(), 1e-9);
    }
    if (m.share_ratio == 1.0) {
      EXPECT_LT((leg - Vec3(0, 1, 0)).norm(), 1e-9);
    }
  }
}

}  // namespace
}  // namespace bight::clearance
