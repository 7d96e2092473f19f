// What the named shapes ask of their dimensions, and how they refuse. Used by shapes*.cpp only.
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "geometry/shapes.h"

namespace bight::geometry {

// A straight may be this much too short and still be called nothing: overlaps() has the same.
inline constexpr double kFit_mm = 1e-6;
// Below this a corner does not turn: the same as CornerOptions::straight_below.
inline constexpr double kLeastBend_deg = 0.01;

inline constexpr base::Angle kQuarterTurn = base::Angle::degrees(90);
inline constexpr base::Angle kHalfTurn = base::Angle::degrees(180);

using Refusal = std::optional<base::Failure>;

// Finite, above zero, at most 1 km; or from zero on.
Refusal refuse_unless_positive(std::string_view name, double value_mm);
Refusal refuse_if_negative(std::string_view name, double value_mm);
// From kLeastBend_deg up to and including most_deg.
Refusal refuse_unless_bend(std::string_view name, base::Angle angle, double most_deg);
// kCentre, or kOutside or kInside with a size.
Refusal refuse_unless_drawn(const DrawnTo& drawn);
// Exactly one of tail and run, and that one positive.
Refusal refuse_unless_one(const std::optional<double>& tail_mm,
                          const std::optional<double>& run_mm);

// The first that refuses.
Refusal first_of(std::initializer_list<Refusal> refusals);

// shape.fit about one dimension. what: "leaves no room for ..."; remedies are joined with "or".
base::Failure does_not_fit(std::string_view name, double value_mm, std::string_view what,
                           std::initializer_list<std::string> remedies);
// "make the width at least 120.00 mm", rounded to the side that fits.
std::string at_least(std::string_view name, double value_mm);
std::string at_most(std::string_view name, double value_mm);

// Refuses `name` when its straight is eaten by more than kFit_mm: name must grow by the missing.
Refusal refuse_if_short(std::string_view name, double value_mm, double straight_mm,
                        std::string_view eaten_by);

// What to add to a leg drawn to a face to reach the centreline.
double to_centre_mm(const DrawnTo& drawn);

// Table from rows whose straights have been checked; tiny negative ones become zero.
Shape shape_of(std::vector<BendRow> rows, double last_straight_mm, const Frame& start = Frame());

}  // namespace bight::geometry
