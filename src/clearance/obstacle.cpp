#include "clearance/obstacle.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "clearance/convex_parts.h"

namespace bight::clearance {

using geometry::Vec3;
using workshop::Body;

namespace {

Eigen::AlignedBox3d everywhere() {
  const Vec3 far_mm = Vec3::Constant(std::numeric_limits<double>::infinity());
  return {-far_mm, far_mm};
}

base::Failure wrong(const Body& body, std::string message, std::string remedy) {
  return {"clearance.body", body.name, std::move(message), std::move(remedy)};
}

bool sound(double size_mm) { return std::isfinite(size_mm) && size_mm > 0.0; }

base::Status add_shape(Obstacles& out, const Body& body, const Eigen::Isometry3d& pose,
                       const workshop::BoxShape& shape) {
  if (!sound(shape.size_mm.x()) || !sound(shape.size_mm.y()) || !sound(shape.size_mm.z())) {
    return wrong(body, "a side of the box is not more than zero", "give three sides");
  }
  const Box box{pose.linear(), pose.translation(), 0.5 * shape.size_mm};
  out.push_back({box, bounds_mm(box), body.name, body.keep_out});
  return base::Done{};
}

base::Status add_shape(Obstacles& out, const Body& body, const Eigen::Isometry3d& pose,
                       const workshop::CylinderShape& shape) {
  if (!sound(shape.radius_mm) || !sound(shape.length_mm)) {
    return wrong(body, "the cylinder's diameter or length is not more than zero", "give both");
  }
  const Cylinder cylinder{pose.linear().col(2), pose.translation(), shape.radius_mm,
                          0.5 * shape.length_mm};
  out.push_back({cylinder, bounds_mm(cylinder), body.name, body.keep_out});
  return base::Done{};
}

base::Status add_shape(Obstacles& out, const Body& body, const Eigen::Isometry3d& pose,
                       const workshop::OutlineShape& shape) {
  if (!sound(shape.height_mm)) return wrong(body, "the height is not more than zero", "give it");
  const auto parts = convex_parts(shape.outline_mm);
  if (!parts.has_value()) {
    return wrong(body, "the outline crosses itself or encloses nothing",
                 "give its corners once round, in order");
  }
  const Vec3 middle_mm = pose * Vec3(0.0, 0.0, 0.5 * shape.height_mm);
  for (const Outline& part : *parts) {
    Prism prism{pose.linear(), middle_mm, part, 0.5 * shape.height_mm};
    const Eigen::AlignedBox3d bounds = bounds_mm(prism);
    out.push_back({std::move(prism), bounds, body.name, body.keep_out});
  }
  return base::Done{};
}

base::Status add_shape(Obstacles& out, const Body& body, const Eigen::Isometry3d& pose,
                       const workshop::MeshShape& shape) {
  if (shape.triangles.empty()) return wrong(body, "the mesh has no triangles", "give a mesh");
  for (const auto& triangle : shape.triangles) {
    for (const std::uint32_t corner : triangle) {
      if (corner >= shape.points_mm.size() || !shape.points_mm[corner].allFinite()) {
        return wrong(body, "a triangle of the mesh has no such corner", "give a sound mesh");
      }
    }
  }
  auto tree = std::make_shared<const MeshTree>(shape.points_mm, shape.triangles, pose);
  const Eigen::AlignedBox3d bounds = bounds_mm(tree->nodes().front().box);
  out.push_back({std::move(tree), bounds, body.name, body.keep_out});
  return base::Done{};
}

}  // namespace

base::Status add_body(Obstacles& obstacles, const Body& body, const Vec3& moved_by_mm) {
  Eigen::Isometry3d pose = body.pose();
  pose.pretranslate(moved_by_mm);
  if (!pose.matrix().allFinite()) {
    return wrong(body, "its place is not a number", "give its place as three lengths");
  }
  return std::visit([&](const auto& shape) { return add_shape(obstacles, body, pose, shape); },
                    body.shape);
}

void add_room(Obstacles& obstacles, const workshop::Room& room) {
  const auto plane = [&](const Vec3& away, double offset_mm, std::string name) {
    obstacles.push_back({HalfSpace{away, offset_mm}, everywhere(), std::move(name), false});
  };
  if (room.floor_mm.has_value()) plane(Vec3::UnitZ(), -*room.floor_mm, "floor");
  if (room.ceiling_mm.has_value()) plane(-Vec3::UnitZ(), -*room.ceiling_mm, "ceiling");
  for (const workshop::Wall& wall : room.walls) {
    const Vec3 towards(base::cos(wall.direction), base::sin(wall.direction), 0.0);
    plane(-towards, -wall.distance_mm, wall.name);
  }
}

Obstacle die_disc(const std::string& name, double radius_mm, double height_mm, double level_mm) {
  const Cylinder disc{Vec3::UnitZ(), Vec3(0, 0, level_mm), radius_mm, 0.5 * height_mm};
  return {disc, bounds_mm(disc), name, false};
}

}  // namespace bight::clearance
