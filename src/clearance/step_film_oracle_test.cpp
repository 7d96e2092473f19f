// Whole steps: the certified answer against a dense film of the same step, measured by plain
// formulas that share nothing with the search.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "clearance/movement.h"
#include "clearance/sample_bender_test_util.h"
#include "clearance/step_clearance.h"

namespace bight::clearance {
namespace {

using geometry::Segment;
using geometry::Vec3;
using sample::Angle;
using sample::uniform;
using workshop::BenderKind;
using workshop::CarriedBy;

double from_box_mm(const Vec3& p_mm, const Vec3& half_mm) {
  const Vec3 clamped_mm = p_mm.cwiseMax(-half_mm).cwiseMin(half_mm);
  if (clamped_mm != p_mm) return (p_mm - clamped_mm).norm();
  return -(half_mm - p_mm.cwiseAbs()).minCoeff();
}

double from_disc_mm(const Vec3& p_mm, double radius_mm, double half_mm) {
  const double out_mm = std::hypot(p_mm.x(), p_mm.y()) - radius_mm;
  const double up_mm = std::abs(p_mm.z()) - half_mm;
  if (out_mm <= 0 && up_mm <= 0) return std::max(out_mm, up_mm);
  return std::hypot(std::max(out_mm, 0.0), std::max(up_mm, 0.0));
}

struct Case {
  workshop::Bender bender;
  workshop::DieSet die = sample::die();
  Tube tube;
  Step step;
};

// Boxes on every carrier, here and there; the pressure die follows in half the cases.
Case random_case(std::mt19937_64& rng, BenderKind kind) {
  Case c;
  c.bender = sample::bender(kind, rng() % 2 == 0 ? workshop::TurnDirection::kClockwise
                                                 : workshop::TurnDirection::kCounterClockwise);
  c.bender.around.pressure_die_follows = rng() % 2 == 0;
  const auto place = [&](const char* name, CarriedBy on, double reach_mm) {
    const Vec3 at_mm(uniform(rng, -reach_mm, reach_mm), uniform(rng, -reach_mm, reach_mm),
                     uniform(rng, -400, 400));
    c.bender.around.bodies.push_back(sample::box(
        name, on, {uniform(rng, 20, 200), uniform(rng, 20, 200), uniform(rng, 20, 200)}, at_mm));
    c.bender.around.bodies.back().turned = {Angle::radians(uniform(rng, -3, 3)),
                                            Angle::radians(uniform(rng, -3, 3)),
                                            Angle::radians(uniform(rng, -3, 3))};
  };
  place("post", CarriedBy::kFrame, 900);
  place("outrigger", CarriedBy::kArm, 500);
  place("handle", CarriedBy::kClamp, 300);
  place("rail", CarriedBy::kPressureDie, 300);
  place("motor", CarriedBy::kCarriage, 300);
  c.tube = sample::random_tube(rng, 1 + rng() % 5);
  c.step.bend = rng() % c.tube.bends.size();
  c.step.made =
      rng() & ((MadeBends{1} << c.tube.bends.size()) - 1) & ~(MadeBends{1} << c.step.bend);
  c.step.front = rng() % 2 == 0 ? Front::kEndA : Front::kEndB;
  if (rng() % 2 == 0) {
    c.step.turn = Angle::degrees(uniform(rng, -170, 170));
    c.step.advance_mm = uniform(rng, 1, 300);
  }
  return c;
}

int num_made(const Case& c, bool behind) {
  int num = 0;
  for (std::size_t i = 0; i < c.tube.bends.size(); ++i) {
    const bool lower = i < c.step.bend;
    const bool is_behind = lower == (c.step.front == Front::kEndB);
    if (i != c.step.bend && ((c.step.made >> i) & 1u) != 0 && is_behind == behind) ++num;
  }
  return num;
}

// Nearest over one moment, as the header says what counts: the straights next to the bend and the
// bend may touch what holds them.
double at_moment_mm(const Case& c, const Moment& m) {
  const double r_mm = 0.5 * c.tube.od_mm;
  const std::size_t bend = 2 * static_cast<std::size_t>(num_made(c, true)) + 1;
  const std::size_t bend_end = bend + (m.stage == Stage::kBend ? 2 : 1);
  const bool carriage_fed = c.bender.kind == BenderKind::kCarriageFed;
  double least_mm = 1e9;
  for (std::size_t k = 0; k < m.tube.size(); ++k) {
    const Segment& s = m.tube[k];
    const bool in_bend = k >= bend && k < bend_end;
    const bool leaving =
        carriage_fed && m.stage == Stage::kAdvance && k >= bend_end && k < bend_end + 3;
    const bool held = (k + 1 >= bend && k <= bend_end) || leaving;
    const int num = std::max(1, static_cast<int>(s.length_mm / 3));
    for (int i = 0; i <= num; ++i) {
      const geometry::Frame at = s.at(s.length_mm * i / num);
      const Vec3& p_mm = at.origin_mm;
      const auto take = [&](double x_mm) { least_mm = std::min(least_mm, x_mm); };
      take(p_mm.z() + *c.bender.around.room.floor_mm -
           r_mm * std::sqrt(std::max(0.0, 1 - at.ahead.z() * at.ahead.z())));
      if (!held) {
        take(from_disc_mm(p_mm, c.die.radius_mm, 0.5 * (c.die.groove.width_mm + 20)) - r_mm);
      }
      for (std::size_t b = 0; b < m.bodies.size(); ++b) {
        const workshop::Body& body = c.bender.around.bodies[b];
        const bool holds = body.on == CarriedBy::kClamp || body.on == CarriedBy::kPressureDie;
        if (holds && held) continue;
        if (body.on == CarriedBy::kCarriage && (!carriage_fed || k == 0 || in_bend)) continue;
        const auto& shape = std::get<workshop::BoxShape>(body.shape);
        take(from_box_mm(m.bodies[b].inverse() * p_mm, 0.5 * shape.size_mm) - r_mm);
      }
    }
  }
  return least_mm;
}

#if defined(__SANITIZE_ADDRESS__)
constexpr int kCases = 15;
#else
constexpr int kCases = 60;
#endif

// Never less safe than a film with a moment each half degree and 5 mm, and not far on the other
// side of it either: what the film sees between its moments can be nearer by its step only.
TEST(StepFilm, NeverLessSafeThanTheFilm) {
  std::mt19937_64 rng(14);
  int hits = 0;
  for (int round = 0; round < kCases; ++round) {
    const Case c =
        random_case(rng, std::array{BenderKind::kHandPlaced, BenderKind::kCarriageFed,
                                    BenderKind::kHandLever}[static_cast<std::size_t>(round % 3)]);
    const clearance::Setup setup{&c.bender, {&c.die}};
    StepChecker checker =
        StepChecker::make(setup, c.tube, {.tolerance_mm = 0.1, .interest_mm = 5000}).value();
    const StepClearance answer = checker.check(c.step);
    ASSERT_TRUE(answer.nearest.has_value());
    double film_mm = 1e9;
    const FilmOptions fine{Angle::degrees(0.5), 5.0};
    const std::vector<Moment> film = movement(setup, c.tube, c.step, fine).value();
    for (const Moment& m : film) {
      film_mm = std::min(film_mm, at_moment_mm(c, m));
    }
    EXPECT_LE(answer.nearest->low_mm, film_mm + 1e-6)
        << round << " " << answer.nearest->body << " " << word(answer.nearest->stage);
    // Half a degree at the tube's far end, and the bend in the making that counts by parts.
    const double step_mm = 0.5 * Angle::degrees(0.5).rad() * c.tube.length_mm + 5.0 + 40.0;
    EXPECT_GE(answer.nearest->high_mm, film_mm - step_mm) << round;
    EXPECT_LE(answer.nearest->high_mm - answer.nearest->low_mm, 0.1 + 1.0) << round;
    hits += answer.hit() ? 1 : 0;
  }
  EXPECT_GT(hits, kCases / 10);
  EXPECT_LT(hits, kCases - kCases / 10);
}

// Points of one side with the bending passed since the bend in hand.
struct Bent {
  Vec3 p_mm;
  double turned_rad;
};
std::vector<Bent> side(const Case& c, const Moment& m, bool behind) {
  std::vector<Bent> out;
  const auto bend = static_cast<std::ptrdiff_t>(2 * num_made(c, true) + 1);
  std::vector<Segment> segments;
  if (behind) {
    segments.assign(m.tube.begin(), m.tube.begin() + bend);
    std::reverse(segments.begin(), segments.end());
  } else {
    segments.assign(m.tube.begin() + bend + (m.stage == Stage::kBend ? 2 : 1), m.tube.end());
  }
  double turned_rad = 0.0;
  for (const Segment& s : segments) {
    const int num = std::max(1, static_cast<int>(s.length_mm / 6));
    for (int i = 0; i <= num; ++i) {
      const double share = behind ? 1.0 - 1.0 * i / num : 1.0 * i / num;
      out.push_back({s.at(s.length_mm * share).origin_mm, turned_rad + s.angle.rad() * i / num});
    }
    turned_rad += s.angle.rad();
  }
  return out;
}

// The tube against itself while it is bent and springs back: never less safe than the film, pairs
// with less than a half turn between them left out on both sides. Tubes that curl up.
TEST(StepFilm, ItselfNeverLessSafeThanTheFilm) {
  std::mt19937_64 rng(15);
  int hits = 0;
  int answers = 0;
  for (int round = 0; round < kCases; ++round) {
    Case c;
    c.bender = sample::bender(round % 2 == 0 ? BenderKind::kHandPlaced : BenderKind::kHandLever);
    std::vector<sample::Row> rows;
    for (int i = 0; i < 5; ++i) {
      rows.push_back({uniform(rng, 60, 300), uniform(rng, -30, 30), uniform(rng, 60, 130)});
    }
    c.tube = sample::tube(rows, uniform(rng, 60, 500));
    c.step.bend = 1 + rng() % 3;
    c.step.made = 0b11111 & ~(MadeBends{1} << c.step.bend);
    c.step.front = rng() % 2 == 0 ? Front::kEndA : Front::kEndB;
    const clearance::Setup setup{&c.bender, {&c.die}};
    StepChecker checker =
        StepChecker::make(setup, c.tube, {.tolerance_mm = 0.1, .interest_mm = 5000}).value();
    const StepClearance answer = checker.check(c.step);
    const double set_rad = c.tube.bends[c.step.bend].set_angle.rad();
    double film_mm = 1e9;
    const std::vector<Moment> film =
        movement(setup, c.tube, c.step, {Angle::degrees(2), 20.0}).value();
    for (const Moment& m : film) {
      if (m.stage != Stage::kBend && m.stage != Stage::kRelease) continue;
      const std::vector<Bent> ahead = side(c, m, false);
      const std::vector<Bent> behind = side(c, m, true);
      for (const Bent& a : ahead) {
        for (const Bent& b : behind) {
          if (a.turned_rad + b.turned_rad + set_rad < std::numbers::pi) continue;
          film_mm = std::min(film_mm, (a.p_mm - b.p_mm).norm() - c.tube.od_mm);
        }
      }
    }
    if (film_mm > 1e8) continue;
    ASSERT_TRUE(answer.itself.has_value()) << round;
    ++answers;
    EXPECT_LE(answer.itself->low_mm, film_mm + 1e-6) << round;
    EXPECT_LE(answer.itself->high_mm - answer.itself->low_mm, 0.1 + 1e-9) << round;
    // Two places at least are that near, on the tube's two sides.
    EXPECT_EQ(answer.itself->body, "the tube itself");
    hits += answer.itself->hit() ? 1 : 0;
  }
  EXPECT_GT(answers, kCases / 2);
  EXPECT_GT(hits, 1);
  EXPECT_LT(hits, answers - 1);
}

}  // namespace
}  // namespace bight::clearance
