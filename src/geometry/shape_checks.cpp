#include "geometry/shape_checks.h"

#include <fmt/format.h>

#include <cmath>

#include "base/length.h"
#include "base/number.h"

namespace bight::geometry {

using base::Angle;
using base::Failure;

namespace {

Refusal refuse_number(std::string_view name, double value_mm, std::string_view wanted) {
  return Failure{"shape.number", std::string(name),
                 fmt::format("the {} of {} mm cannot be made", name, base::print_number(value_mm)),
                 fmt::format("give the {} as a length {}, at most 1 km", name, wanted)};
}

}  // namespace

Refusal refuse_unless_positive(std::string_view name, double value_mm) {
  if (value_mm > 0.0 && value_mm <= base::kLongestLength_mm) return std::nullopt;
  return refuse_number(name, value_mm, "above zero");
}

Refusal refuse_if_negative(std::string_view name, double value_mm) {
  if (value_mm >= 0.0 && value_mm <= base::kLongestLength_mm) return std::nullopt;
  return refuse_number(name, value_mm, "of zero or more");
}

Refusal refuse_unless_bend(std::string_view name, Angle angle, double most_deg) {
  if (angle.deg() >= kLeastBend_deg && angle <= Angle::degrees(most_deg)) return std::nullopt;
  return Failure{"shape.angle", std::string(name),
                 fmt::format("the {} of {}° is not possible in this shape", name,
                             base::print_number(angle.deg())),
                 fmt::format("give a change of direction from {}° to {}°",
                             base::print_number(kLeastBend_deg), base::print_number(most_deg))};
}

Refusal refuse_unless_drawn(const DrawnTo& drawn) {
  if (drawn.face == Face::kLeft || drawn.face == Face::kRight) {
    return Failure{"shape.choice", "face", "this shape is not drawn to its left or right face",
                   "draw it to its centreline, its outside or its inside"};
  }
  if (drawn.face == Face::kCentre) return refuse_if_negative("size", drawn.size_mm);
  return refuse_unless_positive("size", drawn.size_mm);
}

Refusal refuse_unless_one(const std::optional<double>& tail_mm,
                          const std::optional<double>& run_mm) {
  if (tail_mm.has_value() == run_mm.has_value()) {
    return Failure{"shape.choice", "tail",
                   tail_mm ? "both the tail and the run are given" : "the far end is not given",
                   "give either the tail or the run"};
  }
  return tail_mm ? refuse_unless_positive("tail", *tail_mm)
                 : refuse_unless_positive("run", *run_mm);
}

Refusal first_of(std::initializer_list<Refusal> refusals) {
  for (const Refusal& refusal : refusals) {
    if (refusal) return refusal;
  }
  return std::nullopt;
}

Failure does_not_fit(std::string_view name, double value_mm, std::string_view what,
                     std::initializer_list<std::string> remedies) {
  std::string joined;
  for (const std::string& remedy : remedies)
    joined += (joined.empty() ? "make " : ", or ") + remedy;
  return Failure{"shape.fit", std::string(name),
                 fmt::format("the {} of {} mm {}", name, base::print_decimal(value_mm, 2), what),
                 joined};
}

// Hundredths, rounded to the side that fits; a value within kFit_mm of one is that one.
std::string at_least(std::string_view name, double value_mm) {
  return fmt::format("the {} at least {} mm", name,
                     base::print_decimal(std::ceil((value_mm - kFit_mm) * 100.0) / 100.0, 2));
}

std::string at_most(std::string_view name, double value_mm) {
  return fmt::format("the {} at most {} mm", name,
                     base::print_decimal(std::floor((value_mm + kFit_mm) * 100.0) / 100.0, 2));
}

Refusal refuse_if_short(std::string_view name, double value_mm, double straight_mm,
                        std::string_view eaten_by) {
  if (straight_mm >= -kFit_mm) return std::nullopt;
  return does_not_fit(name, value_mm, fmt::format("is shorter than {} needs", eaten_by),
                      {at_least(name, value_mm - straight_mm)});
}

double to_centre_mm(const DrawnTo& drawn) {
  if (drawn.face == Face::kOutside) return -drawn.size_mm / 2.0;
  if (drawn.face == Face::kInside) return drawn.size_mm / 2.0;
  return 0.0;
}

// An offset's rise may be kFit_mm too small, which takes kFit_mm / sin(least bend) off its
// straight.
constexpr double kNearlyFit_mm = kFit_mm * 6000.0;

Shape shape_of(std::vector<BendRow> rows, double last_straight_mm, const Frame& start) {
  const auto tidied_mm = [](double straight_mm) {
    return straight_mm < 0.0 && straight_mm >= -kNearlyFit_mm ? 0.0 : straight_mm;
  };
  for (BendRow& row : rows) row.straight_mm = tidied_mm(row.straight_mm);
  base::Result<BendTable> table = BendTable::make(std::move(rows), tidied_mm(last_straight_mm));
  BIGHT_CHECK(table.ok());
  return {std::move(table).value(), start, {}, {}};
}

}  // namespace bight::geometry
