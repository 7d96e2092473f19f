// Bending moments and release radii that can be worked out with a pencil: the tests' fixed points
// and the first answer for a hand calculation. Plane sections, strain y/R, no axial force, the
// section keeps its shape, elastic unloading.
//
// Derivations: docs/theory/closed_forms.md. The strip relation 4X^3 - 3X + 1 is the classic
// springback formula of sheet bending; the rest follows from the same assumptions.
#pragma once

#include "base/angle.h"
#include "base/result.h"
#include "stock/section.h"

namespace bight::mechanics {

// Moment of an elastic, perfectly plastic section bent to a radius [N mm]; E I / R while elastic.
// Solid round, round tube, flat bar, box and channel on edge with sharp corners.
// Failure codes: closed.section (rounded corners, angles and a channel's toes have no closed form),
// closed.input (a number not positive or not finite).
base::Result<double> perfect_moment_nmm(const stock::Section& section, double youngs_mpa,
                                        double yield_mpa, double radius_mm);

// The same with a tangent modulus Et: (1 - Et/E) M_perfect + Et I / R, exact for every section.
// Failure codes: as above; closed.input also when Et is not in [0, E).
base::Result<double> bilinear_moment_nmm(const stock::Section& section, double youngs_mpa,
                                         double yield_mpa, double tangent_mpa, double radius_mm);

// Moment of a section whose stress is K |e|^n at every strain (no elastic core), K R^-n J with
// J the integral of |y|^(1+n). Failure codes: as above; closed.input also when n is not in [0, 1].
base::Result<double> hollomon_moment_nmm(const stock::Section& section, double strength_mpa,
                                         double exponent_ratio, double radius_mm);

// Thin tube of mean radius r: 2 t r^2 Sy (phi/sin phi + cos phi), sin phi = Sy R/(E r). Bounds:
// against the thick tube, the springback share is within 0.35 % for t/D <= 0.065, 0.9 % at 0.10.
double thin_tube_perfect_moment_nmm(double mean_radius_mm, double wall_mm, double youngs_mpa,
                                    double yield_mpa, double radius_mm);
// Thin tube, K |e|^n: 2 t r^(n+2) B((n+2)/2, 1/2) K R^-n.
double thin_tube_hollomon_moment_nmm(double mean_radius_mm, double wall_mm, double strength_mpa,
                                     double exponent_ratio, double radius_mm);

// R_loaded / R_released of a strip: 4X^3 - 3X + 1 with X = Sy R/(E h); 0 where it stays elastic
// (X >= 1/2).
double strip_release_ratio(double youngs_mpa, double yield_mpa, double radius_mm,
                           double thickness_mm);
// The same for a thin tube: 1 - (2/pi)(phi + sin phi cos phi).
double thin_tube_release_ratio(double youngs_mpa, double yield_mpa, double radius_mm,
                               double mean_radius_mm);

// Share of the curvature lost on release, q = M R/(E I).
double springback_ratio(const stock::Section& section, double youngs_mpa, double moment_nmm,
                        double radius_mm);
// R/(1 - q); infinite when q >= 1 - 1e-12: it springs back straight.
double released_radius_mm(double radius_mm, double springback_ratio);

// Moment of a thin perfectly plastic tube under an axial force, as a share of the moment without
// it: cos(pi N/(2 Ny)); 0 beyond Ny. Standard interaction of a thin ring.
double axial_force_factor_ratio(double force_ratio);
// The same of a rectangle: 1 - (N/Ny)^2, exact; 0 beyond Ny. Textbook plastic hinge.
double rectangle_axial_factor_ratio(double force_ratio);

// Hoop stress of a bent thin tube as a share of the axial stress (taken as even over the outer
// half), at an angle from the outside of the bend: ln[(2k + cos a)/(2k + 1)], k = R/(2r); negative
// under tension. 0 at the outside. Failure code: closed.input (k outside 1.4 to 30, or an angle not
// within 0 to 90 degrees). Source: Tang, Int. J. Pressure Vessels and Piping 77 (2000) 751-759,
// first page.
base::Result<double> hoop_stress_ratio(double half_d_of_bend_ratio, base::Angle from_outside);

// Radius above which a bend springs back altogether, E c/Sy = h E/(2 Sy).
double elastic_radius_mm(double height_mm, double youngs_mpa, double yield_mpa);
// Radius at which the outer fibre reaches a strain: h/(2 e).
double radius_for_strain_mm(double height_mm, double strain_ratio);

// Elongation of the outer fibre when the centreline keeps its length, h/(2R).
double simple_outer_strain_ratio(double height_mm, double radius_mm);

// Rigid, perfectly plastic thin tube held round, all axial strain taken from the wall:
// stress-neutral fibre at r^2/R inside the centreline, cut length theta sqrt(R^2 - r^2), wall
// sqrt((R -+ r)/(R +- r)). An upper bound of the neutral shift and of the wall change.
struct RigidTube {
  double neutral_shift_mm;
  double stretch_ratio;  // centreline elongation
  double wall_outer_ratio;
  double wall_inner_ratio;
};
RigidTube rigid_tube(double mean_radius_mm, double radius_mm);

// The trade's outer wall: R/(R + D/2) of the straight wall.
double trade_outer_wall_ratio(double od_mm, double radius_mm);

}  // namespace bight::mechanics
