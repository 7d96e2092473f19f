// Problems for the tests of this room. Invented; only the tests include it.
#pragma once

#include <random>

#include "clearance/sample_bender_test_util.h"
#include "ordering/problem.h"

namespace bight::ordering::sample {

using base::Angle;
using clearance::sample::Row;
using clearance::sample::uniform;

inline Problem problem(clearance::Tube tube, double clamp_mm = 95, double tail_mm = 60) {
  Problem p;
  p.bender = clearance::sample::bender();
  p.dies = {clearance::sample::die()};
  p.tools.assign(tube.bends.size(), {{0, clamp_mm, tail_mm}});
  p.tube = std::move(tube);
  return p;
}

// A part of a frame maker: legs of 150 to 500, planes mostly a quarter apart.
inline clearance::Tube frame_tube(std::mt19937_64& rng, std::size_t num_bends) {
  std::vector<Row> rows;
  for (std::size_t i = 0; i < num_bends; ++i) {
    const double plane_deg = uniform(rng, 0, 1) < 0.7 ? 90.0 * std::floor(uniform(rng, -2, 2))
                                                      : std::floor(uniform(rng, -180, 180));
    rows.push_back({uniform(rng, 150, 500), i == 0 ? 0.0 : plane_deg, uniform(rng, 10, 95)});
  }
  return clearance::sample::tube(rows, uniform(rng, 150, 700));
}

// A 1400 mm leg 60° down of a bend of 30° in the other plane, the die 1050 above the floor and
// nothing else about.
inline Problem floor_problem() {
  const double radius_mm = 114.3 / 0.96;
  const double setback_mm = radius_mm * std::tan(Angle::degrees(30).rad());
  Problem p = problem(clearance::sample::tube({{250, 0, 30}, {300, -90, 60}}, 1400 - setback_mm));
  p.bender.around.bodies.clear();
  return p;
}

}  // namespace bight::ordering::sample
