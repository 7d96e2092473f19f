#include "mechanics/flattening_section.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace bight::mechanics {
namespace {

using stock::FlowCurve;

// Elastic, round section, by pencil from Brazier's energy per length: dW/dzeta = -(3/4) pi E r^3 t
// kappa^2 and M = pi E r^3 t kappa.
TEST(FlatteningSectionReference, ElasticForcesOfTheRoundSection) {
  const FlatteningTube tube{51, 1, 0.3};
  FlatteningSection section(tube, *FlowCurve::perfect(205e3, 9000), FlatteningMode::kFree);
  const double kappa = 1e-5;
  const double stiffness = std::numbers::pi * 205e3 * 25 * 25 * 25;
  const FlatteningForces forces = section.forces(kappa, 0.0);
  EXPECT_NEAR(forces.moment_nmm / (stiffness * kappa), 1.0, 1e-6);
  EXPECT_NEAR(forces.by_zeta_nmm / (-0.75 * stiffness * kappa * kappa), 1.0, 1e-6);
}

// Without flattening every station is in plain tension: the moment is the thin tube's closed form
// for a power law, 2 t r^(n+2) B((n+2)/2, 1/2) K kappa^n, but for its small elastic core.
TEST(FlatteningSectionReference, RoundSectionOfAPowerLaw) {
  const FlatteningTube tube{40, 1, 0.3};
  for (const FlatteningMode mode : {FlatteningMode::kFree, FlatteningMode::kCradled}) {
    FlatteningSection section(tube, *FlowCurve::hollomon(205e3, 600, 0.2), mode);
    const double n = 0.2, r = 19.5, kappa = 1.0 / 200;
    const double beta =
        std::exp(std::lgamma((n + 2) / 2) + std::lgamma(0.5) - std::lgamma((n + 3) / 2));
    const double moment = 2 * std::pow(r, n + 2) * beta * 600 * std::pow(kappa, n);
    EXPECT_NEAR(section.forces(kappa, 0.0).moment_nmm / moment, 1.0, 1e-3);
  }
}

// The order of the questions does not matter: what was remembered only saves time.
TEST(FlatteningSection, MemoryChangesNothing) {
  const FlatteningTube tube{38.1, 1.65, 0.3};
  const FlowCurve curve = *FlowCurve::swift(205e3, 600, 0.005, 0.15);
  FlatteningSection used(tube, curve, FlatteningMode::kCradled);
  for (const double kappa : {1e-4, 5e-3, 1e-3}) {
    for (const double zeta : {0.001, 0.2, 0.03, 0.4, 0.0}) {
      FlatteningSection fresh(tube, curve, FlatteningMode::kCradled);
      const FlatteningForces a = used.forces(kappa, zeta);
      const FlatteningForces b = fresh.forces(kappa, zeta);
      EXPECT_NEAR(a.moment_nmm, b.moment_nmm, 1e-6 * std::abs(b.moment_nmm));
      EXPECT_NEAR(a.by_zeta_nmm, b.by_zeta_nmm,
                  1e-6 * (std::abs(b.by_zeta_nmm) + b.moment_nmm * kappa));
    }
  }
}

// dW/dzeta and M are derivatives of one energy: their cross derivatives agree.
TEST(FlatteningSection, ForcesComeFromOneEnergy) {
  const FlatteningTube tube{60.3, 3.91, 0.3};
  const FlowCurve curve = *FlowCurve::swift(205e3, 600, 0.005, 0.15);
  for (const FlatteningMode mode : {FlatteningMode::kFree, FlatteningMode::kCradled}) {
    FlatteningSection section(tube, curve, mode);
    const double kappa = 1.0 / 300, zeta = 0.05, dk = 1e-3 * kappa, dz = 1e-4;
    const double by_kappa = (section.forces(kappa + dk, zeta).by_zeta_nmm -
                             section.forces(kappa - dk, zeta).by_zeta_nmm) /
                            (2 * dk);
    const double by_zeta = (section.forces(kappa, zeta + dz).moment_nmm -
                            section.forces(kappa, zeta - dz).moment_nmm) /
                           (2 * dz);
    EXPECT_NEAR(by_kappa / by_zeta, 1.0, 5e-3);
  }
}

}  // namespace
}  // namespace bight::mechanics
