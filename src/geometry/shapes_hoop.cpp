// The hoop on two legs.
#include <algorithm>
#include <cmath>
#include <utility>

#include "base/length.h"
#include "geometry/shape_checks.h"
#include "geometry/shapes.h"

namespace bight::geometry {

using base::Angle;
using base::Result;

namespace {

// The hoop's left half between centrelines: a leg from the foot, a lean, half the top.
struct HoopHalf {
  double upright_mm = 0.0;
  double slope_mm = 0.0;
  double top_mm = 0.0;
  Angle lean;  // from the upright towards the middle
};

// What each side gains per millimetre that the outline is moved outwards.
struct HoopGrowth {
  double upright_ratio = 0.0;
  double slope_ratio = 0.0;
  double top_ratio = 0.0;
};

// Uprights move sideways, the top up and down, the slope parallel to itself: a corner of turn a
// moves along either of its sides by the shift times tan(a / 2). Feet stay square to their leg.
HoopGrowth hoop_growth(Angle lean, bool upright) {
  const double at_upright = upright ? base::tan(lean / 2.0) : 0.0;
  const double at_top = base::tan((kQuarterTurn - lean) / 2.0);
  return {at_upright, at_upright + at_top, 2.0 * at_top};
}

HoopHalf hoop_half(const HoopShape& hoop, double shift_mm) {
  const double inset_mm = (hoop.base_mm - hoop.top_mm) / 2.0;
  const double climb_mm = hoop.height_mm - hoop.upright_mm;
  HoopHalf half;
  half.lean = Angle::radians(std::atan2(inset_mm, climb_mm));
  const HoopGrowth growth = hoop_growth(half.lean, hoop.upright_mm > 0.0);
  half.upright_mm = hoop.upright_mm + shift_mm * growth.upright_ratio;
  half.slope_mm = std::hypot(inset_mm, climb_mm) + shift_mm * growth.slope_ratio;
  half.top_mm = hoop.top_mm + shift_mm * growth.top_ratio;
  return half;
}

// How much of each side the setbacks of its bends take, per millimetre of radius.
HoopGrowth hoop_setbacks(Angle lean, bool upright) {
  const double at_upright = upright ? std::abs(base::tan(lean / 2.0)) : 0.0;
  const double at_top = base::tan((kQuarterTurn - lean) / 2.0);
  return {at_upright, at_upright + at_top, 2.0 * at_top};
}

// The largest tube that leaves room for bends of the radius on every side.
double largest_size_mm(const HoopShape& hoop, double radius_mm) {
  const HoopHalf drawn = hoop_half(hoop, 0.0);
  const HoopGrowth growth = hoop_growth(drawn.lean, hoop.upright_mm > 0.0);
  const HoopGrowth taken = hoop_setbacks(drawn.lean, hoop.upright_mm > 0.0);
  const double per_size = hoop.drawn.face == Face::kOutside ? 0.5 : -0.5;
  double largest_mm = base::kLongestLength_mm;
  const auto limit = [&](double side_mm, double taken_ratio, double growth_ratio) {
    const double loss_ratio = growth_ratio * per_size;
    if (loss_ratio <= 0.0) return;
    largest_mm = std::min(largest_mm, (side_mm - taken_ratio * radius_mm) / loss_ratio);
  };
  limit(drawn.upright_mm, taken.upright_ratio, growth.upright_ratio);
  limit(drawn.slope_mm, taken.slope_ratio, growth.slope_ratio);
  limit(drawn.top_mm, taken.top_ratio, growth.top_ratio);
  return largest_mm;
}

base::Failure hoop_too_tight(const HoopShape& hoop, double largest_radius_mm) {
  constexpr double kLeastRadius_mm = 0.02;  // the remedy is printed to hundredths
  if (largest_radius_mm >= kLeastRadius_mm) {
    return does_not_fit("radius", hoop.radius_mm, "is too large for the sides of this hoop",
                        {at_most("radius", largest_radius_mm)});
  }
  double size_mm = largest_size_mm(hoop, hoop.radius_mm);
  if (size_mm < kLeastRadius_mm) size_mm = largest_size_mm(hoop, kLeastRadius_mm);
  if (size_mm < kLeastRadius_mm || hoop.drawn.face == Face::kCentre) {
    return does_not_fit("upright", hoop.upright_mm, "leaves no room between the hoop's corners",
                        {at_most("upright", 0.0)});
  }
  return does_not_fit("size", hoop.drawn.size_mm, "leaves nothing between the hoop's corners",
                      {at_most("size", size_mm)});
}

// How large a radius a straight of length_mm takes between bends with these tangent ratios.
double radius_that_fits_mm(double length_mm, double tangents_ratio) {
  return tangents_ratio > 0.0 ? length_mm / tangents_ratio : HUGE_VAL;
}

// A hoop without uprights that bends only at its top, or one with an upright and no lean.
Shape two_bend_hoop(double leg_mm, Angle bend, double top_mm, double radius_mm,
                    const Frame& start) {
  const double setback_mm = radius_mm * base::tan(bend / 2.0);
  return shape_of({{leg_mm - setback_mm, Angle(), bend, radius_mm},
                   {top_mm - 2.0 * setback_mm, Angle(), bend, radius_mm}},
                  leg_mm - setback_mm, start);
}

}  // namespace

Result<Shape> make_hoop(const HoopShape& hoop) {
  if (auto bad = first_of(
          {refuse_unless_positive("base", hoop.base_mm), refuse_unless_positive("top", hoop.top_mm),
           refuse_unless_positive("height", hoop.height_mm),
           refuse_if_negative("upright", hoop.upright_mm),
           refuse_unless_positive("radius", hoop.radius_mm), refuse_unless_drawn(hoop.drawn)})) {
    return *bad;
  }
  if (hoop.upright_mm >= hoop.height_mm) {
    return does_not_fit("upright", hoop.upright_mm, "reaches the top of the hoop",
                        {at_most("upright", hoop.height_mm / 2.0)});
  }
  const bool leans =
      std::abs(std::atan2(hoop.base_mm - hoop.top_mm, 2.0 * (hoop.height_mm - hoop.upright_mm))) >=
      Angle::degrees(kLeastBend_deg).rad();
  const HoopHalf half = hoop_half(hoop, to_centre_mm(hoop.drawn));
  const double radius_mm = hoop.radius_mm;
  const Angle shoulder = leans ? kQuarterTurn - half.lean : kQuarterTurn;
  const double top_tangent = base::tan(shoulder / 2.0);
  const double lean_tangent = std::abs(base::tan(half.lean / 2.0));
  const bool four_bends = leans && hoop.upright_mm > 0.0;
  const double leg_mm = leans ? half.slope_mm : half.upright_mm + half.slope_mm;
  const double largest_radius_mm =
      std::min({radius_that_fits_mm(half.top_mm, 2.0 * top_tangent),
                radius_that_fits_mm(leg_mm, top_tangent + (four_bends ? lean_tangent : 0.0)),
                four_bends ? radius_that_fits_mm(half.upright_mm, lean_tangent) : HUGE_VAL});
  if (radius_mm > largest_radius_mm + kFit_mm) return hoop_too_tight(hoop, largest_radius_mm);
  if (!four_bends) {
    // Leaning legs start in X's direction turned by the lean, so that the feet stay level.
    Frame start;
    if (leans) start = start.swept(1.0, half.lean);
    start.origin_mm = Vec3::Zero();
    return two_bend_hoop(leg_mm, shoulder, half.top_mm, radius_mm, start);
  }
  const bool inwards = half.lean > Angle();
  const Angle lean = inwards ? half.lean : -half.lean;
  // Legs that splay bend away from the middle first, and back at the top.
  const Angle over = inwards ? Angle() : kHalfTurn;
  const double lean_setback_mm = radius_mm * lean_tangent;
  const double top_setback_mm = radius_mm * top_tangent;
  const double slope_mm = half.slope_mm - lean_setback_mm - top_setback_mm;
  return shape_of({{half.upright_mm - lean_setback_mm, Angle(), lean, radius_mm},
                   {slope_mm, over, shoulder, radius_mm},
                   {half.top_mm - 2.0 * top_setback_mm, Angle(), shoulder, radius_mm},
                   {slope_mm, over, lean, radius_mm}},
                  half.upright_mm - lean_setback_mm, Frame().rolled(over));
}

}  // namespace bight::geometry
