#include "mechanics/release.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::mechanics {

namespace {

using std::numbers::pi;

// Unknowns of the release: angle share, axial strain times radius, hoop modes.
constexpr int kUnknowns = 2 + static_cast<int>(kHoopModes);
using Vector = Eigen::Matrix<double, kUnknowns, 1>;
using Matrix = Eigen::Matrix<double, kUnknowns, kUnknowns>;

// Points along half the ring for the smooth integrals; the trapezoidal rule converges faster than
// any power there. 24 leave 1e-8.
constexpr int kRingPoints = 24;

struct RingPoint {
  double cosine, weight;
  std::array<double, kHoopModes> rise;  // hoop_rise_ratio of the modes
  std::array<double, kHoopModes> bend;  // (m^2 - 1) cos(m a): hoop curvature of the modes
};

const std::array<RingPoint, kRingPoints + 1>& ring_points() {
  static const auto points = [] {
    std::array<RingPoint, kRingPoints + 1> all{};
    for (int i = 0; i <= kRingPoints; ++i) {
      const double a = pi * i / kRingPoints;
      RingPoint& p = all[static_cast<std::size_t>(i)];
      p.cosine = std::cos(a);
      // Both halves of the ring: 2 * pi/N, ends counted half.
      p.weight = (i == 0 || i == kRingPoints ? 1.0 : 2.0) * pi / kRingPoints;
      for (std::size_t k = 0; k < kHoopModes; ++k) {
        const int m = static_cast<int>(k) + 2;
        p.rise[k] = hoop_rise_ratio(m, std::cos(a), std::sin(a));
        p.bend[k] = (m * m - 1.0) * std::cos(m * a);
      }
    }
    return all;
  }();
  return points;
}

double unloading_mpa(const FibreLaw& law, const stock::UnloadingModulus* unloading, double strain) {
  if (unloading == nullptr) return law.modulus_mpa();
  return unloading->at(law.modulus_mpa(), law.equivalent_plastic_ratio(strain));
}

// Sums for the first two unknowns, over any section. Virtual work per radian of bend: a fibre at
// radius rho has length rho, strain change  angle + axial/rho.
struct HeldSums {
  double load_angle = 0.0;                             // integral of stress * rho
  double load_axial = 0.0;                             // integral of stress
  double k_angle = 0.0, k_cross = 0.0, k_axial = 0.0;  // E * (rho, 1, 1/rho)
  std::array<double, kHoopModes> load_hoop{};          // integral of stress * rise

  friend HeldSums operator+(HeldSums a, const HeldSums& b) {
    a.load_angle += b.load_angle;
    a.load_axial += b.load_axial;
    a.k_angle += b.k_angle;
    a.k_cross += b.k_cross;
    a.k_axial += b.k_axial;
    for (std::size_t i = 0; i < kHoopModes; ++i) a.load_hoop[i] += b.load_hoop[i];
    return a;
  }
  friend HeldSums operator*(HeldSums a, double w) {
    a.load_angle *= w;
    a.load_axial *= w;
    a.k_angle *= w;
    a.k_cross *= w;
    a.k_axial *= w;
    for (double& load : a.load_hoop) load *= w;
    return a;
  }
};

HeldSums held_sums(const Profile& profile, const FibreLaw& law, const Kinematics& k,
                   double thinning, const stock::UnloadingModulus* unloading, double ring_mm) {
  const std::array<double, 5> cuts = kinks_mm(law, k);
  return integrate<HeldSums>(profile, cuts, k.neutral_mm(), [&](double y) {
    const double strain = k.strain(y);
    const double area = std::exp(-thinning * strain);
    const double force = fibre_stress_mpa(law, k, y, strain) * area;
    const double stiffness = unloading_mpa(law, unloading, strain) * area;
    const double rho = k.radius_mm + y;
    HeldSums s;
    s.load_angle = force * rho;
    s.load_axial = force;
    s.k_angle = stiffness * rho;
    s.k_cross = stiffness;
    s.k_axial = stiffness / rho;
    if (ring_mm > 0.0) {
      // cos(ma), sin(ma) by the addition theorem.
      const double c = std::clamp(y / ring_mm, -1.0, 1.0);
      const double sine = std::sqrt(1.0 - c * c);
      double cm = c;
      double sm = sine;
      for (std::size_t i = 0; i < kHoopModes; ++i) {
        const double next = cm * c - sm * sine;
        sm = sm * c + cm * sine;
        cm = next;
        s.load_hoop[i] = force * ring_mm * (cm * c + sm * sine / (static_cast<double>(i) + 2.0));
      }
    }
    return s;
  });
}

// Adds the coupling of the hoop modes with the axial strains and the ring's own bending energy.
void add_ring_stiffness(Matrix& stiffness, const stock::Section& section, const FibreLaw& law,
                        const Kinematics& k, double thinning, double poisson_ratio,
                        const stock::UnloadingModulus* unloading) {
  const double r = 0.5 * (section.height_mm() - section.wall_mm());
  const double plate = 1.0 / (12.0 * (1.0 - poisson_ratio * poisson_ratio));
  for (const RingPoint& p : ring_points()) {
    const double y = r * p.cosine;
    const double rho = k.radius_mm + y;
    const double strain = k.strain(y);
    const double wall = section.wall_mm() * std::exp(-thinning * strain);
    const double modulus = unloading_mpa(law, unloading, strain);
    const double membrane = modulus * wall * r * p.weight;
    const double bending = modulus * plate * wall * wall * wall / r * p.weight * rho;
    for (int i = 0; i < static_cast<int>(kHoopModes); ++i) {
      const std::size_t mi = static_cast<std::size_t>(i);
      const double rise = r * p.rise[mi];
      stiffness(0, 2 + i) += membrane * rise;
      stiffness(1, 2 + i) += membrane * rise / rho;
      for (int j = 0; j <= i; ++j) {
        const std::size_t mj = static_cast<std::size_t>(j);
        stiffness(2 + j, 2 + i) +=
            membrane * rise * r * p.rise[mj] / rho + bending * p.bend[mi] * p.bend[mj];
      }
    }
  }
}

}  // namespace

double hoop_rise_ratio(int mode, double cosine, double sine) {
  const double a = std::atan2(sine, cosine);
  return std::cos(mode * a) * cosine + std::sin(mode * a) * sine / mode;
}

double karman_flexibility_ratio(double l) { return (10.0 + 12.0 * l * l) / (1.0 + 12.0 * l * l); }

Release release(const stock::Section& section, const Profile& profile, const FibreLaw& law,
                const Kinematics& k, double thinning, double poisson_ratio,
                const stock::UnloadingModulus* unloading, Hold hold, bool relaxation) {
  const bool ring = relaxation && section.kind() == stock::SectionKind::kRoundTube;
  const double r = 0.5 * (section.height_mm() - section.wall_mm());
  const HeldSums s = held_sums(profile, law, k, thinning, unloading, ring ? r : 0.0);

  // Held: the two rows of Winkler's curved beam. An axial force is let go with the moment.
  const double det = s.k_angle * s.k_axial - s.k_cross * s.k_cross;
  const double angle = (-s.load_angle * s.k_axial + s.load_axial * s.k_cross) / det;
  const double axial = (-s.load_axial * s.k_angle + s.load_angle * s.k_cross) / det;
  Release out;
  out.moment_nmm = s.load_angle - k.radius_mm * s.load_axial;
  out.held_ratio = -angle;
  out.total_ratio = -angle;
  out.angle_ratio = angle;
  out.axial_strain_mm = axial;
  // A moment M costs the angle M k_axial/det, the curvature that over R.
  out.stiffness_nmm2 = det / s.k_axial * k.radius_mm;
  if (!ring) return out;

  Matrix stiffness = Matrix::Zero();
  stiffness(0, 0) = s.k_angle;
  stiffness(0, 1) = s.k_cross;
  stiffness(1, 1) = s.k_axial;
  add_ring_stiffness(stiffness, section, law, k, thinning, poisson_ratio, unloading);
  Vector load = Vector::Zero();
  load(0) = -s.load_angle;
  load(1) = -s.load_axial;
  if (hold == Hold::kHeld) {
    for (std::size_t i = 0; i < kHoopModes; ++i) load(2 + static_cast<int>(i)) = -s.load_hoop[i];
  }
  const Eigen::LLT<Matrix, Eigen::Upper> solver(stiffness);
  const Vector moved = solver.solve(load);
  Vector moment = Vector::Zero();  // a pure moment: work only on the angle
  moment(0) = 1.0;
  out.flexibility_ratio = solver.solve(moment)(0) * det / s.k_axial;
  // An elastic bend comes back straight however its section moved on the way there.
  out.total_ratio = std::min(-moved(0), std::max(1.0, out.held_ratio));
  out.relaxed_ratio = out.total_ratio - out.held_ratio;
  out.angle_ratio = moved(0);
  out.axial_strain_mm = moved(1);
  for (std::size_t i = 0; i < kHoopModes; ++i) out.hoop_ratio[i] = moved(2 + static_cast<int>(i));
  // Mode 2 makes the section z r taller on both sides and as much narrower: 4 z r / (2 r).
  out.flattening_ratio = 2.0 * out.hoop_ratio[0];
  return out;
}

}  // namespace bight::mechanics
