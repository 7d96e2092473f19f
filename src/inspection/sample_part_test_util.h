// Parts for the tests of this room. Invented; only the tests include it.
#pragma once

#include <string>
#include <vector>

#include "part/part.h"

namespace bight::inspection::sample {

inline geometry::BendRow row(double straight_mm, double rotation_deg, double angle_deg,
                             double radius_mm = 60.0) {
  return {straight_mm, base::Angle::degrees(rotation_deg), base::Angle::degrees(angle_deg),
          radius_mm};
}

inline part::Part part(double od_mm, double wall_mm, std::vector<geometry::BendRow> rows,
                       double last_mm) {
  stock::Material metal;
  metal.name = "test steel";
  metal.family = "carbon steel";
  return part::Part{.name = "test part",
                    .tube_text = "tube",
                    .section = *stock::Section::round_tube(od_mm, wall_mm),
                    .material = metal,
                    .table = *geometry::BendTable::make(std::move(rows), last_mm)};
}

}  // namespace bight::inspection::sample
