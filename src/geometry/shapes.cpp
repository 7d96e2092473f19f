#include "geometry/shapes.h"

#include <cmath>

#include "geometry/bend_arithmetic.h"
#include "geometry/shape_checks.h"

namespace bight::geometry {

using base::Angle;
using base::Result;

Result<Shape> make_u(const UShape& u) {
  if (auto bad = first_of(
          {refuse_unless_positive("width", u.width_mm), refuse_unless_positive("leg A", u.leg_a_mm),
           refuse_unless_positive("leg B", u.leg_b_mm),
           refuse_unless_positive("radius", u.radius_mm), refuse_unless_drawn(u.drawn)})) {
    return *bad;
  }
  const double to_centre = to_centre_mm(u.drawn);
  const double bottom_mm = u.width_mm + 2.0 * to_centre - 2.0 * u.radius_mm;
  if (bottom_mm < -kFit_mm) {
    const double widest_radius_mm = u.radius_mm + bottom_mm / 2.0;
    const std::string width = at_least("width", u.width_mm - bottom_mm);
    return widest_radius_mm > 0.0
               ? does_not_fit("width", u.width_mm, "leaves no room for two bends of this radius",
                              {width, at_most("radius", widest_radius_mm)})
               : does_not_fit("width", u.width_mm, "is less than the tube itself", {width});
  }
  const double first_mm = u.leg_a_mm + to_centre - u.radius_mm;
  const double last_mm = u.leg_b_mm + to_centre - u.radius_mm;
  if (auto bad = first_of({refuse_if_short("leg A", u.leg_a_mm, first_mm, "its bend"),
                           refuse_if_short("leg B", u.leg_b_mm, last_mm, "its bend")})) {
    return *bad;
  }
  if (bottom_mm <= kFit_mm) return shape_of({{first_mm, Angle(), kHalfTurn, u.radius_mm}}, last_mm);
  return shape_of({{first_mm, Angle(), kQuarterTurn, u.radius_mm},
                   {bottom_mm, Angle(), kQuarterTurn, u.radius_mm}},
                  last_mm);
}

Result<Shape> make_arc(const ArcShape& arc) {
  if (auto bad = first_of({refuse_if_negative("lead", arc.lead_mm),
                           refuse_unless_positive("radius", arc.radius_mm),
                           refuse_if_negative("tail", arc.tail_mm),
                           refuse_unless_bend("angle", arc.angle, 359.99)})) {
    return *bad;
  }
  return shape_of({{arc.lead_mm, Angle(), arc.angle, arc.radius_mm}}, arc.tail_mm);
}

Result<ChordArc> arc_over_chord(double chord_mm, double rise_mm) {
  if (auto bad = first_of(
          {refuse_unless_positive("chord", chord_mm), refuse_unless_positive("rise", rise_mm)})) {
    return *bad;
  }
  return ChordArc{(chord_mm * chord_mm / 4.0 + rise_mm * rise_mm) / (2.0 * rise_mm),
                  Angle::radians(4.0 * std::atan2(2.0 * rise_mm, chord_mm))};
}

Result<Shape> make_kick(const KickShape& kick) {
  if (auto bad = first_of({refuse_unless_positive("lead", kick.lead_mm),
                           refuse_unless_positive("rise", kick.rise_mm),
                           refuse_unless_positive("radius", kick.radius_mm),
                           refuse_unless_bend("angle", kick.angle, 90.0)})) {
    return *bad;
  }
  const double sine = base::sin(kick.angle);
  const double setback_mm = kick.radius_mm * base::tan(kick.angle / 2.0);
  const double slope_mm = kick.rise_mm / sine;
  if (slope_mm - setback_mm < -kFit_mm) {
    return does_not_fit("rise", kick.rise_mm, "is less than the bend alone makes",
                        {at_least("rise", setback_mm * sine),
                         at_most("radius", slope_mm / base::tan(kick.angle / 2.0))});
  }
  const double first_mm = kick.lead_mm - setback_mm;
  if (auto bad = refuse_if_short("lead", kick.lead_mm, first_mm, "the bend")) return *bad;
  Shape shape = shape_of({{first_mm, Angle(), kick.angle, kick.radius_mm}}, slope_mm - setback_mm);
  shape.lengths = {{"slope", slope_mm}};
  return shape;
}

Result<Shape> make_stub_up(const StubUpShape& stub) {
  if (auto bad = first_of({refuse_unless_positive("stub", stub.stub_mm),
                           refuse_unless_positive("far leg", stub.far_mm),
                           refuse_unless_positive("radius", stub.radius_mm),
                           refuse_unless_positive("size", stub.od_mm)})) {
    return *bad;
  }
  const double first_mm = start_of_bend_mm(stub.stub_mm, kQuarterTurn, stub.radius_mm, stub.od_mm);
  const double last_mm = start_of_bend_mm(stub.far_mm, kQuarterTurn, stub.radius_mm, stub.od_mm);
  if (auto bad = first_of({refuse_if_short("stub", stub.stub_mm, first_mm, "its bend"),
                           refuse_if_short("far leg", stub.far_mm, last_mm, "its bend")})) {
    return *bad;
  }
  Shape shape = shape_of({{first_mm, Angle(), kQuarterTurn, stub.radius_mm}}, last_mm);
  shape.lengths = {{"gain", back_to_back_gain_mm(stub.radius_mm, stub.od_mm)}};
  if (stub.take_up_mm) {
    if (auto bad = refuse_if_negative("take-up", *stub.take_up_mm)) return *bad;
    const auto mark = take_up_mark_mm(stub.stub_mm, *stub.take_up_mm);
    if (!mark.ok()) {
      return does_not_fit("stub", stub.stub_mm, "is lower than the tool's take-up",
                          {at_least("stub", *stub.take_up_mm)});
    }
    shape.lengths.push_back({"mark", *mark});
  }
  return shape;
}

Result<Shape> make_back_to_back(const BackToBackShape& shape) {
  if (auto bad = first_of({refuse_unless_positive("back to back", shape.back_to_back_mm),
                           refuse_unless_positive("stub A", shape.stub_a_mm),
                           refuse_unless_positive("stub B", shape.stub_b_mm),
                           refuse_unless_positive("radius", shape.radius_mm),
                           refuse_unless_positive("size", shape.od_mm)})) {
    return *bad;
  }
  const double reach_mm = shape.radius_mm + shape.od_mm / 2.0;  // tangent point to back
  const double bottom_mm = shape.back_to_back_mm - 2.0 * reach_mm;
  const double first_mm = shape.stub_a_mm - reach_mm;
  const double last_mm = shape.stub_b_mm - reach_mm;
  if (auto bad = first_of(
          {refuse_if_short("back to back", shape.back_to_back_mm, bottom_mm, "a pair of bends"),
           refuse_if_short("stub A", shape.stub_a_mm, first_mm, "its bend"),
           refuse_if_short("stub B", shape.stub_b_mm, last_mm, "its bend")})) {
    return *bad;
  }
  Shape made = shape_of({{first_mm, Angle(), kQuarterTurn, shape.radius_mm},
                         {bottom_mm, Angle(), kQuarterTurn, shape.radius_mm}},
                        last_mm);
  made.lengths = {{"gain", back_to_back_gain_mm(shape.radius_mm, shape.od_mm)},
                  {"cut length", made.table.developed_length_mm()}};
  return made;
}

}  // namespace bight::geometry
