// What was agreed about a piece, as far as one place says it: the part, a measured piece's file,
// the person who inspects.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "inspection/inspect.h"

namespace bight::inspection {

// Absent: this place does not say.
struct Agreed {
  std::optional<AlignBy> align;
  std::vector<std::string> datum_points;  // "A", "1", "B"; for AlignBy::kDatumPoints
  std::optional<double> length_mm;
  std::optional<base::Angle> angle;
  std::optional<double> zone_radius_mm;
  std::optional<double> corner_mm;
  std::optional<double> end_mm;
  std::vector<std::string> rules;
  std::optional<bool> guard_band;
};

// The part's own tolerance, then each place in turn: a later one wins, rules add up. num_points:
// ends and corners of the wanted shape.
// Failure codes: agreed.point (a name of no point, or fewer than three agreed points where the
// piece is laid over by them), agreed.limit (a tolerance not above zero).
base::Result<Agreement> agreement_of(const part::Part& part, std::size_t num_points,
                                     const std::vector<Agreed>& places);

// The index of a point by its name: "A" or "end A" is 0, "2" or "corner 2" is 2, "B" the last.
std::optional<std::size_t> point_index(std::string_view name, std::size_t num_points);

// "end A", "corner 2", "end B".
std::string point_name(std::size_t point, std::size_t num_points);

}  // namespace bight::inspection
