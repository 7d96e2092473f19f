// Forces on the wall of a bent tube whose section has flattened by a given amount: what the
// equilibrium of flattening.h is made of. Equations: docs/theory/ovality.md.
#pragma once

#include <array>
#include <cstddef>

#include "mechanics/fibre_law.h"
#include "stock/flow_curve.h"

namespace bight::mechanics {

// Which part of the section may move, inextensible in the hoop direction, with an amplitude zeta
// (crown moves inward by zeta r). phi runs from the neutral axis, y = r sin(phi).
//   kFree     the whole ring: w = zeta r cos(2 phi), the classical flattening of a free tube
//   kCradled  outer half only, springings held in the groove:
//             w = -(zeta r / 2)(cos 4 phi - cos 2 phi)
enum class FlatteningMode { kFree, kCradled };

// Thin round tube: outside diameter D, wall t, mean radius r = (D - t)/2.
struct FlatteningTube {
  double od_mm = 0.0;
  double wall_mm = 0.0;
  double poisson_ratio = 0.3;

  double mean_radius_mm() const { return (od_mm - wall_mm) / 2; }
};

// Generalised forces of the section per unit length: dW/dzeta (negative: it goes on flattening) and
// dW/dkappa, the moment.
struct FlatteningForces {
  double by_zeta_nmm = 0.0;
  double moment_nmm = 0.0;
};

// Solves every station of the ring for the membrane strain that leaves no hoop force, and remembers
// it: the next call at a nearby state costs a third. The answer depends on what went before by less
// than 1e-6 of itself.
class FlatteningSection {
 public:
  // Points over a quarter of the ring (midpoint rule) and through the wall (Gauss-Legendre).
  // Against 64 x 64 points, for a Swift steel 30 x 3 at 6 D and 10 D: flattening within 0.5 %,
  // moment within 2e-4, collapse curvature within 0.25 %; the kink at yield limits it.
  static constexpr std::size_t kRingPoints = 24;
  static constexpr std::size_t kWallPoints = 6;

  // Sizes positive, Poisson's ratio within 0 to 0.5: the caller's to check.
  FlatteningSection(const FlatteningTube& tube, const stock::FlowCurve& curve, FlatteningMode mode);

  // zeta within 0 to below 1/2, curvature positive.
  FlatteningForces forces(double curvature_per_mm, double zeta_ratio);

  const FlatteningTube& tube() const { return tube_; }
  FlatteningMode mode() const { return mode_; }
  const FibreLaw& law() const { return law_; }

 private:
  struct PlaneStress {
    double axial_mpa = 0.0;
    double hoop_mpa = 0.0;
  };
  // Line loads of one station.
  struct WallForces {
    double axial_n_per_mm = 0.0;
    double hoop_n_per_mm = 0.0;
    double hoop_moment_n = 0.0;
  };
  // Membrane strain last found at a station, and the slope of the hoop force there.
  struct Memory {
    double membrane_ratio = 0.0;
    double slope_n_per_mm = 0.0;  // 0: nothing remembered
  };

  PlaneStress plane_stress(double axial_ratio, double hoop_ratio) const;
  WallForces wall_forces(double axial_ratio, double membrane_ratio, double bending_per_mm) const;
  WallForces relaxed_forces(double axial_ratio, double bending_per_mm, Memory& memory) const;
  WallForces searched_forces(double axial_ratio, double bending_per_mm, double small_n_per_mm,
                             Memory& memory) const;

  FlatteningTube tube_;
  FlatteningMode mode_;
  FibreLaw law_;
  std::array<Memory, kRingPoints> stations_{};
};

}  // namespace bight::mechanics
