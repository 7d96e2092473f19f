#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/dense.h"
#include "geometry/fit_axis.h"

namespace bight::geometry {

namespace {

using Local = Eigen::Matrix<double, 8, 8>;

// The normal equations of one axis over all points.
struct Equations {
  Eigen::MatrixXd a;
  Eigen::VectorXd b;
  double cost_mm2 = 0.0;
};

// Columns that stay: radii when asked for, and on a straight tube the shift along it
// and the turn about it, which no point shows.
std::vector<Eigen::Index> held_columns(const TubeAxis& axis, const AxisFitOptions& options) {
  std::vector<Eigen::Index> held;
  if (axis.rows.empty()) held = {0, 3};
  const std::vector<AxisColumn> columns = columns_of(axis);
  for (std::size_t c = 6; c < columns.size(); ++c) {
    const auto& bends = options.held_bends;
    const bool bend_held = columns[c].number == AxisNumber::kBendRadius &&
                           std::find(bends.begin(), bends.end(), columns[c].bend) != bends.end();
    const bool tube_held = columns[c].number == AxisNumber::kTubeRadius && options.hold_radius;
    if (bend_held || tube_held) held.push_back(static_cast<Eigen::Index>(c));
  }
  return held;
}

void hold(Eigen::MatrixXd& a, Eigen::Index column) {
  a.row(column).setZero();
  a.col(column).setZero();
  a(column, column) = 1.0;
}

class Gatherer {
 public:
  Gatherer(const Points& points_mm, const AxisFitOptions& options)
      : points_mm_(points_mm), options_(options) {}

  // Looks for each point's piece among all, not only around the last one.
  void assign(const TubeAxis& axis) {
    const std::vector<AxisPiece> pieces = pieces_of(axis);
    piece_.resize(points_mm_.size());
    for (std::size_t i = 0; i < points_mm_.size(); ++i) {
      piece_[i] = static_cast<std::uint32_t>(nearest_piece(pieces, points_mm_[i]));
    }
  }

  Equations gather(const TubeAxis& axis, const Loss& loss) {
    const std::vector<AxisPiece> pieces = pieces_of(axis);
    std::vector<Local> squares(pieces.size(), Local::Zero());
    std::vector<LocalRow> sums(pieces.size(), LocalRow::Zero());
    Equations out;
    LocalRow row;
    for (std::size_t i = 0; i < points_mm_.size(); ++i) {
      const std::size_t k = nearest_piece_around(pieces, points_mm_[i], piece_[i]);
      piece_[i] = static_cast<std::uint32_t>(k);
      const double e = local_residual_mm(pieces[k], axis.radius_mm, points_mm_[i], row);
      out.cost_mm2 += loss.cost_mm2(e);
      const double w = loss.weight_ratio(e);
      if (w == 0.0) continue;
      squares[k].noalias() += (w * row) * row.transpose();
      sums[k] += (w * e) * row;
    }
    const auto num = static_cast<Eigen::Index>(columns_of(axis).size());
    out.a = Eigen::MatrixXd::Zero(num, num);
    out.b = Eigen::VectorXd::Zero(num);
    for (std::size_t k = 0; k < pieces.size(); ++k) {
      const Eigen::MatrixXd screws = screws_of(axis, pieces, k);
      add_congruent(out.a, screws, squares[k]);
      out.b += screws * sums[k];
    }
    for (const Eigen::Index c : held_columns(axis, options_)) {
      hold(out.a, c);
      out.b[c] = 0.0;
    }
    return out;
  }

  // Absolute residuals below the limit.
  std::vector<double> small_residuals_mm(const TubeAxis& axis, double limit_mm) const {
    const std::vector<AxisPiece> pieces = pieces_of(axis);
    std::vector<double> out;
    for (std::size_t i = 0; i < points_mm_.size(); ++i) {
      const double square = squared_distance_mm2(pieces[piece_[i]], points_mm_[i]);
      const double e = std::abs(std::sqrt(square) - axis.radius_mm);
      if (e < limit_mm) out.push_back(e);
    }
    return out;
  }

  std::size_t piece(std::size_t point) const { return piece_[point]; }

 private:
  const Points& points_mm_;
  const AxisFitOptions& options_;
  std::vector<std::uint32_t> piece_;
};

Eigen::VectorXd damped_move(const Equations& at, double damping) {
  // Jacobi scaling: millimetres and radians in one matrix.
  const Eigen::VectorXd scale = at.a.diagonal()
                                    .cwiseMax(1e-12 * at.a.diagonal().maxCoeff() + 1e-300)
                                    .cwiseSqrt()
                                    .cwiseInverse();
  Eigen::MatrixXd damped = scaled(at.a, scale);
  damped.diagonal().array() += damping + 1e-13;
  return -scale.cwiseProduct(solve_symmetric(damped, scale.cwiseProduct(at.b)));
}

// Levenberg-Marquardt at one loss limit.
void descend(TubeAxis& axis, Gatherer& gatherer, const Loss& loss, int most_steps, double& cost) {
  Equations now = gatherer.gather(axis, loss);
  double damping = 1e-6;
  for (int i = 0; i < most_steps && damping < 1e6; ++i) {
    const TubeAxis next = moved(axis, damped_move(now, damping));
    Equations then = gatherer.gather(next, loss);
    if (then.cost_mm2 <= now.cost_mm2) {
      const double gained = now.cost_mm2 - then.cost_mm2;
      axis = next;
      now = std::move(then);
      damping = std::max(0.1 * damping, 1e-12);
      if (gained <= 1e-7 * now.cost_mm2) break;
    } else {
      damping = std::max(10.0 * damping, 1e-6);
    }
  }
  cost = now.cost_mm2;
}

double sigma_of(std::vector<double> sizes_mm) {
  if (sizes_mm.empty()) return 0.0;
  const auto middle = sizes_mm.begin() + static_cast<std::ptrdiff_t>(sizes_mm.size() / 2);
  std::nth_element(sizes_mm.begin(), middle, sizes_mm.end());
  return kMadToSigma_ratio * *middle;
}

}  // namespace

AxisFit fit_axis(const TubeAxis& start, const Points& points_mm, const AxisFitOptions& options) {
  AxisFit fit{start, options.first_limit_mm};
  Gatherer gatherer(points_mm, options);
  for (int round = 0; round < options.most_rounds; ++round) {
    gatherer.assign(fit.axis);
    descend(fit.axis, gatherer, Loss{fit.limit_mm}, 12, fit.cost_mm2);
    const std::vector<double> small = gatherer.small_residuals_mm(fit.axis, fit.limit_mm);
    fit.num_used = small.size();
    fit.sigma_mm = sigma_of(small);
    // Not below half at once: a bend that still hangs beside its points must not lose them.
    const double wanted_mm = std::max(kTukeySigmas_ratio * fit.sigma_mm, options.least_limit_mm);
    const double next_mm = std::max(wanted_mm, 0.5 * fit.limit_mm);
    if (round > 1 && std::abs(next_mm - fit.limit_mm) < 0.02 * fit.limit_mm) break;
    if (round + 1 < options.most_rounds) fit.limit_mm = std::min(next_mm, options.first_limit_mm);
  }
  return fit;
}

namespace {

// Which patch of a piece a place lies in: one diameter long, 60° wide.
std::size_t patch_of(const Foot& foot, const AxisPiece& piece, double radius_mm) {
  constexpr double kMostPatches = 5000.0;
  const double diameters = (foot.along_mm - piece.before_mm) / (2.0 * radius_mm);
  const double length = std::min(std::floor(std::abs(diameters)), kMostPatches);
  // Straight tubes run both ways from their frame.
  const std::size_t along = 2 * static_cast<std::size_t>(length) + (diameters < 0.0 ? 1 : 0);
  const double sixths = (foot.girth.rad() / (2.0 * std::numbers::pi) + 0.5) * 6.0;
  return 6 * along + std::min<std::size_t>(5, static_cast<std::size_t>(std::max(0.0, sixths)));
}

// What the points of one piece add up to.
struct PieceSums {
  Local square = Local::Zero();
  std::vector<LocalRow> patches;
  double residual2_mm2 = 0.0;
  std::size_t num = 0;
  std::array<std::size_t, 24> lengths{};  // points in each part of an arc's length
};

// Share of an arc's parts that hold a fifth of their fair share of points.
double seen_ratio(const PieceSums& arc) {
  const std::size_t most = *std::max_element(arc.lengths.begin(), arc.lengths.end());
  if (most == 0) return arc.num > 0 ? 1.0 : 0.0;
  const auto seen = std::count_if(arc.lengths.begin(), arc.lengths.end(),
                                  [&](std::size_t num) { return 5 * num > most; });
  return static_cast<double>(seen) / static_cast<double>(arc.lengths.size());
}

void add_point(PieceSums& sums, AxisEvidence& evidence, const AxisPiece& piece, std::size_t index,
               double radius_mm, const Loss& loss, const Vec3& p_mm) {
  LocalRow row;
  const double e = local_residual_mm(piece, radius_mm, p_mm, row);
  const double w = loss.weight_ratio(e);
  if (w == 0.0) return;
  const Foot foot = foot_on(piece, p_mm);
  sums.square.noalias() += (w * row) * row.transpose();
  const std::size_t patch = patch_of(foot, piece, radius_mm);
  if (patch >= sums.patches.size()) sums.patches.resize(patch + 1, LocalRow::Zero());
  sums.patches[patch] += (w * e) * row;
  if (piece.is_arc()) {
    const double part = (foot.along_mm - piece.before_mm) / (piece.radius_mm * piece.angle.rad());
    const double at = std::clamp(part * static_cast<double>(sums.lengths.size()), 0.0, 23.0);
    ++sums.lengths[static_cast<std::size_t>(at)];
  }
  sums.residual2_mm2 += e * e;
  ++sums.num;
  evidence.worst_mm = std::max(evidence.worst_mm, std::abs(e));
  const double tens = (foot.girth.deg() + 180.0) / 10.0;
  ++evidence.girth[index][std::min<std::size_t>(35, static_cast<std::size_t>(std::max(0.0, tens)))];
}

// Inverse of a symmetric matrix whose rows have different units; a direction without evidence gets
// a very large variance, not an infinite one.
Eigen::MatrixXd inverse_of(const Eigen::MatrixXd& a) {
  const Eigen::VectorXd scale =
      a.diagonal().cwiseMax(1e-14 * a.diagonal().maxCoeff() + 1e-300).cwiseSqrt().cwiseInverse();
  const SymmetricEigen eigen = symmetric_eigen(scaled(a, scale));
  const Eigen::VectorXd values = eigen.values.cwiseMax(1e-13 * eigen.values.maxCoeff());
  Eigen::MatrixXd inner = Eigen::MatrixXd::Zero(a.rows(), a.cols());
  add_congruent(inner, eigen.vectors, Eigen::MatrixXd(values.cwiseInverse().asDiagonal()));
  return scaled(inner, scale);
}

// Straights, angles and radii cannot be below zero, so none is less sure than by its own size; a
// rotation by half a turn. Without this a straight of zero between two bends, which the skin shows
// only to second order, would make everything beside it unknown.
void add_limits(const TubeAxis& axis, double sigma_mm, Eigen::MatrixXd& a) {
  const std::vector<AxisColumn> columns = columns_of(axis);
  for (std::size_t c = 6; c + 1 < columns.size(); ++c) {
    const BendRow& row = axis.rows[columns[c].bend];
    double limit = std::numbers::pi / 2.0;
    if (columns[c].number == AxisNumber::kStraight) {
      limit = std::max(row.straight_mm, 0.2 * axis.radius_mm);
    }
    if (columns[c].number == AxisNumber::kAngle) limit = row.angle.rad();
    if (columns[c].number == AxisNumber::kBendRadius) limit = row.radius_mm;
    const auto i = static_cast<Eigen::Index>(c);
    a(i, i) += sigma_mm * sigma_mm / (limit * limit);
  }
}

Eigen::MatrixXd covariance_of(const TubeAxis& axis, const std::vector<AxisPiece>& pieces,
                              const std::vector<PieceSums>& sums, double sigma_mm,
                              const AxisFitOptions& options) {
  const auto num = static_cast<Eigen::Index>(columns_of(axis).size());
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(num, num);
  Eigen::MatrixXd spread = Eigen::MatrixXd::Zero(num, num);
  std::size_t num_patches = 0;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    Local patches = Local::Zero();
    for (const LocalRow& patch : sums[k].patches) {
      if (patch.isZero(0.0)) continue;
      patches += patch * patch.transpose();
      ++num_patches;
    }
    const Eigen::MatrixXd screws = screws_of(axis, pieces, k);
    add_congruent(a, screws, sums[k].square);
    add_congruent(spread, screws, patches);
  }
  const std::vector<Eigen::Index> held = held_columns(axis, options);
  for (const Eigen::Index c : held) {
    hold(a, c);
    hold(spread, c);
  }
  add_limits(axis, sigma_mm, a);
  const Eigen::MatrixXd inverse = inverse_of(a);
  Eigen::MatrixXd covariance = sigma_mm * sigma_mm * inverse;
  // Few patches spread less than they should, by the numbers fitted to them.
  const double patches = static_cast<double>(num_patches);
  const double few = patches / std::max(1.0, patches - static_cast<double>(num));
  Eigen::MatrixXd both = Eigen::MatrixXd::Zero(num, num);  // the inverse is symmetric
  add_congruent(both, inverse, spread);
  const Eigen::VectorXd common = few * both.diagonal();
  for (Eigen::Index c = 0; c < num; ++c) {
    const double raise =
        covariance(c, c) > 0.0 ? std::sqrt(std::max(1.0, common[c] / covariance(c, c))) : 1.0;
    covariance.row(c) *= raise;
    covariance.col(c) *= raise;
  }
  for (const Eigen::Index c : held) {
    covariance.row(c).setZero();
    covariance.col(c).setZero();
  }
  return covariance;
}

}  // namespace

AxisEvidence refine_on_all(AxisFit& fit, const Points& points_mm, const AxisFitOptions& options) {
  const Loss loss{fit.limit_mm};
  Gatherer gatherer(points_mm, options);
  gatherer.assign(fit.axis);
  descend(fit.axis, gatherer, loss, 2, fit.cost_mm2);
  const std::vector<AxisPiece> pieces = pieces_of(fit.axis);
  AxisEvidence evidence;
  evidence.girth.resize(pieces.size());
  std::vector<PieceSums> sums(pieces.size());
  for (std::size_t i = 0; i < points_mm.size(); ++i) {
    const std::size_t k = gatherer.piece(i);
    add_point(sums[k], evidence, pieces[k], k, fit.axis.radius_mm, loss, points_mm[i]);
  }
  double square_mm2 = 0.0;
  for (const PieceSums& piece : sums) {
    square_mm2 += piece.residual2_mm2;
    evidence.num_used += piece.num;
    evidence.seen_ratio.push_back(seen_ratio(piece));
  }
  fit.num_used = evidence.num_used;
  const double used = static_cast<double>(std::max<std::size_t>(1, evidence.num_used));
  evidence.rms_mm = std::sqrt(square_mm2 / used);
  evidence.covariance =
      covariance_of(fit.axis, pieces, sums, std::max(evidence.rms_mm, fit.sigma_mm), options);
  return evidence;
}

}  // namespace bight::geometry
