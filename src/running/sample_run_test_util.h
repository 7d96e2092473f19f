// Runs and events for tests.
#pragma once

#include <string>
#include <utility>

#include "running/run.h"

namespace bight::running {

inline Event event(std::string key, std::int64_t at_ms, Deed deed, std::string by = "KB") {
  return {std::move(key), Moment{at_ms}, std::move(by), std::move(deed)};
}

inline Hit hit(int piece, int step, double set_deg = 94.6) {
  return {piece, step, base::Angle::degrees(set_deg), {}};
}

inline Hit read_hit(int piece, int step, double set_deg, double read_deg) {
  return {piece, step, base::Angle::degrees(set_deg), base::Angle::degrees(read_deg)};
}

// Bends 2 and 1 of a part, in this order of working, each 90°.
inline Run two_bend_run(int pieces) {
  Run run;
  run.name = "pulpit rail";
  run.heat = "H1";
  run.pieces_wanted = pieces;
  const auto deg = [](double value_deg) { return base::Angle::degrees(value_deg); };
  run.steps = {{2, "D38", deg(90), deg(94.6), deg(0.5)}, {1, "D38", deg(90), deg(94.6), deg(0.5)}};
  return run;
}

}  // namespace bight::running
