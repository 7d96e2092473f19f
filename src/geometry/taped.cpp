#include "geometry/taped.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/centreline.h"

namespace bight::geometry {

using base::Angle;
using base::Failure;
using base::Result;

namespace {

const Angle kWidestCorner = Angle::degrees(150);
const Angle kLeastBack = Angle::degrees(90);

// A number with its derivative by every reading.
struct Traced {
  double value = 0.0;
  Eigen::VectorXd by;
};

struct Reading {
  std::string name;
  std::string error;
  double error_size = 0.0;  // mm or rad
};

std::string shown(double error_mm) { return fmt::format("± {:.4g} mm", error_mm); }
std::string shown(Angle error) { return fmt::format("± {:.4g}°", error.deg()); }

Failure failure(const char* code, std::string where, std::string message, std::string remedy) {
  return {code, std::move(where), std::move(message), std::move(remedy)};
}

// Turns readings into table numbers, keeping count of every reading on the way.
class Book {
 public:
  explicit Book(const TapedPart& part) : part_(part), num_(count(part)) {}

  Traced take(std::string name, double value, double error_mm) {
    readings_.push_back({std::move(name), shown(error_mm), error_mm});
    return fresh(value);
  }
  Traced take(std::string name, Angle value, Angle error) {
    readings_.push_back({std::move(name), shown(error), error.rad()});
    return fresh(value.rad());
  }
  Traced constant(double value) const {
    return {value, Eigen::VectorXd::Zero(static_cast<Eigen::Index>(num_))};
  }

  const std::vector<Reading>& readings() const { return readings_; }
  const TapedErrors& errors() const { return part_.errors; }

 private:
  // No bend or leg takes more than three readings of one kind.
  static std::size_t count(const TapedPart& part) {
    return part.legs.size() + 5 * part.bends.size() + 2 * part.radii.size();
  }
  Traced fresh(double value) const {
    Traced out = constant(value);
    out.by[static_cast<Eigen::Index>(readings_.size()) - 1] = 1.0;
    return out;
  }

  const TapedPart& part_;
  std::size_t num_;
  std::vector<Reading> readings_;
};

Traced sum(const Traced& a, const Traced& b, double factor) {
  return {a.value + factor * b.value, a.by + factor * b.by};
}

std::string of_bend(const char* what, std::size_t bend, const char* how) {
  return fmt::format("{} of bend {} ({})", what, bend + 1, how);
}

Result<Traced> angle_of(Book& book, const TapedBend& bend, std::size_t i) {
  const std::string where = fmt::format("bend {}", i + 1);
  Traced angle;
  if (const auto* read = std::get_if<ByProtractor>(&bend.angle)) {
    angle = book.take(of_bend("angle", i, "protractor"), read->angle, book.errors().protractor);
  } else if (const auto* levels = std::get_if<ByLevels>(&bend.angle)) {
    const Traced before =
        book.take(of_bend("angle", i, "level before"), levels->before, book.errors().level);
    const Traced after =
        book.take(of_bend("angle", i, "level after"), levels->after, book.errors().level);
    // Which of the two is larger depends on which way up the part is held.
    const double side = after.value >= before.value ? 1.0 : -1.0;
    angle = {side * (after.value - before.value), side * (after.by - before.by)};
  } else {
    const ByTriangle& t = std::get<ByTriangle>(bend.angle);
    const bool triangle = t.a_mm > 0.0 && t.b_mm > 0.0 && t.c_mm > 0.0 &&
                          t.c_mm < t.a_mm + t.b_mm && t.c_mm > std::abs(t.a_mm - t.b_mm);
    if (!triangle) {
      return failure(
          "taped.triangle", where,
          fmt::format("{:.6g}, {:.6g} and {:.6g} mm make no triangle", t.a_mm, t.b_mm, t.c_mm),
          "the tape across is shorter than the two along the legs together");
    }
    const double tape = book.errors().tape_mm;
    const Traced a = book.take(of_bend("angle", i, "tape along the leg before"), t.a_mm, tape);
    const Traced b = book.take(of_bend("angle", i, "tape along the leg after"), t.b_mm, tape);
    const Traced c = book.take(of_bend("angle", i, "tape across"), t.c_mm, tape);
    const double cosine =
        (t.a_mm * t.a_mm + t.b_mm * t.b_mm - t.c_mm * t.c_mm) / (2.0 * t.a_mm * t.b_mm);
    const double sine = std::sqrt(std::max(1e-12, 1.0 - cosine * cosine));
    angle.value = std::numbers::pi - std::acos(cosine);
    // Derivatives of the included angle, negated.
    angle.by = ((1.0 / t.b_mm - cosine / t.a_mm) * a.by + (1.0 / t.a_mm - cosine / t.b_mm) * b.by -
                t.c_mm / (t.a_mm * t.b_mm) * c.by) /
               sine;
  }
  if (!std::isfinite(angle.value) || angle.value < 1e-6 || angle.value >= 2.0 * std::numbers::pi) {
    return failure("taped.angle", where,
                   fmt::format("{:.6g}° is no bend", angle.value * 180.0 / std::numbers::pi),
                   "give the change of direction: 0 is straight, 180 a U");
  }
  return angle;
}

Result<Traced> rotation_of(Book& book, const TapedBend& bend, const Traced& angle, std::size_t i) {
  if (i == 0) return book.constant(0.0);
  if (const auto* turn = std::get_if<ByTurn>(&bend.rotation)) {
    return book.take(of_bend("rotation", i, "as turned"), turn->rotation, book.errors().rotation);
  }
  if (const auto* levels = std::get_if<ByPlaneLevels>(&bend.rotation)) {
    const Angle error = book.errors().level;
    const Traced before =
        book.take(of_bend("rotation", i, "level on the plane before"), levels->before, error);
    const Traced here =
        book.take(of_bend("rotation", i, "level on its plane"), levels->here, error);
    return sum(here, before, -1.0);
  }
  const ByLegLevel& leg = std::get<ByLegLevel>(bend.rotation);
  const Traced climb =
      book.take(of_bend("rotation", i, "level on the leg after"), leg.climb, book.errors().level);
  const double sine = std::sin(climb.value) / std::sin(angle.value);
  if (!(std::abs(sine) < 1.0)) {
    return failure("taped.rotation", fmt::format("bend {}", i + 1),
                   fmt::format("after a bend of {:.4g}° the leg cannot climb {:.4g}°",
                               angle.value * 180.0 / std::numbers::pi, leg.climb.deg()),
                   "hold the straight before the bend and the plane of the bend before level");
  }
  Traced rotation = book.constant(std::asin(sine));
  const double cosine = std::cos(rotation.value);
  rotation.by = std::cos(climb.value) / (std::sin(angle.value) * cosine) * climb.by -
                sine * std::cos(angle.value) / (std::sin(angle.value) * cosine) * angle.by;
  if (leg.past_upright) {
    rotation.value = std::numbers::pi - rotation.value;
    rotation.by = -rotation.by;
  }
  return rotation;
}

Result<Traced> radius_of(Book& book, const TapedPart& part, std::size_t index) {
  const std::string which = part.radii.size() == 1 ? "radius" : fmt::format("radius {}", index + 1);
  if (const auto* known = std::get_if<KnownRadius>(&part.radii[index])) {
    return book.take(which, known->radius_mm, part.errors.radius_mm);
  }
  const ByChord& arc = std::get<ByChord>(part.radii[index]);
  if (!(arc.chord_mm > 0.0) || !(arc.rise_mm > 0.0)) {
    return failure("taped.chord", which,
                   fmt::format("a chord of {:.6g} mm with a rise of {:.6g} mm is no arc",
                               arc.chord_mm, arc.rise_mm),
                   "give both above zero: the longest chord that fits, and the rise at its middle");
  }
  const Traced c = book.take(which + " (chord)", arc.chord_mm, part.errors.tape_mm);
  const Traced h = book.take(which + " (rise)", arc.rise_mm, part.errors.rise_mm);
  Traced radius;
  const double on_face_mm = arc.chord_mm * arc.chord_mm / (8.0 * arc.rise_mm) + 0.5 * arc.rise_mm;
  radius.value = centreline_radius_mm(on_face_mm, arc.face, part.size_mm);
  const double ratio = arc.chord_mm / arc.rise_mm;
  radius.by = 0.25 * ratio * c.by + (0.5 - 0.125 * ratio * ratio) * h.by;
  return radius;
}

// What lies between a tangent point and where the tape stops.
Result<Traced> beyond_tangent(LegEnd end, const Traced& angle, const Traced& radius, double size_mm,
                              const std::string& where) {
  Traced out{0.0, 0.0 * angle.by};
  if (end == LegEnd::kStraight) return out;
  const Angle turn = Angle::radians(angle.value);
  if (end == LegEnd::kBack) {
    if (turn < kLeastBack - Angle::degrees(1e-9)) {
      return failure("taped.reach", where,
                     fmt::format("a bend of {:.4g}° has no back: the leg after it reaches further",
                                 turn.deg()),
                     "measure to the outside corner instead");
    }
    return Traced{radius.value + 0.5 * size_mm, radius.by};
  }
  if (turn > kWidestCorner) {
    return failure("taped.reach", where,
                   fmt::format("the corner of a bend of {:.4g}° is far away or none", turn.deg()),
                   "measure the straight alone, or to the back of the bend");
  }
  const double offset_mm =
      end == LegEnd::kCorner ? 0.0 : (end == LegEnd::kOutside ? 0.5 : -0.5) * size_mm;
  const double tangent = base::tan(turn / 2.0);
  const double secant2 = 1.0 + tangent * tangent;
  out.value = (radius.value + offset_mm) * tangent;
  out.by = tangent * radius.by + 0.5 * (radius.value + offset_mm) * secant2 * angle.by;
  return out;
}

struct Numbers {
  std::vector<Traced> straights;
  std::vector<Traced> rotations;
  std::vector<Traced> angles;
  std::vector<Traced> radii;  // one for each bend
};

base::Status read_bends(Book& book, const TapedPart& part, Numbers& out) {
  std::vector<Traced> radii;
  for (std::size_t i = 0; i < part.radii.size(); ++i) {
    BIGHT_TRY(Traced radius, radius_of(book, part, i));
    radii.push_back(std::move(radius));
  }
  for (std::size_t i = 0; i < part.bends.size(); ++i) {
    const TapedBend& bend = part.bends[i];
    BIGHT_CHECK(bend.radius < radii.size());
    BIGHT_TRY(Traced angle, angle_of(book, bend, i));
    BIGHT_TRY(Traced rotation, rotation_of(book, bend, angle, i));
    out.angles.push_back(std::move(angle));
    out.rotations.push_back(std::move(rotation));
    out.radii.push_back(radii[bend.radius]);
  }
  return base::Done{};
}

base::Status read_legs(Book& book, const TapedPart& part, Numbers& out) {
  const std::size_t num_bends = part.bends.size();
  for (std::size_t i = 0; i < part.legs.size(); ++i) {
    const TapedLeg& leg = part.legs[i];
    const std::string where = fmt::format("leg {}", i + 1);
    if (!std::isfinite(leg.length_mm) || leg.length_mm < 0.0) {
      return failure("taped.length", where,
                     fmt::format("{:.6g} mm is no length of a leg", leg.length_mm),
                     "give it as taped");
    }
    Traced straight =
        book.take(fmt::format("leg {} (tape)", i + 1), leg.length_mm, part.errors.tape_mm);
    double taken_mm = 0.0;
    for (const bool at_start : {true, false}) {
      if ((at_start && i == 0) || (!at_start && i == num_bends)) continue;
      const std::size_t bend = at_start ? i - 1 : i;
      BIGHT_TRY(const Traced beyond, beyond_tangent(at_start ? leg.from : leg.to, out.angles[bend],
                                                    out.radii[bend], part.size_mm, where));
      straight = sum(straight, beyond, -1.0);
      taken_mm += beyond.value;
    }
    if (straight.value < 0.0) {
      return failure("taped.short", where,
                     fmt::format("{:.1f} mm is less than the {:.1f} mm its bends take of it",
                                 leg.length_mm, taken_mm),
                     "measure the leg, the radius and where the tape stopped once more");
    }
    out.straights.push_back(std::move(straight));
  }
  return base::Done{};
}

}  // namespace

Eigen::Matrix3Xd far_end_jacobian(const BendTable& table, const Frame& start) {
  const Centreline line = lay_out(table, start);
  const Vec3 end_mm = line.end_mm();
  const std::size_t n = table.num_bends();
  Eigen::Matrix3Xd by(3, static_cast<Eigen::Index>(4 * n + 1));
  Eigen::Index column = 0;
  for (std::size_t i = 0; i <= n; ++i) by.col(column++) = line.straight(i).start.ahead;
  for (std::size_t i = 0; i < n; ++i) {
    const Segment& bend = line.bend(i);
    const Frame& at = bend.start;
    by.col(column++) = at.ahead.cross(end_mm - at.origin_mm);
    by.col(column++) = at.normal.cross(end_mm - bend.centre_mm());
    const double half_sine = base::sin(bend.angle / 2.0);
    by.col(column++) = at.ahead * base::sin(bend.angle) + at.inward * (2.0 * half_sine * half_sine);
  }
  return by;
}

Result<Taped> bend_table_of(const TapedPart& part) {
  if (part.legs.size() != part.bends.size() + 1) {
    return failure("taped.legs", "legs",
                   fmt::format("{} leg(s) and {} bend(s) do not make a part", part.legs.size(),
                               part.bends.size()),
                   "there is one leg more than bends");
  }
  Book book(part);
  Numbers numbers;
  BIGHT_TRY(const base::Done bends_read, read_bends(book, part, numbers));
  BIGHT_TRY(const base::Done legs_read, read_legs(book, part, numbers));
  static_cast<void>(bends_read);
  static_cast<void>(legs_read);
  std::vector<BendRow> rows;
  for (std::size_t i = 0; i < part.bends.size(); ++i) {
    rows.push_back({numbers.straights[i].value, Angle::radians(numbers.rotations[i].value),
                    Angle::radians(numbers.angles[i].value), numbers.radii[i].value});
  }
  BIGHT_TRY(BendTable table, BendTable::make(std::move(rows), numbers.straights.back().value));
  const Eigen::Matrix3Xd end_by = far_end_jacobian(table);
  Taped out{std::move(table), {}, 0.0, 0.0};
  Eigen::Matrix3Xd moves = Eigen::Matrix3Xd::Zero(3, numbers.straights[0].by.size());
  Eigen::Index column = 0;
  for (const Traced& straight : numbers.straights) {
    moves += end_by.col(column++) * straight.by.transpose();
  }
  for (std::size_t i = 0; i < part.bends.size(); ++i) {
    moves += end_by.col(column++) * numbers.rotations[i].by.transpose();
    moves += end_by.col(column++) * numbers.angles[i].by.transpose();
    moves += end_by.col(column++) * numbers.radii[i].by.transpose();
  }
  double square_mm2 = 0.0;
  for (std::size_t k = 0; k < book.readings().size(); ++k) {
    const Reading& reading = book.readings()[k];
    const Vec3 move_mm = moves.col(static_cast<Eigen::Index>(k)) * reading.error_size;
    out.influences.push_back({reading.name, reading.error, move_mm, move_mm.norm()});
    square_mm2 += move_mm.squaredNorm();
    out.far_end_worst_mm += move_mm.norm();
  }
  out.far_end_usual_mm = std::sqrt(square_mm2);
  std::stable_sort(
      out.influences.begin(), out.influences.end(),
      [](const TapedInfluence& a, const TapedInfluence& b) { return a.far_end_mm > b.far_end_mm; });
  return out;
}

}  // namespace bight::geometry
