// The geometry core against arithmetic that shares nothing with it: the path followed in tiny
// steps (path_oracle.h), whole-part rotations applied from the far end inwards, and brute force.
// Random parts of up to 40 bends and 10 m.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>

#include "geometry/bend_table.h"
#include "geometry/centreline.h"
#include "geometry/corners.h"
#include "geometry/faces.h"
#include "geometry/path_oracle.h"

namespace bight::geometry {
namespace {

using base::Angle;
using oracle::Real;
using oracle::Triple;

constexpr double kAgree_mm = 1e-9;

class RandomParts {
 public:
  explicit RandomParts(std::uint64_t seed) : random_(seed) {}

  double between(double low, double high) {
    return low + (high - low) * std::ldexp(static_cast<double>(random_() >> 11), -53);
  }
  int between(int low, int high) {
    return low + static_cast<int>(random_() % static_cast<std::uint64_t>(high - low + 1));
  }

  // Straights so long that the whole is at most 10 m.
  BendTable table(int num_bends, double widest_deg) {
    const double longest_mm = 9000.0 / (num_bends + 1);
    std::vector<BendRow> rows;
    for (int i = 0; i < num_bends; ++i) {
      // Some shallow, some at right angles, the rest anything.
      const int kind = between(0, 5);
      const double angle_deg = kind == 0   ? between(0.02, 2.0)
                               : kind == 1 ? 90.0
                                           : between(2.0, widest_deg);
      const double radius_mm =
          std::min(between(8.0, 150.0), 1000.0 / num_bends / (angle_deg * 0.01745));
      const double rotation_deg =
          between(0, 4) == 0 ? 90.0 * between(-1, 2) : between(-179.99, 180.0);
      rows.push_back({between(0.0, longest_mm), Angle::degrees(i == 0 ? 0.0 : rotation_deg),
                      Angle::degrees(angle_deg), radius_mm});
    }
    return *BendTable::make(std::move(rows), between(0.0, longest_mm));
  }

  Frame frame() {
    Frame frame;
    const Vec3 a(between(-1.0, 1.0), between(-1.0, 1.0), between(-1.0, 1.0));
    const Vec3 b(between(-1.0, 1.0), between(-1.0, 1.0), between(-1.0, 1.0));
    frame.origin_mm = Vec3(between(-500.0, 500.0), between(-500.0, 500.0), between(-500.0, 500.0));
    frame.ahead = (a + Vec3(2.0, 0.0, 0.0)).normalized();
    // Twice: once leaves an error of 1e-16 / |b across ahead|.
    frame.inward = (b - frame.ahead * frame.ahead.dot(b)).normalized();
    frame.inward = (frame.inward - frame.ahead * frame.ahead.dot(frame.inward)).normalized();
    frame.normal = frame.ahead.cross(frame.inward);
    return frame;
  }

 private:
  std::mt19937_64 random_;
};

int num_parts() { return std::getenv("BIGHT_LONG_TESTS") ? 300 : 12; }

// Bends the straight tube from its far end inwards: each bend turns everything beyond it, about an
// axis fixed in space, by matrices written out by their elements. Joints as in oracle::Path.
std::vector<Vec3> joints_bent_from_the_far_end_mm(const BendTable& table) {
  // Pieces of the straight tube along X; arcs count as their length, replaced when bent.
  std::vector<Triple> beyond{{0, 0, 0}};
  for (std::size_t i = table.num_bends(); i-- > 0;) {
    const BendRow& row = table.rows()[i];
    const Real radius = row.radius_mm;
    const Real angle = row.angle.rad();
    const Real next_straight = table.straight_mm(i + 1);
    // Everything beyond, seen from the end of this arc: move along the straight, end joint added.
    for (Triple& p : beyond) p[0] += next_straight;
    beyond.insert(beyond.begin(), Triple{0, 0, 0});
    for (Triple& p : beyond) {
      // The bend: about Z through (0, R, 0).
      const Real x = p[0];
      const Real y = p[1] - radius;
      p[0] = x * std::cos(angle) - y * std::sin(angle);
      p[1] = x * std::sin(angle) + y * std::cos(angle) + radius;
      // Then the roll of this bend's plane, about X.
      const Real roll = row.rotation.rad();
      const Real z = p[2];
      const Real y_bent = p[1];
      p[1] = y_bent * std::cos(roll) - z * std::sin(roll);
      p[2] = y_bent * std::sin(roll) + z * std::cos(roll);
    }
    beyond.insert(beyond.begin(), Triple{0, 0, 0});
  }
  for (Triple& p : beyond) p[0] += table.straight_mm(0);
  beyond.insert(beyond.begin(), Triple{0, 0, 0});
  std::vector<Vec3> joints;
  for (const Triple& p : beyond) joints.push_back(oracle::vec3(p));
  return joints;
}

// Every joint of the layout lies where a tube followed in tiny steps has it.
TEST(LayoutOracle, AgreesWithTheIntegratedPath) {
  RandomParts random(101);
  double worst_mm = 0.0;
  for (int part = 0; part < num_parts(); ++part) {
    const BendTable table = random.table(part == 0 ? 40 : random.between(1, 40), 330.0);
    ASSERT_LT(table.developed_length_mm(), 10001.0);
    const Frame start = random.frame();
    const Centreline line = lay_out(table, start);
    const oracle::Path path = oracle::follow(table, start);
    ASSERT_EQ(path.joints_mm.size(), line.segments.size() + 1);
    for (std::size_t i = 0; i < line.segments.size(); ++i) {
      worst_mm = std::max(worst_mm, (line.segments[i].start.origin_mm - path.joints_mm[i]).norm());
    }
    worst_mm = std::max(worst_mm, (line.end_mm() - path.end_mm).norm());
    EXPECT_LT((line.end.ahead - path.end_direction).norm(), 1e-12);
    EXPECT_NEAR(table.developed_length_mm(), line.length_mm(), 1e-9);
    // Chords fall short of their arcs by h² / 24 of them, h = 2e-4.
    EXPECT_NEAR(path.length_mm, line.length_mm(), 10000.0 * 2e-9);
  }
  EXPECT_LT(worst_mm, kAgree_mm);
  RecordProperty("worst_mm", fmt::format("{:.2e}", worst_mm));
}

// ... and where bending from the far end inwards puts it.
TEST(LayoutOracle, AgreesWithBendingFromTheFarEnd) {
  RandomParts random(102);
  for (int part = 0; part < 40 * num_parts(); ++part) {
    const BendTable table = random.table(random.between(0, 40), 359.0);
    const Centreline line = lay_out(table);
    const std::vector<Vec3> joints = joints_bent_from_the_far_end_mm(table);
    ASSERT_EQ(joints.size(), line.segments.size() + 1);
    for (std::size_t i = 0; i < line.segments.size(); ++i) {
      ASSERT_LT((line.segments[i].start.origin_mm - joints[i]).norm(), kAgree_mm) << i;
    }
    ASSERT_LT((line.end_mm() - joints.back()).norm(), kAgree_mm);
  }
}

// Corners lie where the tangents at both ends of a bend, found by following the path, meet.
TEST(LayoutOracle, CornersAreWhereTangentsMeet) {
  RandomParts random(103);
  for (int part = 0; part < num_parts(); ++part) {
    const BendTable table = random.table(random.between(1, 20), 145.0);
    const std::vector<Vec3> corners = corner_points_mm(table);
    const oracle::Path path = oracle::follow(table);
    ASSERT_EQ(corners.size(), table.num_bends() + 2);
    EXPECT_LT((corners.back() - path.end_mm).norm(), kAgree_mm);
    for (std::size_t i = 0; i < table.num_bends(); ++i) {
      // By symmetry the corner is as far from the chord's middle as makes it square to both ends:
      // both tangent points are R tan(a/2) away from it, and it lies opposite the arc's middle.
      const Vec3& from = path.joints_mm[2 * i + 1];
      const Vec3& to = path.joints_mm[2 * i + 2];
      const double half_chord = (to - from).norm() / 2.0;
      const double tangent_mm = half_chord / std::cos(table.rows()[i].angle.rad() / 2.0);
      EXPECT_NEAR((corners[i + 1] - from).norm(), tangent_mm, 1e-8);
      EXPECT_NEAR((corners[i + 1] - to).norm(), tangent_mm, 1e-8);
      // The leg from corner to corner passes through the tangent points.
      const Vec3 before = (corners[i + 1] - corners[i]).normalized();
      EXPECT_LT(before.cross(from - corners[i]).norm(), 1e-8);
    }
  }
}

// Points to table: the table that made the points comes back.
TEST(LayoutOracle, TablesComeBackFromCorners) {
  RandomParts random(104);
  double worst_mm = 0.0;
  for (int part = 0; part < 40 * num_parts(); ++part) {
    const BendTable table = random.table(random.between(1, 40), 145.0);
    const Frame start = random.frame();
    // Corners from the far-end oracle, not from corner_points_mm.
    const std::vector<Vec3> joints = joints_bent_from_the_far_end_mm(table);
    std::vector<Vec3> corners{joints.front()};
    std::vector<double> radii_mm;
    for (std::size_t i = 0; i < table.num_bends(); ++i) {
      const BendRow& row = table.rows()[i];
      const Vec3 from = joints[2 * i + 1];
      // The tangent at the start of the arc runs from its straight's start; a straight of no
      // length has no direction, so leave such parts out.
      if (row.straight_mm < 1.0) continue;
      const Vec3 ahead = (from - joints[2 * i]) / row.straight_mm;
      corners.push_back(from + ahead * (row.radius_mm * std::tan(row.angle.rad() / 2.0)));
      radii_mm.push_back(row.radius_mm);
    }
    corners.push_back(joints.back());
    if (radii_mm.size() != table.num_bends() || table.last_straight_mm() < 1.0) continue;
    for (Vec3& corner : corners) {
      corner = start.origin_mm + start.ahead * corner.x() + start.inward * corner.y() +
               start.normal * corner.z();
    }
    const auto read = to_bend_table(corners, radii_mm);
    ASSERT_TRUE(read.ok()) << read.failure().text();
    ASSERT_EQ(read->table.num_bends(), table.num_bends());
    for (std::size_t i = 0; i <= table.num_bends(); ++i) {
      ASSERT_NEAR(read->table.straight_mm(i), table.straight_mm(i), 1e-8);
    }
    // Rows of shallow bends are ill conditioned, the shape they make is not.
    const Centreline line = lay_out(read->table, read->start);
    for (std::size_t i = 0; i < line.segments.size(); ++i) {
      const Vec3 joint = start.origin_mm + start.ahead * joints[i].x() +
                         start.inward * joints[i].y() + start.normal * joints[i].z();
      worst_mm = std::max(worst_mm, (line.segments[i].start.origin_mm - joint).norm());
    }
  }
  EXPECT_LT(worst_mm, kAgree_mm);
  RecordProperty("worst_mm", fmt::format("{:.2e}", worst_mm));
}

// The part from its other end is the same rigid body; the part of the other hand is its mirror
// image. Distances between all joints decide the first, the signed volumes of joints the second.
TEST(LayoutOracle, ReversedIsCongruentAndMirroredIsNot) {
  RandomParts random(105);
  for (int part = 0; part < num_parts(); ++part) {
    const BendTable table = random.table(random.between(2, 40), 330.0);
    const std::vector<Vec3> there = oracle::follow(table, Frame(), 1e-3).joints_mm;
    const std::vector<Vec3> back = oracle::follow(table.reversed(), Frame(), 1e-3).joints_mm;
    const std::vector<Vec3> mirror = oracle::follow(table.mirrored(), Frame(), 1e-3).joints_mm;
    const std::size_t n = there.size();
    ASSERT_EQ(back.size(), n);
    const auto volume = [n](const std::vector<Vec3>& p, bool backwards, std::size_t i) {
      const auto at = [&](std::size_t k) { return p[backwards ? n - 1 - k : k]; };
      return (at(i + 1) - at(i)).cross(at(i + 2) - at(i)).dot(at(i + 3) - at(i));
    };
    for (std::size_t i = 0; i < n; ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const double apart_mm = (there[i] - there[j]).norm();
        ASSERT_NEAR((back[n - 1 - i] - back[n - 1 - j]).norm(), apart_mm, 1e-7);
        ASSERT_NEAR((mirror[i] - mirror[j]).norm(), apart_mm, 1e-7);
      }
    }
    for (std::size_t i = 0; i + 3 < n; ++i) {
      const double scale = 1e-7 + 1e-9 * std::abs(volume(there, false, i));
      ASSERT_NEAR(volume(back, true, i), volume(there, false, i), 1e3 * scale);
      ASSERT_NEAR(volume(mirror, false, i), -volume(there, false, i), 1e3 * scale);
    }
  }
}

// Arcs split into touching pieces at random follow the same path, and merge to the row they were.
TEST(LayoutOracle, SplitArcsMergeToTheSamePath) {
  RandomParts random(106);
  for (int part = 0; part < num_parts(); ++part) {
    const BendTable table = random.table(random.between(1, 15), 330.0);
    std::vector<BendRow> rows;
    for (const BendRow& row : table.rows()) {
      const double first = random.between(0.2, 0.8);
      rows.push_back({row.straight_mm, row.rotation, row.angle * first, row.radius_mm});
      rows.push_back({0.0, Angle(), row.angle * (1.0 - first), row.radius_mm});
    }
    const BendTable split = *BendTable::make(rows, table.last_straight_mm());
    const BendTable merged = merged_arcs(split);
    ASSERT_EQ(merged.num_bends(), table.num_bends());
    const oracle::Path path = oracle::follow(table);
    EXPECT_LT((lay_out(split).end_mm() - path.end_mm).norm(), kAgree_mm);
    EXPECT_LT((lay_out(merged).end_mm() - path.end_mm).norm(), kAgree_mm);
  }
}

// The box holds every point of the tube's skin, and each of its faces is touched.
TEST(LayoutOracle, EnvelopeHoldsTheSkinAndTouchesIt) {
  RandomParts random(107);
  for (int part = 0; part < num_parts(); ++part) {
    const BendTable table = random.table(random.between(1, 8), 330.0);
    const Frame start = random.frame();
    const double od_mm = random.between(5.0, 15.0);
    const Eigen::AlignedBox3d box = envelope_mm(lay_out(table, start), od_mm);
    // The skin: discs square to the path, taken from successive points of the integrated path.
    const oracle::Path path = oracle::follow(table, start, 1e-3);
    Vec3 low = Vec3::Constant(1e9);
    Vec3 high = -low;
    for (std::size_t i = 0; i < path.points_mm.size(); ++i) {
      const std::size_t from = i == 0 ? 0 : i - 1;
      const std::size_t to = i + 1 == path.points_mm.size() ? i : i + 1;
      const Vec3 along = path.points_mm[to] - path.points_mm[from];
      // Across a straight's end the two neighbours do not give the tangent: a chord of an arc's
      // first step does, to 5e-4 rad.
      const Vec3 direction = along.normalized();
      for (int axis = 0; axis < 3; ++axis) {
        const double reach_mm = od_mm / 2.0 * std::sqrt(1.0 - direction[axis] * direction[axis]);
        low[axis] = std::min(low[axis], path.points_mm[i][axis] - reach_mm);
        high[axis] = std::max(high[axis], path.points_mm[i][axis] + reach_mm);
      }
    }
    // Tangents off by 5e-4 rad at most: half a size times that, and the step's sagitta.
    const double slack_mm = od_mm / 2.0 * 1e-3 + 1e-4;
    for (int axis = 0; axis < 3; ++axis) {
      EXPECT_NEAR(box.min()[axis], low[axis], slack_mm) << part;
      EXPECT_NEAR(box.max()[axis], high[axis], slack_mm) << part;
    }
  }
}

// No point of the true arc is further from the sampled polyline than the sagitta asked for.
TEST(LayoutOracle, SampledPointsKeepTheSagitta) {
  RandomParts random(108);
  for (int part = 0; part < num_parts(); ++part) {
    const BendTable table = random.table(random.between(1, 6), 330.0);
    const double sagitta_mm = random.between(0.02, 2.0);
    const std::vector<Vec3> sampled = lay_out(table).sampled_mm(sagitta_mm);
    const oracle::Path path = oracle::follow(table, Frame(), 0.01);
    double worst_mm = 0.0;
    for (const Vec3& p : path.points_mm) {
      double nearest_mm = 1e9;
      for (std::size_t i = 0; i + 1 < sampled.size(); ++i) {
        const Vec3 leg = sampled[i + 1] - sampled[i];
        const double along =
            leg.squaredNorm() > 0.0
                ? std::clamp((p - sampled[i]).dot(leg) / leg.squaredNorm(), 0.0, 1.0)
                : 0.0;
        nearest_mm = std::min(nearest_mm, (sampled[i] + leg * along - p).norm());
      }
      worst_mm = std::max(worst_mm, nearest_mm);
    }
    EXPECT_LE(worst_mm, sagitta_mm + 1e-9);
  }
}

// at_mm walks along: the point at each step of the integrated path.
TEST(LayoutOracle, PointsAlongAgree) {
  RandomParts random(109);
  for (int part = 0; part < num_parts(); ++part) {
    const BendTable table = random.table(random.between(1, 20), 330.0);
    const Centreline line = lay_out(table);
    const oracle::Path path = oracle::follow(table);
    double along_mm = 0.0;
    std::size_t joint = 0;
    for (const Segment& segment : line.segments) {
      EXPECT_LT((line.at_mm(along_mm) - path.joints_mm[joint++]).norm(), 1e-8);
      along_mm += segment.length_mm;
    }
    EXPECT_LT((line.at_mm(along_mm + 1.0) - path.end_mm).norm(), kAgree_mm);
  }
}

// Corners drawn to a face: each leg of the centreline lies half the size off the drawn leg, to the
// side that the face says.
TEST(LayoutOracle, FacesLieHalfTheSizeOff) {
  RandomParts random(110);
  for (int part = 0; part < 40 * num_parts(); ++part) {
    const double size_mm = random.between(10.0, 60.0);
    const bool one_way = random.between(0, 1) == 0;
    std::vector<Vec3> drawn{Vec3(0.0, 0.0, 0.0)};
    double heading_rad = random.between(-3.0, 3.0);
    double first_turn = 0.0;
    for (int leg = 0; leg < 5; ++leg) {
      const double length_mm = random.between(300.0, 800.0);
      drawn.push_back(drawn.back() +
                      Vec3(std::cos(heading_rad), std::sin(heading_rad), 0.0) * length_mm);
      double turn_rad = random.between(0.2, 1.2);
      if (!one_way && random.between(0, 1) == 0) turn_rad = -turn_rad;
      if (leg == 0 && random.between(0, 1) == 0 && !one_way) turn_rad = -std::abs(turn_rad);
      if (leg == 0) first_turn = turn_rad;
      heading_rad += turn_rad;
    }
    ASSERT_NE(first_turn, 0.0);
    const std::vector<Face> faces = one_way ? std::vector{Face::kOutside, Face::kInside}
                                            : std::vector{Face::kLeft, Face::kRight};
    for (const Face face : faces) {
      const auto centre = centreline_from_face(drawn, face, size_mm);
      ASSERT_TRUE(centre.ok()) << centre.failure().text();
      // Left turns only: the outside is on the right.
      const bool drawn_on_left = face == Face::kLeft || face == Face::kInside;
      for (std::size_t i = 0; i + 1 < drawn.size(); ++i) {
        const Vec3 along = (drawn[i + 1] - drawn[i]).normalized();
        const Vec3 left(-along.y(), along.x(), 0.0);
        for (const std::size_t end : {i, i + 1}) {
          const double to_drawn_mm = (drawn[i] - (*centre)[end]).dot(left);
          ASSERT_NEAR(to_drawn_mm, (drawn_on_left ? 0.5 : -0.5) * size_mm, 1e-9)
              << part << " leg " << i << " first turn " << first_turn;
        }
      }
    }
  }
}

}  // namespace
}  // namespace bight::geometry
