// Part 21 text, instance by instance (ISO 10303-21:2016, clauses 6 to 11).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/frame.h"

namespace bight::exchange {

// "#12": the name of an instance.
using StepName = std::string;

// Collects instances and numbers them in order.
class StepText {
 public:
  // unit_mm: millimetres in one length unit of the file.
  explicit StepText(double unit_mm) : unit_mm_(unit_mm) {}

  // Adds an instance from its right-hand side, "CARTESIAN_POINT('',(0.,0.,0.))".
  StepName add(const std::string& instance);

  StepName point(const geometry::Vec3& p_mm);
  StepName direction(const geometry::Vec3& unit);
  // AXIS2_PLACEMENT_3D: Z along axis, X along reference.
  StepName placement(const geometry::Vec3& origin_mm, const geometry::Vec3& axis,
                     const geometry::Vec3& reference);
  StepName line(const geometry::Vec3& from_mm, const geometry::Vec3& direction);
  StepName circle(const geometry::Vec3& centre_mm, const geometry::Vec3& axis,
                  const geometry::Vec3& reference, double radius_mm);
  // A length in the file's unit, as a real.
  std::string length(double value_mm) const;

  const std::string& data() const { return data_; }

 private:
  double unit_mm_;
  std::size_t count_ = 0;
  std::string data_;
};

// Shortest text that reads back as the same double, in Part 21's form: "1.", "-2.5E-03".
std::string step_real(double value);
// A quoted string: quotes and backslashes doubled, characters beyond ASCII as \X2\ or \X4\ groups,
// control characters dropped, bytes that are no UTF-8 as a question mark.
std::string step_string(std::string_view utf8);
// "(#1,#2,#3)".
std::string step_list(const std::vector<StepName>& names);

}  // namespace bight::exchange
