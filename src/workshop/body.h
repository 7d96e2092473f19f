// What stands round the die: the bender's own solids, and the room it stands in.
//
// Machine frame, letter M: x runs the way the tube is fed (from the tail towards the clamp), z is
// up, y to the left of the feed. The origin lies on the die's axis, in the plane of the groove of
// the lowest die of the stack. A head that turns counter-clockwise (seen from above) bends the
// tube towards +y, and its tube runs in along y = -R; a clockwise head bends it towards -y, and
// its tube runs in along y = +R.
#pragma once

#include <Eigen/Geometry>
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/angle.h"
#include "geometry/frame.h"

namespace bight::workshop {

// What a body moves with, and where the origin of its coordinates is.
enum class CarriedBy {
  kFrame,        // stands still; machine frame
  kArm,          // turns with the bend die; machine frame at 0 degrees
  kClamp,        // turns with the die; origin on the tube's centreline at the tangent point
  kPressureDie,  // origin as the clamp's; opens, and follows the tube where it is an assisted one
  kCarriage,     // origin on the tube's centreline at its back end
};

// "frame", "arm", "clamp", "pressure-die", "carriage" as written in files.
std::string_view word(CarriedBy carrier);

// Centred on the body's own origin.
struct BoxShape {
  geometry::Vec3 size_mm = geometry::Vec3::Zero();
};
// Axis along the body's own z, centred.
struct CylinderShape {
  double radius_mm = 0.0;
  double length_mm = 0.0;
};
// A simple polygon in the body's own xy plane, either way round, raised from z = 0 to height.
struct OutlineShape {
  std::vector<Eigen::Vector2d> outline_mm;
  double height_mm = 0.0;
};
// Triangles, in the body's own axes. Only named until somebody has read the file.
struct MeshShape {
  std::string file;      // in the shop's folder
  double unit_mm = 1.0;  // what one unit of the file is
  std::vector<geometry::Vec3> points_mm;
  std::vector<std::array<std::uint32_t, 3>> triangles;
};
using Shape = std::variant<BoxShape, CylinderShape, OutlineShape, MeshShape>;

struct Body {
  std::string name;
  CarriedBy on = CarriedBy::kFrame;
  Shape shape;
  // Its origin in the carrier's axes, and how it is turned: about the carrier's x, then y, then z.
  geometry::Vec3 at_mm = geometry::Vec3::Zero();
  std::array<base::Angle, 3> turned;
  bool keep_out = false;  // nothing solid: where the operator stands

  // Its own axes in the carrier's.
  Eigen::Isometry3d pose() const;
};

// An upright wall: the plane at a distance from the die's axis, square to a direction.
struct Wall {
  std::string name;
  base::Angle direction;  // from the feed direction, counter-clockwise seen from above
  double distance_mm = 0.0;
};

struct Room {
  std::optional<double> floor_mm;    // floor below the plane of the lowest die
  std::optional<double> ceiling_mm;  // ceiling above it
  std::vector<Wall> walls;
};

// What can be struck, and how the bender's parts move.
struct Surroundings {
  Room room;
  std::vector<Body> bodies;
  // Groove planes of the stack above the lowest, first 0, rising. Empty: nothing is known of them.
  std::vector<double> levels_mm;
  double clamp_opens_mm = 0.0;           // away from the die
  double pressure_die_opens_mm = 0.0;    // away from the die
  bool pressure_die_follows = false;     // travels with the tube during the bend
  std::optional<double> mandrel_rod_mm;  // longest tube behind the tangent point with a mandrel
  double lift_mm = 100.0;  // the tube comes from and goes to this height above its groove
};

}  // namespace bight::workshop
