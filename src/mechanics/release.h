// What the bend loses when it is let go: first with the section held, then with the section free.
// Derivation: docs/theory/release.md.
#pragma once

#include <array>

#include "mechanics/loaded_section.h"
#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// Hoop shapes the released wall of a round tube may take: w = z_m r cos(m a), m = 2 .. 6.
inline constexpr std::size_t kHoopModes = 5;

// How the section was held while bent.
enum class Hold {
  kHeld,  // die groove and mandrel keep it round: the hoop pressure they carry is let go as well
  kFree,  // nothing holds it: the wall is in hoop equilibrium under load (air bending)
};

// Shares of the bend angle, all for an angle that comes back when positive.
struct Release {
  double moment_nmm = 0.0;     // let go, about the centreline
  double held_ratio = 0.0;     // lost with the section held (Winkler's curved beam)
  double relaxed_ratio = 0.0;  // lost in addition when the section may change its shape
  double total_ratio = 0.0;
  double stiffness_nmm2 = 0.0;     // M / (curvature lost) with the section held
  double flexibility_ratio = 1.0;  // free against held bending flexibility of the bent tube
  double flattening_ratio = 0.0;   // change of (height - width)/diameter on release; + is taller
  // Strain change d(y) = angle + axial/rho + sum of hoop modes, for the residual stress.
  double angle_ratio = 0.0;
  double axial_strain_mm = 0.0;
  std::array<double, kHoopModes> hoop_ratio{};
};

// Elastic release of a loaded section. Only round tube relaxes its section here; for box and bar
// the second stage is zero (flange dishing of box is not modelled).
Release release(const stock::Section& section, const Profile& profile, const FibreLaw& law,
                const Kinematics& kinematics, double thinning_ratio, double poisson_ratio,
                const stock::UnloadingModulus* unloading, Hold hold, bool relaxation);

// Rise of a fibre at angle a from the outside of the bend under hoop mode m of unit size,
// inextensible ring: r (cos(ma) cos(a) + sin(ma) sin(a)/m), divided by r.
double hoop_rise_ratio(int mode, double cosine_ratio, double sine_ratio);

// von Karman's flexibility of a curved thin tube with one hoop mode, (10 + 12 L^2)/(1 + 12 L^2),
// L = t R/r^2 (Zeitschrift des VDI 55, 1911; the form all handbooks print; from memory).
double karman_flexibility_ratio(double pipe_factor_ratio);

}  // namespace bight::mechanics
