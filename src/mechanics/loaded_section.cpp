#include "mechanics/loaded_section.h"

#include <algorithm>
#include <span>

namespace bight::mechanics {

namespace {

// Force balance is met to this share of the yield force: the shift is then known to 1e-4 of itself
// at a hundred diameters, and better below.
constexpr double kForceTolerance_ratio = 1e-7;

// Root of a falling function in [low, high] by secant steps held in by bisection.
template <typename F>
double falling_root(double low, double high, double first, double second, double enough, F&& f) {
  double a = first;
  double fa = f(a);
  if (std::abs(fa) <= enough) return a;
  double b = second;
  for (int i = 0; i < 60; ++i) {
    (fa > 0.0 ? low : high) = a;
    if (!(b > low && b < high)) b = 0.5 * (low + high);
    const double fb = f(b);
    if (std::abs(fb) <= enough || high - low < 1e-13 * (std::abs(low) + std::abs(high))) return b;
    const double next = fb == fa ? 0.5 * (low + high) : b - fb * (b - a) / (fb - fa);
    a = b;
    fa = fb;
    b = next;
  }
  return b;
}

}  // namespace

Kinematics Kinematics::make(double radius_mm, double start_mm, double drift_mm2, bool logarithmic) {
  Kinematics k;
  k.radius_mm = radius_mm;
  k.curvature_per_mm = 1.0 / radius_mm;
  k.start_mm = start_mm;
  k.drift_mm2 = drift_mm2;
  k.logarithmic = logarithmic;
  const double start = start_mm * k.curvature_per_mm;
  const double drift = drift_mm2 * k.curvature_per_mm * k.curvature_per_mm;
  k.centre_strain_ratio =
      logarithmic ? -std::log1p(start) - 0.5 * std::log1p(-drift) : -start + 0.5 * drift;
  return k;
}

double fibre_stress_mpa(const FibreLaw& law, const Kinematics& k, double y_mm,
                        double strain_ratio) {
  const double pressed_mm = k.start_mm - y_mm;  // depth below the first neutral layer
  const double drift_mm = k.drift_mm2 * k.curvature_per_mm;
  if (pressed_mm <= 0.0 || pressed_mm >= drift_mm) return law.stress_mpa(strain_ratio);
  // The neutral layer passed here at curvature pressed/c; since then the fibre has been pulled.
  // Isotropic hardening: it yields again at the size of stress it had reached.
  const Kinematics passing =
      Kinematics::make(k.drift_mm2 / pressed_mm, k.start_mm, k.drift_mm2, k.logarithmic);
  const double reached = std::max(0.0, -passing.strain(y_mm));
  const double pulled = std::max(0.0, strain_ratio + reached);
  const double stress = law.stress_mpa(reached);
  const double flow = std::max(stress, law.yield_mpa());
  const double elastic = (stress + flow) / law.modulus_mpa();
  if (pulled <= elastic) return -stress + law.modulus_mpa() * pulled;
  return law.stress_mpa(std::max(reached, law.yield_strain_ratio()) + pulled - elastic);
}

std::array<double, 5> kinks_mm(const FibreLaw& law, const Kinematics& k) {
  const double yield = law.yield_strain_ratio();
  const double neutral = k.neutral_mm();
  std::array<double, 5> cuts{
      k.height_mm(-yield), neutral,
      std::min(k.start_mm, neutral + 2.0 * std::sqrt(std::max(0.0, k.drift_mm2) * yield)),
      k.start_mm, k.height_mm(yield)};
  std::sort(cuts.begin(), cuts.end());
  return cuts;
}

LoadedSums loaded_sums(const Profile& profile, const FibreLaw& law, const Kinematics& k,
                       double thinning_ratio) {
  const std::array<double, 5> cuts = kinks_mm(law, k);
  return integrate<LoadedSums>(profile, cuts, k.neutral_mm(), [&](double y) {
    const double strain = k.strain(y);
    const double force = fibre_stress_mpa(law, k, y, strain) * std::exp(-thinning_ratio * strain);
    return LoadedSums{force, force * y};
  });
}

Kinematics balance(const Profile& profile, const FibreLaw& law, double radius_mm,
                   double axial_force_n, const Refinements& refinements) {
  const bool logarithmic = refinements.logarithmic_strain;
  const double enough = kForceTolerance_ratio * law.yield_mpa() * profile.area_mm2();
  const double half = std::max(profile.top_mm(), -profile.bottom_mm());
  double start = 0.0;
  if (axial_force_n != 0.0 || !profile.symmetric()) {
    const auto straight = [&](double y) {
      return loaded_sums(profile, law, Kinematics::make(radius_mm, y, 0.0, false), 0.0).force_n -
             axial_force_n;
    };
    // Pulled over the whole section at the low end, pressed at the high end.
    const double reach = half + law.yield_strain_ratio() * radius_mm;
    start = falling_root(-reach, reach, 0.0, -0.5 * half * std::copysign(1.0, axial_force_n),
                         enough, straight);
  }
  if (!refinements.neutral_shift) return Kinematics::make(radius_mm, start, 0.0, logarithmic);
  const double thinning = refinements.wall_change ? law.thinning_share_ratio() : 0.0;
  const double guess = 1.9 * profile.second_mm4() / profile.area_mm2();
  // The force grows with c: a deeper neutral layer pulls on more of the section.
  const auto miss = [&](double drift) {
    const Kinematics k = Kinematics::make(radius_mm, start, drift, logarithmic);
    return axial_force_n - loaded_sums(profile, law, k, thinning).force_n;
  };
  // An elastic core alone gives twice the squared radius of gyration; tight bends less.
  const double drift =
      falling_root(-half * half, 2.0 * half * half, guess, 0.85 * guess, enough, miss);
  return Kinematics::make(radius_mm, start, drift, logarithmic);
}

}  // namespace bight::mechanics
