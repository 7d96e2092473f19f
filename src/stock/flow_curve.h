// How a metal hardens: true stress against strain, in one type for all laws.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "base/result.h"
#include "stock/material.h"

namespace bight::stock {

// One row of a tabulated curve.
struct FlowPoint {
  double plastic_strain_ratio = 0.0;  // true plastic strain
  double stress_mpa = 0.0;            // true stress
};

// Elastic line of slope E up to the yield stress, then one hardening law. Isotropic, the same in
// tension and compression, without rate or temperature.
//
// Laws (s true stress, e true total strain, p = e - s/E true plastic strain):
//   perfect    s = Sy
//   bilinear   s = Sy + Et (e - Sy/E)
//   Hollomon   s = K e^n from the strain where it meets the elastic line, (K/E)^(1/(1-n))
//   Swift      s = K (e0 + p)^n
//   Voce       s = Ss - (Ss - Sy) exp(-c p)
//   tabulated  straight lines between the points, level after the last
class FlowCurve {
 public:
  // Failure codes of every maker: flow.youngs (E not positive), flow.yield (yield not positive, or
  // above E/20: no metal yields at 5 % elastic strain), flow.hardening (a parameter out of range,
  // named in `where`).
  static base::Result<FlowCurve> perfect(double youngs_mpa, double yield_mpa);
  // Tangent modulus in [0, E).
  static base::Result<FlowCurve> bilinear(double youngs_mpa, double yield_mpa, double tangent_mpa);
  // 0 < n < 1.
  static base::Result<FlowCurve> hollomon(double youngs_mpa, double strength_mpa,
                                          double exponent_ratio);
  // e0 > 0, 0 < n < 1.
  static base::Result<FlowCurve> swift(double youngs_mpa, double strength_mpa,
                                       double prestrain_ratio, double exponent_ratio);
  // Saturation stress at or above the yield stress, c >= 0.
  static base::Result<FlowCurve> voce(double youngs_mpa, double yield_mpa, double saturation_mpa,
                                      double rate_ratio);
  // Plastic strains rising from 0, stresses not falling.
  static base::Result<FlowCurve> tabulated(double youngs_mpa, std::vector<FlowPoint> points);

  double youngs_mpa() const { return youngs_mpa_; }
  // Stress at which plastic strain begins (not Rp0.2).
  double yield_mpa() const { return yield_mpa_; }
  // Flow stress at a true plastic strain >= 0.
  double flow_mpa(double plastic_strain_ratio) const;
  // Its slope there, ds/dp; the right-hand one at a kink.
  double hardening_mpa(double plastic_strain_ratio) const;
  // Both at once, for the cost of one.
  struct Point {
    double stress_mpa, hardening_mpa;
  };
  Point point(double plastic_strain_ratio) const;
  // Stress at a true total strain of either sign; odd. Solved by Newton's method to 1e-12 of E.
  double stress_mpa(double strain_ratio) const;
  // True stress at 0.2 % plastic strain.
  double proof_mpa() const { return flow_mpa(0.002); }
  // Engineering tensile strength the curve implies: the largest s exp(-e) (Considère's condition),
  // searched up to e = 2.
  double implied_tensile_mpa() const;

  bool hardens() const;
  // "perfectly plastic, 350 MPa", "Swift K 1425, e0 0.02, n 0.5".
  std::string text() const;

  // The same law with all stresses multiplied (a stronger or weaker heat), E unchanged.
  FlowCurve scaled(double factor_ratio) const;
  // The same law hardening more or less, the proof stress kept: exponents n multiplied; tangent
  // modulus, Voce's range and the table's rise multiplied. Exponents stay within 0.001 and 0.99.
  FlowCurve hardened(double factor_ratio) const;
  // The same law on another Young's modulus (Hollomon's yield moves with it).
  FlowCurve stiffened(double factor_ratio) const;

  struct Perfect {};
  struct Bilinear {
    double tangent_mpa;
  };
  struct HollomonLaw {
    double strength_mpa, exponent_ratio;
  };
  struct Swift {
    double strength_mpa, prestrain_ratio, exponent_ratio;
  };
  struct Voce {
    double saturation_mpa, rate_ratio;
  };
  struct Table {
    std::vector<FlowPoint> points;
  };
  using Law = std::variant<Perfect, Bilinear, HollomonLaw, Swift, Voce, Table>;
  const Law& law() const { return law_; }

 private:
  FlowCurve(double youngs_mpa, double yield_mpa, Law law)
      : youngs_mpa_(youngs_mpa), yield_mpa_(yield_mpa), law_(std::move(law)) {}

  double youngs_mpa_;
  double yield_mpa_;
  Law law_;
};

// A flow curve and how it was made, in a sentence for the report.
struct DerivedFlow {
  FlowCurve curve;
  std::string construction;
  Provenance provenance;  // the weakest of the numbers used
};

// The flow curve of a metal, from the best numbers at hand:
//   K and n known: Swift with that K and n, e0 chosen so that the curve passes Rp0.2 at 0.2 %
//     plastic strain; e0 = 1e-4 when the pair is already above Rp0.2 there.
//   Rp0.2, Rm and A: Swift through Rp0.2 whose load maximum lies at Rm and at the uniform strain
//     ln(1 + 2A/3) (the share 2/3 is a rule of thumb, 0.4 to 0.8 in practice).
//   Rp0.2 and Rm: Hollomon-like, e0 = 1e-4, n from Rp0.2/Rm by Considère's condition.
// Failure codes: those of FlowCurve; flow.strength when Rm is not above Rp0.2.
base::Result<DerivedFlow> flow_curve(const Material& material);

// The same from the three certificate numbers; elongation_ratio 0 when unknown.
base::Result<DerivedFlow> flow_curve(double youngs_mpa, double proof_mpa, double tensile_mpa,
                                     double elongation_ratio);

// Young's modulus that unloading follows after plastic strain: E0 - (E0 - Ea)(1 - exp(-xi p)).
// The form is recalled (Yoshida), its numbers are the metal's: off unless somebody gives them.
struct UnloadingModulus {
  double saturated_mpa = 0.0;  // Ea
  double rate_ratio = 0.0;     // xi
  Provenance provenance = Provenance::kUnconfirmed;
  std::string source;

  double at(double youngs_mpa, double plastic_strain_ratio) const;
};

}  // namespace bight::stock
