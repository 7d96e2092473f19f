#include "inspection/correction_fit.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <Eigen/QR>
#include <algorithm>
#include <cmath>

#include "geometry/centreline.h"
#include "inspection/alignment.h"

namespace bight::inspection {

using base::Angle;
using base::Failure;
using geometry::Vec3;

namespace {

// Steps of the differences: far above rounding, far below anything measured.
constexpr double kStep = 1e-6;
constexpr int kMostSteps = 20;

// One reading of one entry by itself.
struct Direct {
  bool read = false;
  double off = 0.0;
  double sigma = 0.0;
  std::string weak_because;
};

// How much worse a gauge reads on the legs beside a bend.
double short_leg_factor(const geometry::BendTable& wanted, std::size_t bend) {
  const double leg_mm =
      std::max(1.0, std::min(wanted.straight_mm(bend), wanted.straight_mm(bend + 1)));
  return std::max(1.0, kGaugeBase_mm / leg_mm);
}

Direct direct_straight(const CorrectionRequest& request, std::size_t index) {
  const Measured& measured = request.measured;
  const std::size_t n = request.wanted.num_bends();
  const std::optional<double> read_mm = index == n ? measured.last_straight_mm
                                        : index < measured.bends.size()
                                            ? measured.bends[index].straight_mm
                                            : std::nullopt;
  if (!read_mm) return {};
  Direct out{true, *read_mm - request.wanted.straight_mm(index), measured.error.straight_mm / 2.0,
             ""};
  // Between two bends both tangent points are felt for; on a stub neither can be.
  if (index > 0 && index < n && request.wanted.straight_mm(index) < request.od_mm) {
    out.sigma *= 3.0;
    out.weak_because = fmt::format("the straight is shorter than the tube is thick");
  }
  return out;
}

Direct direct_rotation(const CorrectionRequest& request, std::size_t bend) {
  const Measured& measured = request.measured;
  if (bend >= measured.bends.size() || !measured.bends[bend].rotation) return {};
  const std::vector<geometry::BendRow>& rows = request.wanted.rows();
  Direct out{true, (*measured.bends[bend].rotation - rows[bend].rotation).wrapped().rad(),
             measured.error.rotation.rad() / 2.0, ""};
  // A level on a leg that rises by sin(angle) shows that much of the plane's turn.
  const auto shallow = [&](std::size_t i) {
    const double rise = std::max(1e-3, std::abs(base::sin(rows[i].angle)));
    return short_leg_factor(request.wanted, i) / rise;
  };
  const double factor = std::hypot(shallow(bend - 1), shallow(bend)) / std::sqrt(2.0);
  out.sigma *= std::max(1.0, factor);
  const std::size_t weaker = shallow(bend - 1) > shallow(bend) ? bend - 1 : bend;
  out.weak_because = std::abs(base::sin(rows[weaker].angle)) < 0.35
                         ? fmt::format("bend {} turns only {:.3g}°, its plane cannot be read",
                                       weaker + 1, rows[weaker].angle.deg())
                         : fmt::format("a leg of bend {} is too short for the gauge", weaker + 1);
  return out;
}

Direct direct_angle(const CorrectionRequest& request, std::size_t bend) {
  const Measured& measured = request.measured;
  if (bend >= measured.bends.size() || !measured.bends[bend].angle) return {};
  Direct out{true, (*measured.bends[bend].angle - request.wanted.rows()[bend].angle).rad(),
             measured.error.angle.rad() / 2.0 * short_leg_factor(request.wanted, bend), ""};
  out.weak_because = fmt::format("a leg of bend {} is too short for the gauge", bend + 1);
  return out;
}

Direct direct(const CorrectionRequest& request, const EntryOf& entry) {
  switch (entry.entry) {
    case Entry::kStraight:
      return direct_straight(request, entry.index);
    case Entry::kRotation:
      return direct_rotation(request, entry.index);
    case Entry::kAngle:
      return direct_angle(request, entry.index);
  }
  return {};
}

double spread_of(const ProcessSpread& spread, const EntryOf& entry) {
  if (entry.entry == Entry::kStraight) return spread.straight_mm;
  return entry.entry == Entry::kRotation ? spread.rotation.rad() : spread.angle.rad();
}

// Points and readings together: least squares over the entries' errors and where the piece lies.
class PlaceFit {
 public:
  PlaceFit(const CorrectionRequest& request, const std::vector<EntryOf>& all,
           const std::vector<Direct>& readings, std::vector<EntryError>& errors)
      : request_(request), all_(all), readings_(readings), errors_(errors) {}

  // Failure code: inspect.points.
  base::Status solve(CorrectionFit& out) {
    const std::vector<std::optional<Vec3>>& read = request_.measured.points_mm;
    const Points drawn = geometry::corner_points_mm(request_.wanted);
    if (read.size() != drawn.size()) {
      return Failure{"inspect.points", request_.measured.name,
                     fmt::format("{} points are given, the part has {}: end A, {} corners, end B",
                                 read.size(), drawn.size(), drawn.size() - 2),
                     "give one row for each, empty where it was not measured"};
    }
    for (std::size_t i = 0; i < read.size(); ++i) {
      if (!read[i]) continue;
      index_.push_back(i);
      read_mm_.push_back(*read[i]);
    }
    BIGHT_TRY(const Alignment start, best_fit(read_mm_, corners(request_.wanted)));
    out.points_rms_mm = start.rms_mm;
    move_ = start.move;
    offs_ = Eigen::VectorXd::Zero(std::ssize(all_));
    for (int step = 0; step < kMostSteps; ++step) {
      if (improve() < 1e-10) break;
    }
    const Eigen::MatrixXd inverse = normal_.completeOrthogonalDecomposition().pseudoInverse();
    for (std::size_t k = 0; k < all_.size(); ++k) {
      const auto at = static_cast<Eigen::Index>(k);
      errors_[k].read = true;
      errors_[k].off = offs_(at);
      errors_[k].sigma = std::sqrt(std::max(0.0, inverse(at, at)));
    }
    return base::Done{};
  }

 private:
  Points corners(const geometry::BendTable& table) const {
    // Split as the wanted table is, whatever the angle has become.
    const Points all = geometry::corner_points_mm(table, geometry::Frame(), Angle::degrees(150));
    Points out;
    for (const std::size_t i : index_) out.push_back(i < all.size() ? all[i] : all.back());
    return out;
  }

  Points corners(const Eigen::VectorXd& offs) const {
    return corners(shifted(request_.wanted, {offs.data(), offs.data() + offs.size()}));
  }

  // One Gauss-Newton step; returns its size in sigmas.
  double improve() {
    const auto num_entries = static_cast<Eigen::Index>(all_.size());
    const auto num_points = static_cast<Eigen::Index>(index_.size());
    const Eigen::Index unknowns = num_entries + 6;
    Eigen::MatrixXd a = Eigen::MatrixXd::Zero(3 * num_points + 2 * num_entries, unknowns);
    Eigen::VectorXd rest = Eigen::VectorXd::Zero(a.rows());
    const double point_sigma_mm = request_.measured.error.point_mm / 2.0;
    const Points now = corners(offs_);
    for (Eigen::Index i = 0; i < num_points; ++i) {
      const Vec3 laid = move_(read_mm_[static_cast<std::size_t>(i)]);
      rest.segment<3>(3 * i) = (laid - now[static_cast<std::size_t>(i)]) / point_sigma_mm;
      // d(laid)/d(turn, shift); the turn is about the first read point, so that it stays small.
      const Vec3 y = laid - move_(read_mm_.front());
      Eigen::Matrix3d cross;
      cross << 0, y.z(), -y.y(), -y.z(), 0, y.x(), y.y(), -y.x(), 0;
      a.block<3, 3>(3 * i, num_entries) = -cross / point_sigma_mm;
      a.block<3, 3>(3 * i, num_entries + 3) = -Eigen::Matrix3d::Identity() / point_sigma_mm;
    }
    for (Eigen::Index k = 0; k < num_entries; ++k) {
      Eigen::VectorXd more = offs_;
      more(k) += kStep;
      Eigen::VectorXd less = offs_;
      less(k) -= kStep;
      const Points up = corners(more);
      const Points down = corners(less);
      for (Eigen::Index i = 0; i < num_points; ++i) {
        const auto at = static_cast<std::size_t>(i);
        a.block<3, 1>(3 * i, k) = (up[at] - down[at]) / (2.0 * kStep * point_sigma_mm);
      }
      const auto at = static_cast<std::size_t>(k);
      const Eigen::Index prior = 3 * num_points + 2 * k;
      a(prior, k) = 1.0 / errors_[at].spread;
      rest(prior) = -offs_(k) / errors_[at].spread;
      if (!readings_[at].read) continue;
      a(prior + 1, k) = 1.0 / readings_[at].sigma;
      rest(prior + 1) = (readings_[at].off - offs_(k)) / readings_[at].sigma;
    }
    const Eigen::VectorXd step = a.colPivHouseholderQr().solve(rest);
    normal_ = a.transpose() * a;
    offs_ += step.head(num_entries);
    const Vec3 turn = step.segment<3>(num_entries);
    const Vec3 pivot = move_(read_mm_.front());
    if (turn.norm() > 0.0) {
      const Eigen::Matrix3d roll =
          Eigen::AngleAxisd(turn.norm(), turn.normalized()).toRotationMatrix();
      move_.turn = roll * move_.turn;
      move_.shift_mm = roll * (move_.shift_mm - pivot) + pivot;
    }
    move_.shift_mm += step.tail<3>();
    double size = 0.0;
    for (Eigen::Index k = 0; k < num_entries; ++k) {
      size = std::max(size, std::abs(step(k)) / errors_[static_cast<std::size_t>(k)].spread);
    }
    return size;
  }

  const CorrectionRequest& request_;
  const std::vector<EntryOf>& all_;
  const std::vector<Direct>& readings_;
  std::vector<EntryError>& errors_;
  std::vector<std::size_t> index_;
  Points read_mm_;
  RigidMove move_;
  Eigen::VectorXd offs_;
  Eigen::MatrixXd normal_;
};

}  // namespace

base::Result<CorrectionFit> fit_entries(const CorrectionRequest& request) {
  const std::vector<EntryOf> all = entries(request.wanted);
  CorrectionFit out;
  std::vector<Direct> readings;
  for (const EntryOf& entry : all) {
    readings.push_back(direct(request, entry));
    const Direct& reading = readings.back();
    out.errors.push_back({reading.read, reading.off, reading.sigma,
                          spread_of(request.spread, entry), reading.weak_because});
  }
  if (!request.measured.any_point()) return out;
  BIGHT_TRY(const base::Done done, PlaceFit(request, all, readings, out.errors).solve(out));
  static_cast<void>(done);
  return out;
}

double rms_of_corners(const geometry::BendTable& a, const geometry::BendTable& b) {
  const base::Result<Alignment> fit =
      best_fit(geometry::corner_points_mm(a), geometry::corner_points_mm(b));
  return fit.ok() ? fit->rms_mm : 0.0;
}

}  // namespace bight::inspection
