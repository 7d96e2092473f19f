// Handrails: returns and the turn of a stair.
#include <Eigen/Geometry>
#include <cmath>
#include <utility>

#include "geometry/bend_arithmetic.h"
#include "geometry/shape_checks.h"
#include "geometry/shapes.h"

namespace bight::geometry {

using base::Angle;
using base::Result;

Result<Shape> make_handrail_return(const HandrailReturnShape& rail) {
  const bool post = rail.kind == HandrailReturnShape::Kind::kPost;
  if (auto bad = first_of({refuse_unless_positive("rail", rail.rail_mm),
                           refuse_unless_positive("return", rail.return_mm),
                           post ? refuse_unless_positive("back", rail.back_mm) : std::nullopt,
                           refuse_unless_positive("radius", rail.radius_mm)})) {
    return *bad;
  }
  const double r_mm = rail.radius_mm;
  const double rail_mm = rail.rail_mm - (rail.both_ends ? 2.0 : 1.0) * r_mm;
  const double return_mm = rail.return_mm - (post ? 2.0 : 1.0) * r_mm;
  const double back_mm = rail.back_mm - r_mm;
  if (auto bad = first_of(
          {refuse_if_short("rail", rail.rail_mm, rail_mm,
                           rail.both_ends ? "its bends" : "its bend"),
           refuse_if_short("return", rail.return_mm, return_mm, post ? "its bends" : "its bend"),
           post ? refuse_if_short("back", rail.back_mm, back_mm, "its bend") : std::nullopt})) {
    return *bad;
  }
  std::vector<BendRow> rows;
  if (rail.both_ends && post) rows.push_back({back_mm, Angle(), kQuarterTurn, r_mm});
  if (rail.both_ends) rows.push_back({return_mm, Angle(), kQuarterTurn, r_mm});
  rows.push_back({rail_mm, Angle(), kQuarterTurn, r_mm});
  if (post) rows.push_back({return_mm, Angle(), kQuarterTurn, r_mm});
  // With a return before it the rail must still run along X: end A turns back by what comes first.
  Frame start;
  if (rail.both_ends) {
    start.ahead = post ? Vec3(-1.0, 0.0, 0.0) : Vec3(0.0, -1.0, 0.0);
    start.inward = post ? Vec3(0.0, -1.0, 0.0) : Vec3(1.0, 0.0, 0.0);
  }
  return shape_of(std::move(rows), post ? back_mm : return_mm, start);
}

Result<Shape> make_stair_turn(const StairTurnShape& stair) {
  for (const auto& [name, pitch] : {std::pair("pitch before", stair.pitch_before),
                                    std::pair("pitch after", stair.pitch_after)}) {
    if (!(std::abs(pitch.deg()) < 90.0)) {
      return base::Failure{"shape.angle", name, "a rail of 90° and more does not run along a stair",
                           "give the pitch from the level, up positive"};
    }
  }
  if (!(std::abs(stair.plan_turn.deg()) <= 180.0)) {
    return base::Failure{"shape.angle", "plan turn", "the turn in plan is more than a half turn",
                         "give the turn seen from above, left positive"};
  }
  const Angle bend = true_bend_angle(stair.pitch_before, stair.pitch_after, stair.plan_turn);
  if (auto bad = first_of({refuse_unless_positive("before", stair.before_mm),
                           refuse_unless_positive("after", stair.after_mm),
                           refuse_unless_positive("radius", stair.radius_mm),
                           refuse_unless_bend("bend", bend, 179.0)})) {
    return *bad;
  }
  const double setback_mm = stair.radius_mm * base::tan(bend / 2.0);
  const double first_mm = stair.before_mm - setback_mm;
  const double last_mm = stair.after_mm - setback_mm;
  if (auto bad = first_of({refuse_if_short("before", stair.before_mm, first_mm, "the bend"),
                           refuse_if_short("after", stair.after_mm, last_mm, "the bend")})) {
    return *bad;
  }
  const Vec3 after(base::cos(stair.pitch_after) * base::cos(stair.plan_turn),
                   base::cos(stair.pitch_after) * base::sin(stair.plan_turn),
                   base::sin(stair.pitch_after));
  Frame start;
  start.ahead = Vec3(base::cos(stair.pitch_before), 0.0, base::sin(stair.pitch_before));
  start.inward = (after - start.ahead * start.ahead.dot(after)).normalized();
  start.normal = start.ahead.cross(start.inward);
  Shape shape = shape_of({{first_mm, Angle(), bend, stair.radius_mm}}, last_mm, start);
  shape.angles = {{"bend", bend}};
  return shape;
}

}  // namespace bight::geometry
