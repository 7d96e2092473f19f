// Offsets and saddles: equal bends to and fro.
#include <cmath>

#include "geometry/bend_arithmetic.h"
#include "geometry/shape_checks.h"
#include "geometry/shapes.h"

namespace bight::geometry {

using base::Angle;
using base::Result;

namespace {

// Two equal bends of radius R need a rise of 2 R (1 - cos a) to have their arcs meet: written as
// 4 R sin²(a/2), which keeps its digits for shallow bends.
double least_rise_mm(Angle angle, double radius_mm) {
  const double half_sine = base::sin(angle / 2.0);
  return 4.0 * radius_mm * half_sine * half_sine;
}

Refusal refuse_low_rise(std::string_view name, double rise_mm, Angle angle, double radius_mm) {
  const double least_mm = least_rise_mm(angle, radius_mm);
  if (rise_mm >= least_mm - kFit_mm) return std::nullopt;
  return does_not_fit(
      name, rise_mm, "leaves no straight between its two bends",
      {at_least(name, least_mm), at_most("radius", radius_mm * rise_mm / least_mm)});
}

double setback_mm(Angle angle, double radius_mm) { return radius_mm * base::tan(angle / 2.0); }

// An offset in one plane, whichever way that plane is rolled.
struct PlainOffset {
  double lead_mm;
  double rise_mm;
  Angle angle;
  std::optional<double> tail_mm;
  std::optional<double> run_mm;
  double radius_mm;
};

// The rise has been checked.
Result<Shape> make_plain(const PlainOffset& offset, const Frame& start) {
  const OffsetLengths exact = offset_lengths(offset.rise_mm, offset.angle, offset.radius_mm);
  const double travel_mm = offset.rise_mm / base::sin(offset.angle);
  const double advance_mm = travel_mm * base::cos(offset.angle);
  const double set_mm = setback_mm(offset.angle, offset.radius_mm);
  const double tail_mm =
      offset.tail_mm ? *offset.tail_mm : *offset.run_mm - offset.lead_mm - advance_mm;
  const double run_mm = offset.lead_mm + advance_mm + tail_mm;
  if (auto bad = first_of(
          {refuse_if_short("lead", offset.lead_mm, offset.lead_mm - set_mm, "the first bend"),
           offset.tail_mm ? refuse_if_short("tail", tail_mm, tail_mm - set_mm, "the last bend")
                          : refuse_if_short("run", *offset.run_mm, tail_mm - set_mm,
                                            "the offset with its lead")})) {
    return *bad;
  }
  Shape shape = shape_of({{offset.lead_mm - set_mm, Angle(), offset.angle, offset.radius_mm},
                          {exact.straight_mm, kHalfTurn, offset.angle, offset.radius_mm}},
                         tail_mm - set_mm, start);
  shape.lengths = {{"travel", travel_mm},
                   {"advance", advance_mm},
                   {"mark spacing", exact.spacing_mm},
                   {"shrink", exact.shrink_mm},
                   {"run", run_mm}};
  return shape;
}

}  // namespace

Result<Shape> make_offset(const OffsetShape& offset) {
  if (auto bad = first_of({refuse_unless_positive("lead", offset.lead_mm),
                           refuse_unless_positive("rise", offset.rise_mm),
                           refuse_unless_positive("radius", offset.radius_mm),
                           refuse_unless_bend("angle", offset.angle, 90.0),
                           refuse_unless_one(offset.tail_mm, offset.run_mm)})) {
    return *bad;
  }
  if (auto bad = refuse_low_rise("rise", offset.rise_mm, offset.angle, offset.radius_mm)) {
    return *bad;
  }
  return make_plain({offset.lead_mm, offset.rise_mm, offset.angle, offset.tail_mm, offset.run_mm,
                     offset.radius_mm},
                    Frame());
}

Result<Shape> make_rolling_offset(const RollingOffsetShape& offset) {
  if (auto bad = first_of({refuse_unless_positive("lead", offset.lead_mm),
                           refuse_unless_positive("set", offset.set_mm),
                           refuse_if_negative("roll", offset.roll_mm),
                           refuse_unless_positive("radius", offset.radius_mm),
                           refuse_unless_bend("angle", offset.angle, 90.0),
                           refuse_unless_one(offset.tail_mm, offset.run_mm)})) {
    return *bad;
  }
  const RollingOffset rolled = rolling_offset(offset.set_mm, offset.roll_mm, offset.angle);
  const double least_mm = least_rise_mm(offset.angle, offset.radius_mm);
  if (rolled.true_offset_mm < least_mm - kFit_mm) {
    const double set_mm = std::sqrt((least_mm - offset.roll_mm) * (least_mm + offset.roll_mm));
    return does_not_fit("set", offset.set_mm, "with its roll leaves no straight between the bends",
                        {at_least("set", set_mm),
                         at_most("radius", offset.radius_mm * rolled.true_offset_mm / least_mm)});
  }
  BIGHT_TRY(Shape shape, make_plain({offset.lead_mm, rolled.true_offset_mm, offset.angle,
                                     offset.tail_mm, offset.run_mm, offset.radius_mm},
                                    Frame().rolled(rolled.roll)));
  shape.lengths.push_back({"true offset", rolled.true_offset_mm});
  shape.angles = {{"roll", rolled.roll}};
  return shape;
}

Result<Shape> make_double_offset(const DoubleOffsetShape& offset) {
  if (auto bad = first_of({refuse_unless_positive("lead", offset.lead_mm),
                           refuse_unless_positive("first rise", offset.first_rise_mm),
                           refuse_unless_bend("first angle", offset.first_angle, 90.0),
                           refuse_unless_positive("between", offset.between_mm),
                           refuse_unless_positive("second rise", offset.second_rise_mm),
                           refuse_unless_bend("second angle", offset.second_angle, 90.0),
                           refuse_unless_positive("tail", offset.tail_mm),
                           refuse_unless_positive("radius", offset.radius_mm)})) {
    return *bad;
  }
  if (!std::isfinite(offset.second_roll.rad())) {
    return base::Failure{"shape.angle", "second roll", "the second roll is missing",
                         "give 0° for the same side, 180° to come back"};
  }
  const double r_mm = offset.radius_mm;
  const double first_mm = setback_mm(offset.first_angle, r_mm);
  const double second_mm = setback_mm(offset.second_angle, r_mm);
  const double between_mm = offset.between_mm - first_mm - second_mm;
  if (auto bad = first_of(
          {refuse_low_rise("first rise", offset.first_rise_mm, offset.first_angle, r_mm),
           refuse_low_rise("second rise", offset.second_rise_mm, offset.second_angle, r_mm),
           refuse_if_short("lead", offset.lead_mm, offset.lead_mm - first_mm, "the first bend"),
           refuse_if_short("between", offset.between_mm, between_mm, "its two bends"),
           refuse_if_short("tail", offset.tail_mm, offset.tail_mm - second_mm, "the last bend")})) {
    return *bad;
  }
  return shape_of({{offset.lead_mm - first_mm, Angle(), offset.first_angle, r_mm},
                   {offset_lengths(offset.first_rise_mm, offset.first_angle, r_mm).straight_mm,
                    kHalfTurn, offset.first_angle, r_mm},
                   {between_mm, kHalfTurn + offset.second_roll, offset.second_angle, r_mm},
                   {offset_lengths(offset.second_rise_mm, offset.second_angle, r_mm).straight_mm,
                    kHalfTurn, offset.second_angle, r_mm}},
                  offset.tail_mm - second_mm);
}

Result<Shape> make_saddle3(const Saddle3Shape& saddle) {
  if (auto bad = first_of({refuse_unless_positive("centre", saddle.centre_mm),
                           refuse_unless_positive("run", saddle.run_mm),
                           refuse_unless_positive("depth", saddle.depth_mm),
                           refuse_unless_positive("radius", saddle.radius_mm),
                           refuse_unless_bend("angle", saddle.angle, 85.0)})) {
    return *bad;
  }
  // The centre corner lies above the crown by R (sec a - 1). With it the arcs meet at the depth at
  // which those of an offset do.
  const double r_mm = saddle.radius_mm;
  if (auto bad = refuse_low_rise("depth", saddle.depth_mm, saddle.angle, r_mm)) return *bad;
  const double corner_mm = saddle.depth_mm + r_mm * (1.0 / base::cos(saddle.angle) - 1.0);
  const double outer_mm = setback_mm(saddle.angle, r_mm);
  const double slope_mm =
      corner_mm / base::sin(saddle.angle) - outer_mm - setback_mm(saddle.angle * 2.0, r_mm);
  const double reach_mm = corner_mm / base::tan(saddle.angle) + outer_mm;  // crown to tangent point
  const double first_mm = saddle.centre_mm - reach_mm;
  const double last_mm = saddle.run_mm - saddle.centre_mm - reach_mm;
  if (auto bad = first_of(
          {refuse_if_short("centre", saddle.centre_mm, first_mm, "the near side of the saddle"),
           refuse_if_short("run", saddle.run_mm, last_mm, "the far side of the saddle")})) {
    return *bad;
  }
  return shape_of({{first_mm, Angle(), saddle.angle, r_mm},
                   {slope_mm, kHalfTurn, saddle.angle * 2.0, r_mm},
                   {slope_mm, kHalfTurn, saddle.angle, r_mm}},
                  last_mm);
}

Result<Shape> make_saddle4(const Saddle4Shape& saddle) {
  if (auto bad = first_of({refuse_unless_positive("centre", saddle.centre_mm),
                           refuse_unless_positive("run", saddle.run_mm),
                           refuse_unless_positive("depth", saddle.depth_mm),
                           refuse_unless_positive("top", saddle.top_mm),
                           refuse_unless_positive("radius", saddle.radius_mm),
                           refuse_unless_bend("angle", saddle.angle, 90.0)})) {
    return *bad;
  }
  const double r_mm = saddle.radius_mm;
  if (auto bad = refuse_low_rise("depth", saddle.depth_mm, saddle.angle, r_mm)) return *bad;
  const double set_mm = setback_mm(saddle.angle, r_mm);
  const double slope_mm = offset_lengths(saddle.depth_mm, saddle.angle, r_mm).straight_mm;
  const double top_mm = saddle.top_mm - 2.0 * set_mm;
  const double reach_mm = saddle.top_mm / 2.0 + saddle.depth_mm / base::tan(saddle.angle) + set_mm;
  const double first_mm = saddle.centre_mm - reach_mm;
  const double last_mm = saddle.run_mm - saddle.centre_mm - reach_mm;
  if (auto bad = first_of(
          {refuse_if_short("top", saddle.top_mm, top_mm, "its two bends"),
           refuse_if_short("centre", saddle.centre_mm, first_mm, "the near side of the saddle"),
           refuse_if_short("run", saddle.run_mm, last_mm, "the far side of the saddle")})) {
    return *bad;
  }
  return shape_of({{first_mm, Angle(), saddle.angle, r_mm},
                   {slope_mm, kHalfTurn, saddle.angle, r_mm},
                   {top_mm, Angle(), saddle.angle, r_mm},
                   {slope_mm, kHalfTurn, saddle.angle, r_mm}},
                  last_mm);
}

}  // namespace bight::geometry
