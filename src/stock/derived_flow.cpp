// Flow curves made from what a certificate or a catalogue says.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stock/flow_curve.h"

namespace bight::stock {

namespace {

constexpr double kProofStrain_ratio = 0.002;
// Keeps the first slope of the curve finite; far below the proof strain, so it changes nothing
// that a tensile test could show.
constexpr double kLeastPrestrain_ratio = 1e-4;
// Uniform elongation as a share of elongation at fracture: rule of thumb, 0.4 (cold drawn) to 0.8
// (annealed austenitic, copper). Common practice, no source.
constexpr double kUniformShare_ratio = 2.0 / 3.0;

// Root of a function that rises (or falls) through zero between two bounds.
template <typename F>
double bisect(double low, double high, F&& f) {
  const bool rising = f(low) < 0.0;
  for (int i = 0; i < 80; ++i) {
    const double middle = 0.5 * (low + high);
    ((f(middle) < 0.0) == rising ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

// Swift with exponent n = e0 + pu has its load maximum at plastic strain pu (Considère, with the
// elastic strain neglected); its true stress there is Rm exp(pu).
struct SwiftNumbers {
  double strength_mpa, prestrain_ratio, exponent_ratio;
  double at(double p) const { return strength_mpa * std::pow(prestrain_ratio + p, exponent_ratio); }
};

SwiftNumbers through_maximum(double tensile_mpa, double uniform_ratio, double prestrain_ratio) {
  const double n = prestrain_ratio + uniform_ratio;
  return {tensile_mpa * std::exp(uniform_ratio) / std::pow(n, n), prestrain_ratio, n};
}

Provenance weaker(Provenance a, Provenance b) { return std::max(a, b); }

base::Result<DerivedFlow> finish(double youngs_mpa, const SwiftNumbers& s, std::string text) {
  BIGHT_TRY(FlowCurve curve,
            FlowCurve::swift(youngs_mpa, s.strength_mpa, s.prestrain_ratio, s.exponent_ratio));
  return DerivedFlow{std::move(curve), std::move(text), Provenance::kDerived};
}

}  // namespace

base::Result<DerivedFlow> flow_curve(double youngs_mpa, double proof_mpa, double tensile_mpa,
                                     double elongation_ratio) {
  BIGHT_TRY([[maybe_unused]] FlowCurve checked, FlowCurve::perfect(youngs_mpa, proof_mpa));
  if (!std::isfinite(tensile_mpa) || tensile_mpa <= proof_mpa) {
    return base::Failure{
        "flow.strength", "tensile",
        fmt::format("Rm {:.6g} MPa is not above Rp0.2 {:.6g} MPa", tensile_mpa, proof_mpa),
        "a tensile strength above the proof stress"};
  }
  if (std::isfinite(elongation_ratio) && elongation_ratio > 0.01 && elongation_ratio < 2.0) {
    const double uniform = std::log1p(kUniformShare_ratio * elongation_ratio);
    const auto miss = [&](double prestrain) {
      return through_maximum(tensile_mpa, uniform, prestrain).at(kProofStrain_ratio) - proof_mpa;
    };
    const double highest = 0.98 - uniform;  // keeps n below 1
    if (miss(kLeastPrestrain_ratio) < 0.0 && highest > kLeastPrestrain_ratio &&
        miss(highest) > 0.0) {
      const double prestrain = bisect(kLeastPrestrain_ratio, highest, miss);
      return finish(youngs_mpa, through_maximum(tensile_mpa, uniform, prestrain),
                    fmt::format("Swift through Rp0.2 {:.4g} MPa, load maximum at Rm {:.4g} MPa and "
                                "two thirds of A {:.3g} % (rule of thumb)",
                                proof_mpa, tensile_mpa, 100.0 * elongation_ratio));
    }
  }
  const auto miss = [&](double uniform) {
    return through_maximum(tensile_mpa, uniform, kLeastPrestrain_ratio).at(kProofStrain_ratio) -
           proof_mpa;
  };
  // At no uniform strain the curve passes Rm; at n = 0.9 it starts at a hundredth of it.
  const double uniform = bisect(1e-3, 0.9, miss);
  return finish(youngs_mpa, through_maximum(tensile_mpa, uniform, kLeastPrestrain_ratio),
                fmt::format("power law through Rp0.2 {:.4g} MPa with its load maximum at Rm {:.4g} "
                            "MPa (Considere)",
                            proof_mpa, tensile_mpa));
}

base::Result<DerivedFlow> flow_curve(const Material& material) {
  const double youngs_mpa = material.youngs_mpa.value;
  const double proof_mpa = material.yield_mpa.value;
  if (material.hollomon && proof_mpa > 0.0 && material.hollomon->strength_mpa > proof_mpa &&
      material.hollomon->exponent_ratio > 0.0) {
    const Hollomon& pair = *material.hollomon;
    const double prestrain = std::max(
        kLeastPrestrain_ratio,
        std::pow(proof_mpa / pair.strength_mpa, 1.0 / pair.exponent_ratio) - kProofStrain_ratio);
    if (prestrain < pair.exponent_ratio) {  // else the curve has no uniform strain left
      BIGHT_TRY(DerivedFlow flow,
                finish(youngs_mpa, {pair.strength_mpa, prestrain, pair.exponent_ratio},
                       fmt::format("K {:.4g} MPa, n {:.3g} started so that it passes Rp0.2 "
                                   "{:.4g} MPa",
                                   pair.strength_mpa, pair.exponent_ratio, proof_mpa)));
      flow.provenance = weaker(weaker(pair.provenance, material.yield_mpa.provenance),
                               material.youngs_mpa.provenance);
      return flow;
    }
  }
  BIGHT_TRY(DerivedFlow flow,
            flow_curve(youngs_mpa, proof_mpa, material.tensile_mpa.value,
                       material.elongation_ratio ? material.elongation_ratio->value : 0.0));
  flow.provenance = weaker(weaker(material.yield_mpa.provenance, material.tensile_mpa.provenance),
                           weaker(material.youngs_mpa.provenance, Provenance::kDerived));
  return flow;
}

}  // namespace bight::stock
