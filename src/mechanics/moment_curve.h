// Moment against curvature of a straight section in pure bending, and back.
#pragma once

#include <vector>

#include "base/result.h"
#include "mechanics/fibre_law.h"
#include "mechanics/profile.h"
#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// Plane sections, strain e = y * curvature from the neutral fibre, no axial force, the section
// keeps its shape: the law of a gently curved beam (three-roll bending, straightening, textbook
// cases). For tight bends use predict_bend(), which follows wall, neutral layer and release.
//
// Every value is odd in its argument. Accuracy: the section integral is split at the yield fibre;
// against adaptive quadrature better than 2e-5 of the moment for the standard sections.
class MomentCurve {
 public:
  // Never fails for a valid section and curve.
  MomentCurve(const stock::Section& section, const stock::FlowCurve& curve);

  // Bending moment at a curvature.
  double moment_nmm(double curvature_per_mm) const;
  // dM/dkappa [N mm2].
  double tangent_nmm2(double curvature_per_mm) const;
  // Curvature at a moment, by Newton's method within a bracket. Failure code: moment.limit when
  // the section cannot carry that moment (perfectly plastic) at any radius above half its height.
  base::Result<double> curvature_per_mm(double moment_nmm) const;

  // E I [N mm2]; unloading follows it.
  double stiffness_nmm2() const { return stiffness_nmm2_; }
  // Where the outermost fibre first yields.
  double yield_curvature_per_mm() const { return yield_curvature_per_mm_; }
  double yield_moment_nmm() const { return stiffness_nmm2_ * yield_curvature_per_mm_; }

  // Curvature left after elastic release from a loaded curvature: kappa - M/(E I).
  double released_per_mm(double loaded_per_mm) const;
  // Loaded curvature that releases to this one. Failure code: moment.limit as above.
  base::Result<double> loaded_per_mm(double released_per_mm) const;

 private:
  // Over the section at a curvature and neutral fibre: stress, stress*y, tangent, tangent*y,
  // tangent*y^2.
  struct Integrals {
    double force_n = 0.0, moment = 0.0, stiffness = 0.0, first = 0.0, second = 0.0;

    friend Integrals operator+(const Integrals& a, const Integrals& b) {
      return {a.force_n + b.force_n, a.moment + b.moment, a.stiffness + b.stiffness,
              a.first + b.first, a.second + b.second};
    }
    friend Integrals operator*(const Integrals& a, double w) {
      return {a.force_n * w, a.moment * w, a.stiffness * w, a.first * w, a.second * w};
    }
  };
  Integrals integrals(double curvature_per_mm, double neutral_mm) const;
  Integrals balanced(double curvature_per_mm) const;  // neutral fibre where the force is zero

  Profile profile_;
  FibreLaw law_;
  double half_height_mm_;
  double stiffness_nmm2_;
  double yield_curvature_per_mm_;
};

}  // namespace bight::mechanics
