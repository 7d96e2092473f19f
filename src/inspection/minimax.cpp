#include <Eigen/Geometry>
#include <Eigen/QR>
#include <algorithm>
#include <cmath>
#include <numeric>

#include "inspection/alignment.h"

namespace bight::inspection {

using geometry::Vec3;

namespace {

constexpr int kRounds = 100;
constexpr int kLawsonSteps = 20;
constexpr int kNewtonSteps = 8;
// Which pairs hold the zone is tried with several thresholds in turn: weights that count, and how
// far inside the zone a pair may still lie.
constexpr double kLight_weight[] = {1e-2, 1e-3, 1e-4, 1e-5, 1e-7};
constexpr double kInside_ratio[] = {0.1, 0.03, 1e-2, 1e-3};
// Distances below this share of the part's size are rounding: nothing is left to lay down better.
constexpr double kRounding_ratio = 1e-14;
// As far off as the worst, for the report.
constexpr double kContact_ratio = 1e-6;

using System = Eigen::MatrixXd;

// One problem on its way to the proof.
class Search {
 public:
  Search(const Points& from_mm, const Points& to_mm) : from_mm_(from_mm), to_mm_(to_mm) {
    weights_.assign(from_mm.size(), 1.0 / static_cast<double>(from_mm.size()));
    for (const Vec3& p : from_mm) size_mm_ = std::max(size_mm_, (p - from_mm.front()).norm());
    for (const Vec3& p : to_mm) size_mm_ = std::max(size_mm_, (p - to_mm.front()).norm());
  }

  base::Result<MinimaxAlignment> solve() {
    BIGHT_TRY(out_.alignment, best_fit(from_mm_, to_mm_));
    out_.weights = weights_;
    take(out_.alignment, weights_);
    for (int round = 0; round < kRounds && !proved(); ++round) {
      for (int i = 0; i < kLawsonSteps; ++i) lawson();
      newton(kLight_weight[round % 5], kInside_ratio[round / 5 % 4]);
    }
    finish();
    return out_;
  }

 private:
  bool proved() const {
    const double worst_mm = out_.alignment.worst_mm;
    return worst_mm - out_.at_least_mm <= kMinimaxGap_ratio * worst_mm ||
           worst_mm <= kRounding_ratio * size_mm_;
  }

  // The better of what is known: the lower bound and the move improve each by itself.
  void take(const Alignment& weighted, const std::vector<double>& weights) {
    if (weighted.rms_mm > out_.at_least_mm) {
      out_.at_least_mm = weighted.rms_mm;
      out_.weights = weights;
    }
    if (weighted.worst_mm < out_.alignment.worst_mm) out_.alignment = weighted;
  }

  // Lawson: weight times distance, so that what is far off counts more the next time.
  void lawson() {
    const base::Result<Alignment> fit = best_fit(from_mm_, to_mm_, weights_);
    if (!fit.ok()) return;
    take(*fit, weights_);
    double sum = 0.0;
    for (std::size_t i = 0; i < weights_.size(); ++i) {
      weights_[i] *= fit->off_mm[i];
      sum += weights_[i];
    }
    if (!(sum > 0.0)) return;
    for (double& weight : weights_) weight /= sum;
    move_ = fit->move;
  }

  // Newton's method on: equal distances of the pairs in contact, and forces (weight times
  // distance) in balance.
  void newton(double light_weight, double inside_ratio) {
    const std::vector<double> before = weights_;
    for (int step = 0; step < kNewtonSteps; ++step) {
      const std::vector<std::size_t> active = active_pairs(light_weight, inside_ratio);
      if (active.size() < 2) break;
      const Eigen::VectorXd change = newton_change(active);
      if (!change.allFinite() || change.head(6).norm() > 0.1 * size_mm_) break;
      apply(change, active);
      const base::Result<Alignment> fit = best_fit(from_mm_, to_mm_, weights_);
      if (!fit.ok()) break;
      take(*fit, weights_);
      if (proved()) return;
    }
    // Where Newton led nowhere, go on from Lawson's weights.
    if (!proved()) weights_ = before;
  }

  std::vector<double> distances() const {
    std::vector<double> off_mm;
    for (std::size_t i = 0; i < from_mm_.size(); ++i) {
      off_mm.push_back((move_(from_mm_[i]) - to_mm_[i]).norm());
    }
    return off_mm;
  }

  std::vector<std::size_t> active_pairs(double light_weight, double inside_ratio) const {
    const std::vector<double> off_mm = distances();
    const double worst_mm = *std::max_element(off_mm.begin(), off_mm.end());
    std::vector<std::size_t> active;
    for (std::size_t i = 0; i < off_mm.size(); ++i) {
      if (weights_[i] > light_weight && off_mm[i] > (1.0 - inside_ratio) * worst_mm) {
        active.push_back(i);
      }
    }
    return active;
  }

  // Unknowns: turn times size and shift (6), weights of the active pairs, half the squared zone.
  Eigen::VectorXd newton_change(const std::vector<std::size_t>& active) const {
    const auto k = static_cast<Eigen::Index>(active.size());
    System a = System::Zero(7 + k, 7 + k);
    Eigen::VectorXd rest = Eigen::VectorXd::Zero(7 + k);
    double zone_mm2 = 0.0;
    double sum = 0.0;
    for (const std::size_t i : active) {
      zone_mm2 += weights_[i] * (move_(from_mm_[i]) - to_mm_[i]).squaredNorm() / 2.0;
      sum += weights_[i];
    }
    zone_mm2 /= sum;
    for (Eigen::Index row = 0; row < k; ++row) {
      const std::size_t i = active[static_cast<std::size_t>(row)];
      const Vec3 y_mm = move_(from_mm_[i]) - move_(from_mm_.front());
      const Vec3 r_mm = move_(from_mm_[i]) - to_mm_[i];
      Eigen::Matrix<double, 6, 1> slope;
      slope << y_mm.cross(r_mm) / size_mm_, r_mm;
      // d(turn)/dw y = w x y, and to second order w x (w x y) / 2.
      Eigen::Matrix<double, 3, 6> reach;
      Eigen::Matrix3d cross;
      cross << 0, y_mm.z(), -y_mm.y(), -y_mm.z(), 0, y_mm.x(), y_mm.y(), -y_mm.x(), 0;
      reach << cross / size_mm_, Eigen::Matrix3d::Identity();
      a.topLeftCorner<6, 6>() += weights_[i] * reach.transpose() * reach;
      const Eigen::Matrix3d curved = 0.5 * (r_mm * y_mm.transpose() + y_mm * r_mm.transpose()) -
                                     r_mm.dot(y_mm) * Eigen::Matrix3d::Identity();
      a.topLeftCorner<3, 3>() += weights_[i] * curved / (size_mm_ * size_mm_);
      a.block<6, 1>(0, 6 + row) = slope;
      a.block<1, 6>(6 + row, 0) = slope.transpose();
      a(6 + row, 6 + k) = -1.0;
      a(6 + k, 6 + row) = 1.0;
      rest.head<6>() -= weights_[i] * slope;
      rest(6 + row) = zone_mm2 - r_mm.squaredNorm() / 2.0;
    }
    rest(6 + k) = 1.0 - sum;
    return a.completeOrthogonalDecomposition().solve(rest);
  }

  void apply(const Eigen::VectorXd& change, const std::vector<std::size_t>& active) {
    const Vec3 turn = change.head<3>() / size_mm_;
    const Vec3 pivot_mm = move_(from_mm_.front());
    const Eigen::Matrix3d roll =
        turn.norm() > 0.0 ? Eigen::AngleAxisd(turn.norm(), turn.normalized()).toRotationMatrix()
                          : Eigen::Matrix3d(Eigen::Matrix3d::Identity());
    move_.turn = roll * move_.turn;
    move_.shift_mm = roll * (move_.shift_mm - pivot_mm) + pivot_mm + change.segment<3>(3);
    std::vector<double> next(weights_.size(), 0.0);
    double sum = 0.0;
    for (std::size_t j = 0; j < active.size(); ++j) {
      next[active[j]] =
          std::max(0.0, weights_[active[j]] + change(6 + static_cast<Eigen::Index>(j)));
      sum += next[active[j]];
    }
    if (!(sum > 0.0)) return;
    for (double& weight : next) weight /= sum;
    weights_ = next;
  }

  void finish() {
    out_.proved = proved();
    // Rounding may lift the bound a hair above what was reached.
    out_.at_least_mm = std::min(out_.at_least_mm, out_.alignment.worst_mm);
    const std::vector<double>& off_mm = out_.alignment.off_mm;
    double square_mm2 = 0.0;
    for (std::size_t i = 0; i < off_mm.size(); ++i) {
      square_mm2 += off_mm[i] * off_mm[i];
      if (off_mm[i] >= (1.0 - kContact_ratio) * out_.alignment.worst_mm) {
        out_.contacts.push_back(i);
      }
    }
    out_.alignment.rms_mm = std::sqrt(square_mm2 / static_cast<double>(off_mm.size()));
  }

  const Points& from_mm_;
  const Points& to_mm_;
  double size_mm_ = 1e-300;
  std::vector<double> weights_;
  RigidMove move_;
  MinimaxAlignment out_;
};

}  // namespace

base::Result<MinimaxAlignment> minimax_fit(const Points& from_mm, const Points& to_mm) {
  return Search(from_mm, to_mm).solve();
}

}  // namespace bight::inspection
