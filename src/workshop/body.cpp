#include "workshop/body.h"

namespace bight::workshop {

std::string_view word(CarriedBy carrier) {
  switch (carrier) {
    case CarriedBy::kFrame:
      return "frame";
    case CarriedBy::kArm:
      return "arm";
    case CarriedBy::kClamp:
      return "clamp";
    case CarriedBy::kPressureDie:
      return "pressure-die";
    case CarriedBy::kCarriage:
      return "carriage";
  }
  return "frame";
}

Eigen::Isometry3d Body::pose() const {
  using geometry::Vec3;
  Eigen::Isometry3d pose = Eigen::Isometry3d::Identity();
  pose.translation() = at_mm;
  pose.rotate(Eigen::AngleAxisd(turned[2].rad(), Vec3::UnitZ()));
  pose.rotate(Eigen::AngleAxisd(turned[1].rad(), Vec3::UnitY()));
  pose.rotate(Eigen::AngleAxisd(turned[0].rad(), Vec3::UnitX()));
  return pose;
}

}  // namespace bight::workshop
