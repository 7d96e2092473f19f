#include "exchange/tube_mesh.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/centreline.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using base::Result;
using geometry::Vec3;

namespace {

// A point of the section's outline with the direction it faces: u along the height, v along the
// width.
struct OutlinePoint {
  double u_mm, v_mm, nu, nv;
};
using Outline = std::vector<OutlinePoint>;

// The largest step whose chord stays within the tolerance of a circle.
double step_rad(double radius_mm, double tolerance_mm) {
  return 2.0 * std::acos(std::max(0.0, 1.0 - tolerance_mm / std::max(radius_mm, tolerance_mm)));
}

// Steps of one quarter of a circle, at least three.
int quarter_steps(double radius_mm, double tolerance_mm) {
  return std::max(
      3, static_cast<int>(std::ceil(std::numbers::pi / 2.0 / step_rad(radius_mm, tolerance_mm))));
}

// A rectangle with rounded corners, anticlockwise, its flats bounded by two points each. With
// half sides equal to the radius it is a circle, whose corners meet.
Outline outline(double half_u_mm, double half_v_mm, double radius_mm, int steps, bool circle) {
  Outline points;
  for (int corner = 0; corner < 4; ++corner) {
    const double sign_u = corner == 0 || corner == 3 ? 1.0 : -1.0;
    const double sign_v = corner < 2 ? 1.0 : -1.0;
    const double centre_u_mm = sign_u * (half_u_mm - radius_mm);
    const double centre_v_mm = sign_v * (half_v_mm - radius_mm);
    for (int k = 0; k <= steps; ++k) {
      // A circle's corner ends where the next one starts.
      if (circle && k == steps) break;
      const double at_rad = std::numbers::pi / 2.0 * (corner + static_cast<double>(k) / steps);
      const double nu = std::cos(at_rad);
      const double nv = std::sin(at_rad);
      points.push_back({centre_u_mm + radius_mm * nu, centre_v_mm + radius_mm * nv, nu, nv});
    }
  }
  return points;
}

// Where the section stands: its own axes, carried along without turning about the tube.
struct Station {
  Vec3 p_mm, ahead, u, v;
};

// Steps in which a straight or arc is swept; none where two arcs meet and there is nothing to draw.
std::size_t steps_of(const geometry::Segment& s, double half_mm, double tolerance_mm) {
  if (s.length_mm <= 1e-9) return 0;
  if (!s.is_arc()) return 1;
  const double steps = std::ceil(s.angle.rad() / step_rad(s.radius_mm + half_mm, tolerance_mm));
  return std::max<std::size_t>(2, static_cast<std::size_t>(steps));
}

std::vector<Station> stations_of(const geometry::Centreline& line, const geometry::Frame& start,
                                 double half_mm, double tolerance_mm) {
  std::vector<Station> stations;
  Vec3 u = start.inward;
  const auto add = [&](const geometry::Frame& at, const Vec3& carried) {
    stations.push_back({at.origin_mm, at.ahead, carried, at.ahead.cross(carried)});
  };
  add(line.segments.front().start, u);
  for (const geometry::Segment& s : line.segments) {
    const std::size_t steps = steps_of(s, half_mm, tolerance_mm);
    const auto carried_to = [&](double share_ratio) {
      return s.is_arc() ? geometry::turned(u, s.start.normal, s.angle * share_ratio) : u;
    };
    for (std::size_t k = 1; k <= steps; ++k) {
      const double share_ratio = static_cast<double>(k) / static_cast<double>(steps);
      add(s.at(s.length_mm * share_ratio), carried_to(share_ratio));
    }
    u = carried_to(1.0);
  }
  return stations;
}

class MeshBuilder {
 public:
  explicit MeshBuilder(std::vector<Station> stations) : stations_(std::move(stations)) {}

  // The outline swept along all stations; inward: the bore, facing the axis.
  void sweep(const Outline& points, bool inward) {
    const auto first = static_cast<std::uint32_t>(mesh_.points_mm.size());
    const double facing = inward ? -1.0 : 1.0;
    for (const Station& at : stations_) {
      for (const OutlinePoint& q : points) {
        add(at.p_mm + at.u * q.u_mm + at.v * q.v_mm, (at.u * q.nu + at.v * q.nv) * facing);
      }
    }
    const auto num = static_cast<std::uint32_t>(points.size());
    for (std::uint32_t i = 0; i + 1 < stations_.size(); ++i) {
      for (std::uint32_t k = 0; k < num; ++k) {
        const std::uint32_t a = first + i * num + k;
        const std::uint32_t b = first + i * num + (k + 1) % num;
        quad(a, b, b + num, a + num, inward);
      }
    }
  }

  // The cut face at one end; without a bore it is filled to its middle.
  void close(const Outline& outer, const Outline* bore, bool at_end) {
    const Station& at = at_end ? stations_.back() : stations_.front();
    const Vec3 normal = at_end ? at.ahead : Vec3(-at.ahead);
    const auto first = static_cast<std::uint32_t>(mesh_.points_mm.size());
    const auto ring = [&](const Outline& points) {
      for (const OutlinePoint& q : points) add(at.p_mm + at.u * q.u_mm + at.v * q.v_mm, normal);
    };
    ring(outer);
    const auto num = static_cast<std::uint32_t>(outer.size());
    if (bore != nullptr) {
      ring(*bore);
    } else {
      add(at.p_mm, normal);
    }
    for (std::uint32_t k = 0; k < num; ++k) {
      const std::uint32_t a = first + k;
      const std::uint32_t b = first + (k + 1) % num;
      if (bore != nullptr) {
        quad(a, b, b + num, a + num, !at_end);
      } else if (at_end) {
        triangle(a, b, first + num);
      } else {
        triangle(b, a, first + num);
      }
    }
  }

  TubeMesh take() { return std::move(mesh_); }

 private:
  void add(const Vec3& p_mm, const Vec3& normal) {
    mesh_.points_mm.push_back(p_mm);
    mesh_.normals.push_back(normal.normalized());
  }

  void triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c) {
    // Where an edge is sharp its two points coincide, and between them there is nothing to draw.
    const auto same = [&](std::uint32_t i, std::uint32_t j) {
      return (mesh_.points_mm[i] - mesh_.points_mm[j]).squaredNorm() < 1e-20;
    };
    if (same(a, b) || same(b, c) || same(c, a)) return;
    mesh_.triangles.push_back({a, b, c});
  }

  // a to b runs round the section, d and c above them along the tube.
  void quad(std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d, bool flipped) {
    if (flipped) {
      triangle(a, d, c);
      triangle(a, c, b);
    } else {
      triangle(a, b, c);
      triangle(a, c, d);
    }
  }

  std::vector<Station> stations_;
  TubeMesh mesh_;
};

base::Status can_be_drawn(const geometry::BendTable& table, double half_mm,
                          const MeshOptions& options) {
  if (!(options.tolerance_mm >= kFinestMesh_mm && options.tolerance_mm <= kCoarsestMesh_mm)) {
    return Failure{"mesh.tolerance", "tolerance", "this tolerance of the skin cannot be",
                   fmt::format("from {} to {} mm", kFinestMesh_mm, kCoarsestMesh_mm)};
  }
  const std::vector<geometry::Overlap> eaten = geometry::overlaps(table);
  if (!eaten.empty()) {
    return Failure{"mesh.overlap", fmt::format("straight {}", eaten.front().straight_index + 1),
                   fmt::format("the arcs beside it need {:.3f} mm more than there is",
                               eaten.front().missing_mm),
                   "mend the part first: smaller radii or longer legs"};
  }
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    if (table.rows()[i].radius_mm > half_mm) continue;
    return Failure{"mesh.radius", fmt::format("bend {}", i + 1),
                   "the radius is not above half the section, so the inside would fold over",
                   "give the centreline radius"};
  }
  return base::Done{};
}

}  // namespace

Result<TubeMesh> tube_mesh(const geometry::BendTable& table, const geometry::Frame& start,
                           const stock::Section& section, const MeshOptions& options) {
  const double half_u_mm = section.height_mm() / 2.0;
  const double half_v_mm = section.width_mm() / 2.0;
  BIGHT_TRY(
      const base::Done drawable,
      can_be_drawn(table, section.round() ? half_u_mm : std::max(half_u_mm, half_v_mm), options));
  static_cast<void>(drawable);
  const double corner_mm = section.round() ? half_u_mm : section.corner_radius_mm();
  const int steps = corner_mm > 0.0 ? quarter_steps(corner_mm, options.tolerance_mm) : 1;
  const Outline outer = outline(half_u_mm, half_v_mm, corner_mm, steps, section.round());
  const double wall_mm = section.wall_mm();
  const Outline bore = outline(half_u_mm - wall_mm, half_v_mm - wall_mm,
                               std::max(0.0, corner_mm - wall_mm), steps, section.round());
  const geometry::Centreline line = geometry::lay_out(table, start);
  const double reach_mm = std::hypot(half_u_mm, half_v_mm);
  std::size_t num_steps = 0;
  for (const geometry::Segment& s : line.segments) {
    num_steps += steps_of(s, reach_mm, options.tolerance_mm);
  }
  if (num_steps * outer.size() * 4 > kMostTriangles) {
    return Failure{"mesh.fine", "tolerance",
                   fmt::format("that takes more than {} triangles", kMostTriangles),
                   "give a coarser tolerance"};
  }
  MeshBuilder builder(stations_of(line, start, reach_mm, options.tolerance_mm));
  builder.sweep(outer, false);
  if (section.hollow()) builder.sweep(bore, true);
  for (const bool at_end : {false, true}) {
    builder.close(outer, section.hollow() ? &bore : nullptr, at_end);
  }
  return builder.take();
}

}  // namespace bight::exchange
