#include "geometry/fit_axis.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace bight::geometry {

using base::Angle;

namespace {

constexpr double kEndless_mm = 1e12;
// A bend tighter than the tube's own radius would run through itself.
constexpr double kTightestBend_ratio = 1.02;
constexpr double kLeastAngle_rad = 1e-5;
constexpr double kMostAngle_rad = 2.0 * std::numbers::pi - 1e-3;

// Angle of a place about an arc's centre, 0 at its start, as cosine and sine times rho.
struct AboutCentre {
  double x_mm;  // towards the arc's start
  double y_mm;  // towards where it runs
  double z_mm;  // out of its plane
  double rho_mm;
};

AboutCentre about_centre(const AxisPiece& arc, const Vec3& p_mm) {
  const Vec3 d = p_mm - arc.centre_mm;
  const double x_mm = -d.dot(arc.inward);
  const double y_mm = d.dot(arc.ahead);
  return {x_mm, y_mm, d.dot(arc.normal), std::sqrt(x_mm * x_mm + y_mm * y_mm)};
}

bool within(const AxisPiece& arc, const AboutCentre& at) {
  // Sine of what is left of the arc's angle, times rho.
  const double left = arc.sine_ratio * at.x_mm - arc.cosine_ratio * at.y_mm;
  return arc.angle.rad() <= std::numbers::pi ? at.y_mm >= 0.0 && left >= 0.0
                                             : at.y_mm >= 0.0 || left >= 0.0;
}

}  // namespace

TubeAxis axis_of(std::vector<BendRow> rows, const Frame& end_a, double radius_mm) {
  TubeAxis axis{end_a, std::move(rows), radius_mm};
  if (!axis.rows.empty()) axis.first_bend = end_a.advanced(axis.rows[0].straight_mm);
  for (BendRow& row : axis.rows) {
    row.straight_mm = std::max(row.straight_mm, 0.0);
    row.radius_mm = std::max(row.radius_mm, 1.1 * radius_mm);
  }
  return axis;
}

std::vector<AxisColumn> columns_of(const TubeAxis& axis) {
  std::vector<AxisColumn> columns(3, {AxisNumber::kShift, 0});
  columns.insert(columns.end(), 3, {AxisNumber::kTurn, 0});
  for (std::size_t i = 0; i < axis.num_bends(); ++i) {
    if (i > 0) {
      columns.push_back({AxisNumber::kStraight, i});
      columns.push_back({AxisNumber::kRotation, i});
    }
    columns.push_back({AxisNumber::kAngle, i});
    columns.push_back({AxisNumber::kBendRadius, i});
  }
  columns.push_back({AxisNumber::kTubeRadius, 0});
  return columns;
}

TubeAxis moved(const TubeAxis& axis, const Eigen::VectorXd& step) {
  TubeAxis next = axis;
  const Frame& f = axis.first_bend;
  const std::array<Vec3, 3> own = {f.ahead, f.inward, f.normal};
  Vec3 turn = Vec3::Zero();
  for (int k = 0; k < 3; ++k) {
    next.first_bend.origin_mm += own[static_cast<std::size_t>(k)] * step[k];
    turn += own[static_cast<std::size_t>(k)] * step[3 + k];
  }
  if (turn.norm() > 0.0) {
    const Angle by = Angle::radians(turn.norm());
    const Vec3 about = turn.normalized();
    next.first_bend.ahead = turned(f.ahead, about, by).normalized();
    const Vec3 inward = turned(f.inward, about, by);
    next.first_bend.normal = next.first_bend.ahead.cross(inward).normalized();
    next.first_bend.inward = next.first_bend.normal.cross(next.first_bend.ahead);
  }
  next.radius_mm = std::max(axis.radius_mm + step[step.size() - 1], 0.1 * axis.radius_mm);
  const std::vector<AxisColumn> columns = columns_of(axis);
  for (std::size_t c = 6; c + 1 < columns.size(); ++c) {
    BendRow& row = next.rows[columns[c].bend];
    const double by = step[static_cast<Eigen::Index>(c)];
    switch (columns[c].number) {
      case AxisNumber::kStraight:
        row.straight_mm = std::max(0.0, row.straight_mm + by);
        break;
      case AxisNumber::kRotation:
        row.rotation = (row.rotation + Angle::radians(by)).wrapped();
        break;
      case AxisNumber::kAngle:
        row.angle =
            Angle::radians(std::clamp(row.angle.rad() + by, kLeastAngle_rad, kMostAngle_rad));
        break;
      case AxisNumber::kBendRadius:
        row.radius_mm = std::max(row.radius_mm + by, kTightestBend_ratio * next.radius_mm);
        break;
      default:
        break;
    }
  }
  return next;
}

std::vector<AxisPiece> pieces_of(const TubeAxis& axis) {
  std::vector<AxisPiece> pieces;
  Frame frame = axis.first_bend;
  double before_mm = 0.0;
  const auto straight = [&](double least_mm, double most_mm) {
    AxisPiece piece;
    piece.start_mm = frame.origin_mm;
    piece.ahead = frame.ahead;
    piece.inward = frame.inward;
    piece.normal = frame.normal;
    piece.least_mm = least_mm;
    piece.most_mm = most_mm;
    piece.before_mm = before_mm;
    pieces.push_back(piece);
  };
  straight(-kEndless_mm, axis.rows.empty() ? kEndless_mm : 0.0);
  for (std::size_t i = 0; i < axis.num_bends(); ++i) {
    const BendRow& row = axis.rows[i];
    if (i > 0) {
      straight(0.0, row.straight_mm);
      frame = frame.advanced(row.straight_mm).rolled(row.rotation);
      before_mm += row.straight_mm;
    }
    AxisPiece arc;
    arc.start_mm = frame.origin_mm;
    arc.ahead = frame.ahead;
    arc.inward = frame.inward;
    arc.normal = frame.normal;
    arc.radius_mm = row.radius_mm;
    arc.centre_mm = frame.origin_mm + frame.inward * row.radius_mm;
    arc.angle = row.angle;
    arc.cosine_ratio = base::cos(row.angle);
    arc.sine_ratio = base::sin(row.angle);
    arc.before_mm = before_mm;
    pieces.push_back(arc);
    frame = frame.swept(row.radius_mm, row.angle);
    before_mm += row.arc_mm();
  }
  if (!axis.rows.empty()) straight(0.0, kEndless_mm);
  return pieces;
}

double squared_distance_mm2(const AxisPiece& piece, const Vec3& p_mm) {
  if (!piece.is_arc()) {
    const Vec3 d = p_mm - piece.start_mm;
    const double along = std::clamp(d.dot(piece.ahead), piece.least_mm, piece.most_mm);
    return (d - piece.ahead * along).squaredNorm();
  }
  const AboutCentre at = about_centre(piece, p_mm);
  if (!within(piece, at)) return std::numeric_limits<double>::infinity();
  const double radial = at.rho_mm - piece.radius_mm;
  return radial * radial + at.z_mm * at.z_mm;
}

namespace {

std::size_t nearest_of(const std::vector<AxisPiece>& pieces, const Vec3& p_mm, std::size_t from,
                       std::size_t to) {
  std::size_t best = from;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t k = from; k < to; ++k) {
    const double square = squared_distance_mm2(pieces[k], p_mm);
    if (square < least) {
      least = square;
      best = k;
    }
  }
  return best;
}

}  // namespace

std::size_t nearest_piece(const std::vector<AxisPiece>& pieces, const Vec3& p_mm) {
  return nearest_of(pieces, p_mm, 0, pieces.size());
}

std::size_t nearest_piece_around(const std::vector<AxisPiece>& pieces, const Vec3& p_mm,
                                 std::size_t guess) {
  return nearest_of(pieces, p_mm, guess < 2 ? 0 : guess - 2, std::min(guess + 3, pieces.size()));
}

Foot foot_on(const AxisPiece& piece, const Vec3& p_mm) {
  Foot foot;
  if (!piece.is_arc()) {
    const Vec3 d = p_mm - piece.start_mm;
    const double along = std::clamp(d.dot(piece.ahead), piece.least_mm, piece.most_mm);
    const Vec3 out = d - piece.ahead * along;
    foot.distance_mm = out.norm();
    foot.out = out / std::max(foot.distance_mm, 1e-300);
    foot.along_mm = piece.before_mm + along;
    foot.girth = Angle::radians(std::atan2(out.dot(piece.normal), out.dot(piece.inward)));
    return foot;
  }
  const AboutCentre at = about_centre(piece, p_mm);
  const double rho = std::max(at.rho_mm, 1e-300);
  const Vec3 spoke = (piece.ahead * at.y_mm - piece.inward * at.x_mm) / rho;
  const double radial = at.rho_mm - piece.radius_mm;
  foot.distance_mm = std::hypot(radial, at.z_mm);
  foot.out = (spoke * radial + piece.normal * at.z_mm) / std::max(foot.distance_mm, 1e-300);
  double turned_rad = std::atan2(at.y_mm, at.x_mm);
  if (turned_rad < 0.0 && piece.angle.rad() > std::numbers::pi) turned_rad += 2 * std::numbers::pi;
  foot.along_mm = piece.before_mm + piece.radius_mm * turned_rad;
  foot.girth = Angle::radians(std::atan2(at.z_mm, -radial));
  return foot;
}

double local_residual_mm(const AxisPiece& piece, double tube_radius_mm, const Vec3& p_mm,
                         LocalRow& row) {
  const Vec3 d = p_mm - piece.start_mm;
  Vec3 out;
  double distance;
  double by_radius = 0.0;
  if (!piece.is_arc()) {
    const double along = std::clamp(d.dot(piece.ahead), piece.least_mm, piece.most_mm);
    out = d - piece.ahead * along;
    distance = std::max(out.norm(), 1e-300);
    out /= distance;
  } else {
    const AboutCentre at = about_centre(piece, p_mm);
    const double rho = std::max(at.rho_mm, 1e-300);
    const Vec3 spoke = (piece.ahead * at.y_mm - piece.inward * at.x_mm) / rho;
    const double radial = at.rho_mm - piece.radius_mm;
    distance = std::max(std::sqrt(radial * radial + at.z_mm * at.z_mm), 1e-300);
    out = (spoke * radial + piece.normal * at.z_mm) / distance;
    // The arc's start stays, its centre goes inward and the spoke grows.
    by_radius = -out.dot(piece.inward + spoke);
  }
  row.head<3>() = -out;
  row.segment<3>(3) = -d.cross(out);
  row[6] = by_radius;
  row[7] = -1.0;
  return distance - tube_radius_mm;
}

Eigen::MatrixXd screws_of(const TubeAxis& axis, const std::vector<AxisPiece>& pieces,
                          std::size_t piece) {
  const std::vector<AxisColumn> columns = columns_of(axis);
  const Vec3& start = pieces[piece].start_mm;
  Eigen::MatrixXd screws = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(columns.size()), 8);
  const Frame& f = axis.first_bend;
  const std::array<Vec3, 3> own = {f.ahead, f.inward, f.normal};
  int num_shifts = 0;
  int num_turns = 0;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    auto row = screws.row(static_cast<Eigen::Index>(c));
    const auto turn = [&](const Vec3& about, const Vec3& through_mm) {
      row.head<3>() = about.cross(start - through_mm);
      row.segment<3>(3) = about;
    };
    const std::size_t bend = columns[c].bend;
    const std::size_t arc = 2 * bend + 1;
    switch (columns[c].number) {
      case AxisNumber::kShift:
        row.head<3>() = own[static_cast<std::size_t>(num_shifts++)];
        break;
      case AxisNumber::kTurn:
        turn(own[static_cast<std::size_t>(num_turns++)], f.origin_mm);
        break;
      case AxisNumber::kStraight:
        if (piece > 2 * bend) row.head<3>() = pieces[2 * bend].ahead;
        break;
      case AxisNumber::kRotation:
        if (piece >= arc) turn(pieces[2 * bend].ahead, pieces[2 * bend].start_mm);
        break;
      case AxisNumber::kAngle:
        if (piece > arc) turn(pieces[arc].normal, pieces[arc].centre_mm);
        break;
      case AxisNumber::kBendRadius:
        if (piece == arc) row[6] = 1.0;
        if (piece > arc) {
          row.head<3>() = pieces[arc].ahead * pieces[arc].sine_ratio +
                          pieces[arc].inward * (1.0 - pieces[arc].cosine_ratio);
        }
        break;
      case AxisNumber::kTubeRadius:
        row[7] = 1.0;
        break;
    }
  }
  return screws;
}

}  // namespace bight::geometry
