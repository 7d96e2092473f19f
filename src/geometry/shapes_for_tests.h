// For tests only: what every test of a named shape asks.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "geometry/path_oracle.h"
#include "geometry/shapes.h"

namespace bight::geometry::oracle {

inline constexpr double kAgree_mm = 1e-9;
inline constexpr double kPi_rad = 3.14159265358979323846;

inline Path path_of(const Shape& shape) { return follow(shape.table, shape.start, 1e-3); }

inline void expect_at(const Vec3& p_mm, double x_mm, double y_mm, double z_mm = 0.0) {
  EXPECT_LT((p_mm - Vec3(x_mm, y_mm, z_mm)).norm(), kAgree_mm) << p_mm.transpose();
}

// Furthest reach of the path along X and Y.
inline Vec3 reach_mm(const Path& path) {
  Vec3 most = path.points_mm.front();
  for (const Vec3& p : path.points_mm) most = most.cwiseMax(p);
  return most;
}

inline double length_named(const Shape& shape, const std::string& name) {
  for (const NamedLength& length : shape.lengths) {
    if (length.name == name) return length.length_mm;
  }
  ADD_FAILURE() << "no length " << name;
  return 0.0;
}

inline void expect_refused(const base::Result<Shape>& shape, const std::string& code,
                           const std::string& where, const std::string& remedy = "") {
  ASSERT_FALSE(shape.ok());
  EXPECT_EQ(shape.failure().code, code) << shape.failure().text();
  EXPECT_EQ(shape.failure().where, where) << shape.failure().text();
  if (!remedy.empty()) {
    EXPECT_EQ(shape.failure().remedy, remedy);
  }
}

// The number in "make the radius at most 123.45 mm".
inline double suggested_mm(const base::Result<Shape>& refused) {
  const std::string& remedy = refused.failure().remedy;
  return std::stod(remedy.substr(remedy.find_first_of("0123456789")));
}

}  // namespace bight::geometry::oracle
