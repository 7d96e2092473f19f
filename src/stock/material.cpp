#include "stock/material.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace bight::stock {

namespace {

using std::numbers::e;

base::Status in_range(const std::optional<double>& value, const NumberRange& range) {
  if (!value || (std::isfinite(*value) && *value >= range.least && *value <= range.most)) {
    return base::Done{};
  }
  return base::Failure{"material.certificate", range.name,
                       fmt::format("a {} of {:.6g}{} cannot be", range.name, *value, range.unit),
                       fmt::format("between {:g} and {:g}{}", range.least, range.most, range.unit)};
}

base::Status possible(const Certificate& c) {
  const std::pair<const std::optional<double>&, const NumberRange&> numbers[] = {
      {c.yield_mpa, kYieldRange},
      {c.tensile_mpa, kTensileRange},
      {c.elongation_ratio, kElongationRange},
      {c.youngs_mpa, kYoungsRange},
      {c.strength_mpa, kStrengthRange},
      {c.exponent_ratio, kExponentRange}};
  for (const auto& [value, range] : numbers) {
    base::Status status = in_range(value, range);
    if (!status.ok()) return status;
  }
  return base::Done{};
}

// Rm below Rp0.2 on the certificate itself, or between the certificate and the catalogue.
base::Status ordered(const Material& merged, const Certificate& certificate) {
  if (merged.tensile_mpa.value >= merged.yield_mpa.value) return base::Done{};
  const bool both = certificate.yield_mpa && certificate.tensile_mpa;
  return base::Failure{
      "material.certificate", "tensile strength",
      fmt::format("the tensile strength, {:.6g} MPa ({}), is below the yield strength, {:.6g} MPa "
                  "({})",
                  merged.tensile_mpa.value, words(merged.tensile_mpa.provenance),
                  merged.yield_mpa.value, words(merged.yield_mpa.provenance)),
      both ? "read the certificate again: Rm is the larger of the two"
           : "give both Rp0.2 and Rm from the certificate"};
}

// The pair after the certificate has spoken; none if nobody knows an exponent.
std::optional<CheckedHollomon> merged_hollomon(const Material& catalogue, const Certificate& c,
                                               double tensile_mpa, const std::string& source) {
  if (!c.strength_mpa && !c.exponent_ratio) {
    if (!catalogue.hollomon) return std::nullopt;
    return checked_hollomon(*catalogue.hollomon, tensile_mpa);
  }
  if (c.strength_mpa && c.exponent_ratio) {
    return checked_hollomon(
        {*c.strength_mpa, *c.exponent_ratio, Provenance::kMillCertificate, source}, tensile_mpa);
  }
  if (c.exponent_ratio) {
    return CheckedHollomon{{derived_strength_mpa(tensile_mpa, *c.exponent_ratio), *c.exponent_ratio,
                            Provenance::kDerived, source + ": n; K = Rm (e/n)^n"},
                           std::nullopt};
  }
  if (!catalogue.hollomon) return std::nullopt;
  return checked_hollomon(
      {*c.strength_mpa, catalogue.hollomon->exponent_ratio, catalogue.hollomon->provenance,
       source + ": K; n: " + catalogue.hollomon->source},
      tensile_mpa);
}

}  // namespace

double implied_tensile_mpa(double strength_mpa, double exponent_ratio) {
  return strength_mpa * std::pow(exponent_ratio / e, exponent_ratio);
}

double derived_strength_mpa(double tensile_mpa, double exponent_ratio) {
  return tensile_mpa * std::pow(e / exponent_ratio, exponent_ratio);
}

CheckedHollomon checked_hollomon(const Hollomon& pair, double tensile_mpa) {
  const double implied_mpa = implied_tensile_mpa(pair.strength_mpa, pair.exponent_ratio);
  const double off_ratio = implied_mpa / tensile_mpa - 1.0;
  if (std::abs(off_ratio) <= kHollomonMismatch_ratio) return {pair, std::nullopt};
  CheckedHollomon checked;
  checked.pair = {
      derived_strength_mpa(tensile_mpa, pair.exponent_ratio), pair.exponent_ratio,
      Provenance::kDerived,
      fmt::format("n: {}; K = Rm (e/n)^n with Rm {:.4g} MPa", pair.source, tensile_mpa)};
  checked.rejected = fmt::format(
      "K {:.4g} MPa with n {:.3g} ({}) implies a tensile strength of {:.0f} MPa, {:+.0f} % from "
      "the "
      "known {:.4g} MPa; K {:.0f} MPa is used instead",
      pair.strength_mpa, pair.exponent_ratio, pair.source, implied_mpa, 100.0 * off_ratio,
      tensile_mpa, checked.pair.strength_mpa);
  return checked;
}

base::Result<Material> certified(const Material& material, const Certificate& certificate) {
  BIGHT_TRY([[maybe_unused]] const base::Done numbers, possible(certificate));
  const std::string source = certificate.heat.empty()
                                 ? std::string("mill certificate")
                                 : "mill certificate, heat " + certificate.heat;
  const auto from_certificate = [&](double value) {
    return Sourced{value, Provenance::kMillCertificate, source};
  };
  Material merged = material;
  merged.heat = certificate.heat;
  if (certificate.yield_mpa) merged.yield_mpa = from_certificate(*certificate.yield_mpa);
  if (certificate.tensile_mpa) merged.tensile_mpa = from_certificate(*certificate.tensile_mpa);
  if (certificate.youngs_mpa) merged.youngs_mpa = from_certificate(*certificate.youngs_mpa);
  if (certificate.elongation_ratio) {
    merged.elongation_ratio = from_certificate(*certificate.elongation_ratio);
  }
  BIGHT_TRY([[maybe_unused]] const base::Done order, ordered(merged, certificate));
  const auto checked = merged_hollomon(material, certificate, merged.tensile_mpa.value, source);
  if (checked) {
    merged.hollomon = checked->pair;
    if (checked->rejected) merged.hollomon_rejected = checked->rejected;
  }
  return merged;
}

}  // namespace bight::stock
