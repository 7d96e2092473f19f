#include "learning/springback_states.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

namespace bight::learning {

namespace {

using base::Angle;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using State = SpringbackModel::State;

// Odds beforehand that a reading is misread or slipped, and how far off it is then.
constexpr double kOutlier_odds = 0.02 / 0.98;
constexpr Angle kOutlierSpread = Angle::degrees(4.0);
// A gauge never explains all of the scatter.
constexpr double kGaugeMost_ratio = 0.8;
// States lighter than this do not count.
constexpr double kLightest_weight = 1e-6;
constexpr int kShapePasses = 3;
constexpr int kNoiseSteps = 9;
constexpr double kNoiseStep_sigmas = 0.5625;

// The line that departures of a kind and of heats scale.
struct Shape {
  double constant_rad = 0.0;
  double proportional_ratio = 0.0;
};

// Numbers for names, in order of appearance; the target comes first.
class Numbering {
 public:
  Index of(const std::string& name) {
    return numbers_.emplace(name, static_cast<Index>(numbers_.size())).first->second;
  }
  Index size() const { return static_cast<Index>(numbers_.size()); }

 private:
  std::map<std::string, Index> numbers_;
};

// One combination of what scatters.
struct Cell {
  double log_prior = 0.0;
  double beyond_ratio = 1.0;
  double heat_ratio = 0.0;
  double noise_rad = 0.0;
  double drift_rad = 0.0;
  double gauge_share_ratio = 0.5;
};

std::vector<Cell> grid(const SpringbackBelief& belief, bool with_drift) {
  std::vector<Cell> cells;
  const std::size_t num_drifts = with_drift ? belief.drift.size() : 1;
  for (std::size_t k = 0; k < belief.beyond_ratio.size(); ++k) {
    for (std::size_t h = 0; h < belief.heat_ratio.size(); ++h) {
      for (int s = 0; s < kNoiseSteps; ++s) {
        const double sigmas = (s - (kNoiseSteps - 1) / 2) * kNoiseStep_sigmas;
        const double noise_rad =
            belief.noise_middle.rad() * std::exp(belief.noise_log_sigma * sigmas);
        double share_ratio = belief.gauge_share_ratio;
        if (belief.gauge_sigma) {
          const double part = belief.gauge_sigma->rad() / noise_rad;
          share_ratio = std::min(kGaugeMost_ratio, part * part);
        }
        for (std::size_t d = 0; d < num_drifts; ++d) {
          Cell cell;
          cell.log_prior =
              std::log(belief.beyond_weight[k] * belief.heat_weight[h]) - sigmas * sigmas / 2.0;
          if (with_drift) cell.log_prior += std::log(belief.drift_weight[d]);
          cell.beyond_ratio = belief.beyond_ratio[k];
          cell.heat_ratio = belief.heat_ratio[h];
          cell.noise_rad = noise_rad;
          cell.drift_rad = with_drift ? belief.drift[d].rad() : 0.0;
          cell.gauge_share_ratio = share_ratio;
          cells.push_back(cell);
        }
      }
    }
  }
  return cells;
}

// Readings turned into matrices. Functionals are what is asked for: a and b of the target, the
// drift of its run, then a and b of each kind without its heats.
class Problem {
 public:
  Problem(const SpringbackTarget& target, const std::vector<BendReading>& readings,
          const SpringbackBelief& belief)
      : target_(target), readings_(readings), belief_(belief), n_(std::ssize(readings)) {
    kinds_.of(target.kind);
    heats_.of(target.heat);
    shapes_.push_back({target.first.constant.rad(), target.first.proportional_ratio});
    firsts_.push_back(target.first);
    bool runs = !target.run.empty();
    for (const BendReading& reading : readings) {
      if (kinds_.of(reading.kind) == std::ssize(shapes_)) {
        shapes_.push_back({reading.first.constant.rad(), reading.first.proportional_ratio});
        firsts_.push_back(reading.first);
      }
      heats_.of(reading.heat);
      runs = runs || !reading.run.empty();
    }
    cells_ = grid(belief, runs);
    count_runs();
  }

  Posterior solve() {
    for (int pass = 0; pass < kShapePasses; ++pass) {
      fill();
      weigh();
      if (pass + 1 < kShapePasses) reshape();
    }
    return result();
  }

 private:
  struct Solved {
    double log_evidence = 0.0;
    VectorXd mean;           // of the functionals
    MatrixXd variance;       // of the first three
    VectorXd left_out_rad;   // each reading less what the others say
    VectorXd left_out_rad2;  // variance of that
  };

  Index num_departures() const { return 2 + 2 * kinds_.size() + heats_.size(); }

  void count_runs() {
    std::map<std::string, double> made;
    for (const BendReading& reading : readings_) {
      place_.push_back(reading.run.empty() ? 0.0 : ++made[reading.run]);
    }
    next_place_ = target_.run.empty() ? 0.0 : made[target_.run] + 1.0;
  }

  // Departures in the constant and in the proportional part of one kind; heat -1: none.
  void features(Index kind, Index heat, VectorXd& constant, VectorXd& slope) const {
    const Shape& shape = shapes_[static_cast<std::size_t>(kind)];
    const FirstLine& first = firsts_[static_cast<std::size_t>(kind)];
    constant = VectorXd::Zero(num_departures());
    slope = VectorXd::Zero(num_departures());
    constant(0) = first.constant.rad();
    slope(1) = first.proportional_ratio;
    constant(2 + 2 * kind) = shape.constant_rad;
    slope(2 + 2 * kind) = shape.proportional_ratio;
    constant(3 + 2 * kind) = 1.0;
    if (heat >= 0) {
      constant(2 + 2 * kinds_.size() + heat) = shape.constant_rad;
      slope(2 + 2 * kinds_.size() + heat) = shape.proportional_ratio;
    }
  }

  void fill() {
    phi_ = MatrixXd::Zero(n_, num_departures());
    y_ = VectorXd::Zero(n_);
    VectorXd constant;
    VectorXd slope;
    for (Index i = 0; i < n_; ++i) {
      const BendReading& r = readings_[static_cast<std::size_t>(i)];
      const double x = r.angles.set.rad();
      features(kinds_.of(r.kind), heats_.of(r.heat), constant, slope);
      phi_.row(i) = (constant + x * slope).transpose();
      y_(i) = x - r.angles.finished.rad() - r.first.constant.rad() - x * r.first.proportional_ratio;
    }
    asked_ = MatrixXd::Zero(3 + 2 * kinds_.size(), num_departures());
    features(0, 0, constant, slope);
    asked_.row(0) = constant.transpose();
    asked_.row(1) = slope.transpose();
    for (Index k = 0; k < kinds_.size(); ++k) {
      features(k, -1, constant, slope);
      asked_.row(3 + 2 * k) = constant.transpose();
      asked_.row(4 + 2 * k) = slope.transpose();
    }
    same_bend_ = MatrixXd::Identity(n_, n_);
    same_run_ = MatrixXd::Zero(n_, n_);
    asked_run_ = VectorXd::Zero(n_);
    for (Index i = 0; i < n_; ++i) {
      const BendReading& a = readings_[static_cast<std::size_t>(i)];
      const double place = place_[static_cast<std::size_t>(i)];
      if (!a.run.empty() && a.run == target_.run) asked_run_(i) = place;
      for (Index j = 0; j < n_; ++j) {
        const BendReading& b = readings_[static_cast<std::size_t>(j)];
        if (!a.bend.empty() && a.bend == b.bend) same_bend_(i, j) = 1.0;
        if (!a.run.empty() && a.run == b.run) {
          same_run_(i, j) = std::min(place, place_[static_cast<std::size_t>(j)]);
        }
      }
    }
  }

  VectorXd departures_rad2(const Cell& cell) const {
    const auto square = [](double value) { return value * value; };
    VectorXd d = VectorXd::Zero(num_departures());
    d(0) = square(belief_.shared_constant_ratio * cell.beyond_ratio);
    d(1) = square(belief_.shared_proportional_ratio * cell.beyond_ratio);
    for (Index k = 0; k < kinds_.size(); ++k) {
      d(2 + 2 * k) = square(belief_.kind_ratio * cell.beyond_ratio);
      d(3 + 2 * k) = square(belief_.kind_play.rad() * cell.beyond_ratio);
    }
    d.tail(heats_.size()).setConstant(square(cell.heat_ratio));
    return d;
  }

  Solved solve(const Cell& cell) const {
    const VectorXd d = departures_rad2(cell);
    const double drift_rad2 = cell.drift_rad * cell.drift_rad;
    Solved out;
    // Prior of the functionals; the drift by now belongs to the target's a, and is asked for.
    MatrixXd prior = asked_.topRows(3) * d.asDiagonal() * asked_.topRows(3).transpose();
    const double now_rad2 = drift_rad2 * next_place_;
    prior(0, 0) += now_rad2;
    prior(0, 2) = prior(2, 0) = prior(2, 2) = now_rad2;
    out.mean = VectorXd::Zero(asked_.rows());
    out.variance = prior;
    if (n_ == 0) return out;
    MatrixXd across = asked_ * d.asDiagonal() * phi_.transpose();
    across.row(0) += drift_rad2 * asked_run_.transpose();
    across.row(2) += drift_rad2 * asked_run_.transpose();
    MatrixXd k = phi_ * d.asDiagonal() * phi_.transpose() + drift_rad2 * same_run_;
    const double noise_rad2 = cell.noise_rad * cell.noise_rad;
    k += noise_rad2 * (1.0 - cell.gauge_share_ratio) * same_bend_;
    k.diagonal().array() += noise_rad2 * cell.gauge_share_ratio;
    const Eigen::LLT<MatrixXd> factor(k);
    const MatrixXd inverse = factor.solve(MatrixXd::Identity(n_, n_));
    const VectorXd alpha = inverse * y_;
    out.mean = across * alpha;
    const MatrixXd top = across.topRows(3);
    out.variance -= top * inverse * top.transpose();
    const double log_det = 2.0 * factor.matrixLLT().diagonal().array().log().sum();
    out.log_evidence = -0.5 * (y_.dot(alpha) + log_det);
    out.left_out_rad2 = inverse.diagonal().cwiseInverse();
    out.left_out_rad = alpha.cwiseProduct(out.left_out_rad2);
    return out;
  }

  void weigh() {
    solved_.clear();
    weights_.clear();
    double highest = -1e300;
    for (const Cell& cell : cells_) {
      solved_.push_back(solve(cell));
      weights_.push_back(cell.log_prior + solved_.back().log_evidence);
      highest = std::max(highest, weights_.back());
    }
    double sum = 0.0;
    for (double& weight : weights_) {
      weight = std::exp(weight - highest);
      if (weight < kLightest_weight) weight = 0.0;
      sum += weight;
    }
    for (double& weight : weights_) weight /= sum;
  }

  void reshape() {
    VectorXd mean = VectorXd::Zero(asked_.rows());
    for (std::size_t c = 0; c < cells_.size(); ++c) mean += weights_[c] * solved_[c].mean;
    for (Index k = 0; k < kinds_.size(); ++k) {
      const FirstLine& first = firsts_[static_cast<std::size_t>(k)];
      Shape& shape = shapes_[static_cast<std::size_t>(k)];
      // A line that loses nothing, or turns over, scales nothing sensibly.
      shape.constant_rad = std::max(0.0, first.constant.rad() + mean(3 + 2 * k));
      shape.proportional_ratio =
          std::max(0.1 * first.proportional_ratio, first.proportional_ratio + mean(4 + 2 * k));
    }
  }

  Posterior result() const {
    Posterior out;
    double drift_square_rad2 = 0.0;
    for (std::size_t c = 0; c < cells_.size(); ++c) {
      const double weight = weights_[c];
      if (weight == 0.0) continue;
      const Solved& solved = solved_[c];
      const Cell& cell = cells_[c];
      const double noise_rad2 = cell.noise_rad * cell.noise_rad;
      out.states.push_back(
          {weight, target_.first.constant.rad() + solved.mean(0),
           target_.first.proportional_ratio + solved.mean(1), std::max(0.0, solved.variance(0, 0)),
           solved.variance(0, 1), std::max(0.0, solved.variance(1, 1)),
           noise_rad2 * (1.0 - cell.gauge_share_ratio), noise_rad2 * cell.gauge_share_ratio});
      out.drift_rad += weight * solved.mean(2);
      drift_square_rad2 += weight * (solved.mean(2) * solved.mean(2) + solved.variance(2, 2));
      out.heat_ratio += weight * cell.heat_ratio;
    }
    out.drift_rad2 = std::max(0.0, drift_square_rad2 - out.drift_rad * out.drift_rad);
    if (n_ >= 3) out.worst = worst();
    return out;
  }

  // The reading that most looks like an outlier, by what the others say of it: its density under
  // them, against a normal that is kOutlierSpread wider.
  Misfit worst() const {
    Misfit worst{0, -1e300, Angle()};
    for (Index i = 0; i < n_; ++i) {
      double fits = 0.0;
      double strays = 0.0;
      double off_rad = 0.0;
      for (std::size_t c = 0; c < cells_.size(); ++c) {
        if (weights_[c] == 0.0) continue;
        const double off = solved_[c].left_out_rad(i);
        const double var = solved_[c].left_out_rad2(i);
        const double wide = var + kOutlierSpread.rad() * kOutlierSpread.rad();
        const double density = std::exp(-0.5 * off * off / var) / std::sqrt(var);
        // The cell's weight without this reading.
        const double weight = weights_[c] / std::max(density, 1e-280);
        fits += weights_[c];
        strays += weight * std::exp(-0.5 * off * off / wide) / std::sqrt(wide);
        off_rad += weights_[c] * off;
      }
      const double log_odds = std::log(kOutlier_odds * strays / fits);
      // More springback than expected is a smaller finished angle.
      if (log_odds > worst.log_odds_ratio) {
        worst = {static_cast<std::size_t>(i), log_odds, Angle::radians(-off_rad)};
      }
    }
    return worst;
  }

  const SpringbackTarget& target_;
  const std::vector<BendReading>& readings_;
  const SpringbackBelief& belief_;
  Index n_;
  Numbering kinds_;
  Numbering heats_;
  std::vector<Shape> shapes_;      // by kind
  std::vector<FirstLine> firsts_;  // by kind
  std::vector<double> place_;      // of each reading in its run, from 1; 0 without a run
  double next_place_ = 0.0;
  std::vector<Cell> cells_;
  MatrixXd phi_;
  VectorXd y_;
  MatrixXd asked_;
  MatrixXd same_bend_;
  MatrixXd same_run_;
  VectorXd asked_run_;
  std::vector<Solved> solved_;
  std::vector<double> weights_;
};

}  // namespace

Posterior posterior(const SpringbackTarget& target, const std::vector<BendReading>& readings,
                    const SpringbackBelief& belief) {
  return Problem(target, readings, belief).solve();
}

}  // namespace bight::learning
