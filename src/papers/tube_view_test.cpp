#include "papers/tube_view.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace bight::papers {
namespace {

using base::Angle;
using geometry::BendTable;
using geometry::lay_out;
using geometry::Vec3;

Angle deg(double value_deg) { return Angle::degrees(value_deg); }

stock::Section round_tube() { return *stock::Section::round_tube(38.1, 1.65); }

BendTable any_table() {
  const int num_bends = *rc::gen::inRange(1, 6);
  std::vector<geometry::BendRow> rows;
  for (int i = 0; i < num_bends; ++i) {
    rows.push_back({0.1 * *rc::gen::inRange(100, 4000), deg(*rc::gen::inRange(-179, 180)),
                    deg(*rc::gen::inRange(5, 175)), 1.0 * *rc::gen::inRange(50, 200)});
  }
  return *BendTable::make(rows, 0.1 * *rc::gen::inRange(100, 4000));
}

Vec3 any_direction() {
  const Angle turn = deg(*rc::gen::inRange(0, 360));
  const Angle lift = deg(*rc::gen::inRange(-90, 91));
  return {base::cos(lift) * base::cos(turn), base::cos(lift) * base::sin(turn), base::sin(lift)};
}

// The eye is a turn, never a mirror: right x up = toward, all unit and square.
RC_GTEST_PROP(Eye, IsATurn, ()) {
  const Vec3 toward = any_direction();
  const Vec3 up = any_direction();
  RC_PRE(toward.cross(up).norm() > 0.1);
  const Eye eye = eye_from(toward, up);
  RC_ASSERT((eye.right.cross(eye.up) - eye.toward).norm() < 1e-12);
  RC_ASSERT(std::abs(eye.right.norm() - 1.0) < 1e-12);
  RC_ASSERT(eye.up.dot(up) > 0.0);
}

// Reach along the axes is the envelope that geometry works out by another road (round tube).
RC_GTEST_PROP(Tube, ReachIsTheEnvelope, ()) {
  const auto line = lay_out(any_table());
  const Tube tube(line, round_tube());
  const auto box = geometry::envelope_mm(line, 38.1);
  for (int axis = 0; axis < 3; ++axis) {
    const Reach reach = tube.reach(Vec3::Unit(axis));
    RC_ASSERT(std::abs(reach.least_mm - box.min()[axis]) < 1e-6);
    RC_ASSERT(std::abs(reach.most_mm - box.max()[axis]) < 1e-6);
  }
}

// Reach of a box section against its corners walked along the tube in small steps.
RC_GTEST_PROP(Tube, ReachOfABox, ()) {
  const auto line = lay_out(any_table());
  const auto box = *stock::Section::rect_tube(40, 20, 2, 0);
  const Vec3 direction = any_direction();
  const Reach reach = Tube(line, box).reach(direction);
  const Tube fine(line, box, deg(0.05));
  Reach walked{1e300, -1e300};
  for (const Tube::Station& at : fine.stations()) {
    for (const double u_mm : {-20.0, 20.0}) {
      for (const double v_mm : {-10.0, 10.0}) {
        const double d_mm = (at.p_mm + u_mm * at.u + v_mm * at.v).dot(direction);
        walked.least_mm = std::min(walked.least_mm, d_mm);
        walked.most_mm = std::max(walked.most_mm, d_mm);
      }
    }
  }
  // R (1 - cos 0.025°) at R 220 mm is 2e-5 mm.
  RC_ASSERT(std::abs(reach.least_mm - walked.least_mm) < 1e-4);
  RC_ASSERT(std::abs(reach.most_mm - walked.most_mm) < 1e-4);
}

// The metal does not roll with the planes: along the tube the section's sides change only by the
// turning of the bends, so neighbouring stations of fine steps differ little, roll or not.
RC_GTEST_PROP(Tube, MetalDoesNotRoll, ()) {
  const Tube tube(lay_out(any_table()), *stock::Section::rect_tube(40, 20, 2, 4), deg(1));
  const auto& stations = tube.stations();
  for (std::size_t i = 1; i < stations.size(); ++i) {
    RC_ASSERT((stations[i].u - stations[i - 1].u).norm() < 0.02);
    RC_ASSERT(std::abs(stations[i].u.dot(stations[i].ahead)) < 1e-9);
    RC_ASSERT((stations[i].u.cross(stations[i].v) + stations[i].ahead).norm() > 0.0);
  }
}

// What hides a point: against marching along the ray and measuring to the centreline, wherever
// that is not a matter of skin depth.
RC_GTEST_PROP(Tube, HidesAsTheRaySays, ()) {
  const auto table = any_table();
  RC_PRE(geometry::overlaps(table).empty());
  const auto line = lay_out(table);
  const Tube tube(line, round_tube(), deg(1));
  const Vec3 toward = any_direction();
  const double radius_mm = 19.05;
  const Vec3 aside(*rc::gen::inRange(-60, 61), *rc::gen::inRange(-60, 61),
                   *rc::gen::inRange(-60, 61));
  const Vec3 p_mm = line.at_mm(line.length_mm() * 0.01 * *rc::gen::inRange(5, 96)) + aside;
  const auto points = line.sampled_mm(0.05);
  const auto to_line_mm = [&](const Vec3& q_mm) {
    double least_mm = 1e300;
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      const Vec3 along = points[i + 1] - points[i];
      const double t = std::clamp((q_mm - points[i]).dot(along) / along.squaredNorm(), 0.0, 1.0);
      least_mm = std::min(least_mm, (q_mm - points[i] - t * along).norm());
    }
    return least_mm;
  };
  // The tube's flat ends differ from the round ones of a distance: keep away from them.
  const auto near_end = [&](const Vec3& q_mm) {
    return (q_mm - line.start_mm()).norm() < 1.6 * radius_mm ||
           (q_mm - line.end_mm()).norm() < 1.6 * radius_mm;
  };
  bool deep = false;
  bool near_tube = false;
  for (double s_mm = 0.0; s_mm < 1500.0; s_mm += 1.0) {
    const Vec3 q_mm = p_mm + s_mm * toward;
    RC_PRE(!near_end(q_mm));
    const double d_mm = to_line_mm(q_mm);
    if (s_mm > 0.35 * radius_mm && d_mm < 0.9 * radius_mm) deep = true;
    if (d_mm < 1.05 * radius_mm) near_tube = true;
  }
  if (deep) RC_ASSERT(tube.hides(p_mm, toward));
  if (!near_tube) RC_ASSERT(!tube.hides(p_mm, toward));
}

// A straight tube seen from the side: two outlines one diameter apart, nothing hidden of them.
TEST(SeenLines, StraightTube) {
  const auto line = lay_out(*BendTable::make({}, 300));
  const Tube tube(line, round_tube());
  const TubeLines lines = seen_lines(tube, eye_from(Vec3::UnitZ(), Vec3::UnitY()), 2.0);
  double least_mm = 1e9;
  double most_mm = -1e9;
  for (const auto& run : lines.outlines) {
    for (const ViewPoint& p : run) {
      least_mm = std::min(least_mm, p.y_mm);
      most_mm = std::max(most_mm, p.y_mm);
    }
  }
  EXPECT_NEAR(least_mm, -19.05, 1e-9);
  EXPECT_NEAR(most_mm, 19.05, 1e-9);
  EXPECT_TRUE(lines.bores.empty());
  ASSERT_FALSE(lines.centreline.empty());
}

// Seen along its own length a tube is a ring with its bore. The ring is drawn as 48 chords, whose
// middles lie R (1 - cos 3.75°) = 0.041 mm inside.
TEST(SeenLines, EndOn) {
  const Tube tube(lay_out(*BendTable::make({}, 300)), round_tube());
  const TubeLines lines = seen_lines(tube, eye_from(Vec3::UnitX(), Vec3::UnitZ()), 1.0);
  EXPECT_FALSE(lines.bores.empty());
  for (const auto& run : lines.outlines) {
    for (const ViewPoint& p : run) EXPECT_NEAR(std::hypot(p.x_mm, p.y_mm), 19.05, 0.05);
  }
}

// A U seen edge on: the far leg lies wholly behind the near one and none of it shows.
TEST(SeenLines, FarLegIsHidden) {
  const Tube tube(
      lay_out(*BendTable::make({{300, Angle(), deg(90), 100}, {200, Angle(), deg(90), 100}}, 250)),
      round_tube());
  const Eye eye = eye_from(-Vec3::UnitY(), Vec3::UnitZ());  // end A's leg is the near one
  const TubeLines lines = seen_lines(tube, eye, 2.0);
  EXPECT_GT(lines.hidden_ratio, 0.05);
  // The near leg starts at x 0, the far one ends at 50: at x 25 only the near one's end lies left.
  bool far_end_shown = false;
  for (const auto& run : lines.outlines) {
    for (const ViewPoint& p : run) {
      far_end_shown = far_end_shown || (std::abs(p.x_mm - 50.0) < 0.5 && std::abs(p.y_mm) < 15.0);
    }
  }
  EXPECT_FALSE(far_end_shown);
  // From the other side it is the nearer one and shows its end.
  const TubeLines other = seen_lines(tube, eye_from(Vec3::UnitY(), Vec3::UnitZ()), 2.0);
  bool shown = false;
  for (const auto& run : other.outlines) {
    for (const ViewPoint& p : run) {
      shown = shown || (std::abs(std::abs(p.x_mm) - 50.0) < 0.5 && std::abs(p.y_mm) < 15.0);
    }
  }
  EXPECT_TRUE(shown);
}

// A box section shows its four long edges, two of them from one side.
TEST(SeenLines, BoxSection) {
  const Tube tube(lay_out(*BendTable::make({}, 300)), *stock::Section::rect_tube(40, 20, 2, 0));
  const TubeLines lines = seen_lines(tube, eye_from({0.0, 0.3, 1.0}, Vec3::UnitY()), 2.0);
  EXPECT_FALSE(lines.outlines.empty());
  EXPECT_GT(lines.hidden_ratio, 0.05);
  EXPECT_LT(lines.hidden_ratio, 0.6);
}

}  // namespace
}  // namespace bight::papers
