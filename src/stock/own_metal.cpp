#include "stock/own_metal.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "stock/metal_words.h"

namespace bight::stock {

namespace {

// A number under its key. What a file gives in per cent or GPa is said so.
struct OwnNumber {
  const char* key;
  const std::optional<double>& value;
  NumberRange range;
  double shown_ratio = 1.0;
};

std::array<OwnNumber, 8> numbers_of(const OwnMetal& own) {
  constexpr double kPercent = 100.0;
  constexpr double kPerGpa = 1e-3;
  NumberRange percent = kElongationRange;
  percent.unit = " %";
  NumberRange gpa = kYoungsRange;
  gpa.unit = " GPa";
  return {{{"rp02", own.yield_mpa, kYieldRange},
           {"rm", own.tensile_mpa, kTensileRange},
           {"elongation_pct", own.elongation_ratio, percent, kPercent},
           {"youngs", own.youngs_mpa, gpa, kPerGpa},
           {"density_kg_per_m3", own.density_kg_per_m3, kDensityRange},
           {"poisson", own.poisson_ratio, kPoissonRange},
           {"k", own.strength_mpa, kStrengthRange},
           {"n", own.exponent_ratio, kExponentRange}}};
}

void add_range_faults(const OwnMetal& own, std::vector<base::Failure>& faults) {
  for (const OwnNumber& n : numbers_of(own)) {
    if (!n.value) continue;
    const double value = *n.value;
    if (std::isfinite(value) && value >= n.range.least && value <= n.range.most) continue;
    faults.push_back(
        {"material.value", n.key,
         fmt::format("{} of {:.6g}{} cannot be", n.range.name, value * n.shown_ratio, n.range.unit),
         fmt::format("between {:g} and {:g}{}", n.range.least * n.shown_ratio,
                     n.range.most * n.shown_ratio, n.range.unit)});
  }
}

void add_name_faults(const OwnMetal& own, const Metals& catalogue,
                     std::vector<base::Failure>& faults) {
  const std::string name = squeezed(own.name);
  if (name.empty()) {
    faults.push_back({"material.name", "name", "the material has no name",
                      "letters and digits, such as 304L from the north rack"});
  }
  for (const std::string& alias : own.aliases) {
    const std::string other = squeezed(alias);
    const auto is = [&](const Metal& m) { return squeezed(m.material.name) == other; };
    if (other.empty()) {
      faults.push_back({"material.name", "aliases", "another name is empty", "leave it out"});
    } else if (other != name && std::any_of(catalogue.all().begin(), catalogue.all().end(), is)) {
      faults.push_back(
          {"material.name", "aliases", fmt::format("{} is a metal of the catalogue", alias),
           fmt::format("to put your own numbers in its place, name the material {}", alias)});
    }
  }
}

// The metal that it is like: named, or the catalogue's of the same name.
base::Result<std::optional<Metal>> base_metal(const OwnMetal& own, const Metals& catalogue) {
  if (!own.like.empty()) {
    base::Result<MetalAnswer> answer = find_metal(catalogue, own.like);
    if (answer.ok()) return std::optional<Metal>(answer->metal);
    return base::Failure{"material.like", "like", answer.failure().message,
                         answer.failure().remedy};
  }
  const std::string name = squeezed(own.name);
  for (const Metal& metal : catalogue.all()) {
    if (squeezed(metal.material.name) == name) return std::optional<Metal>(metal);
  }
  return std::optional<Metal>();
}

void add_missing(const OwnMetal& own, std::vector<base::Failure>& faults) {
  const std::pair<const char*, const std::optional<double>&> needed[] = {
      {"rp02", own.yield_mpa},
      {"rm", own.tensile_mpa},
      {"youngs", own.youngs_mpa},
      {"density_kg_per_m3", own.density_kg_per_m3}};
  for (const auto& [key, value] : needed) {
    if (value) continue;
    faults.push_back({"material.missing", key, "this number is missing",
                      "give it, or say which metal of the catalogue this one is like"});
  }
}

void add_strength_faults(const OwnMetal& own, const std::optional<Metal>& like,
                         std::vector<base::Failure>& faults) {
  std::optional<double> yield_mpa = own.yield_mpa;
  std::optional<double> tensile_mpa = own.tensile_mpa;
  if (like && !yield_mpa) yield_mpa = like->material.yield_mpa.value;
  if (like && !tensile_mpa) tensile_mpa = like->material.tensile_mpa.value;
  if (yield_mpa && tensile_mpa && *tensile_mpa < *yield_mpa) {
    const bool both = own.yield_mpa && own.tensile_mpa;
    faults.push_back(
        {"material.value", own.tensile_mpa ? "rm" : "rp02",
         fmt::format(
             "the tensile strength, {:.6g} MPa{}, is below the yield strength, {:.6g} MPa{}",
             *tensile_mpa, own.tensile_mpa ? "" : " as in the metal this one is like", *yield_mpa,
             own.yield_mpa ? "" : " as in the metal this one is like"),
         both ? "Rm is the larger of the two" : "give both Rp0.2 and Rm"});
  }
  if (own.strength_mpa && !own.exponent_ratio && !(like && like->material.hollomon)) {
    faults.push_back(
        {"material.value", "n", "K without n says nothing", "give n as well, or leave K out"});
  }
}

Provenance provenance_of(Origin origin) {
  switch (origin) {
    case Origin::kMeasured:
      return Provenance::kMeasuredHere;
    case Origin::kCertificate:
      return Provenance::kMillCertificate;
    case Origin::kSupplier:
      return Provenance::kSupplierSheet;
    case Origin::kGuess:
      break;
  }
  return Provenance::kUnconfirmed;
}

// Never what certified() writes: a part's own certificate must stay tellable.
std::string source_text(const SaidBy& said) {
  return fmt::format("own material{}{}{}", said.origin == Origin::kGuess ? ", own guess" : "",
                     said.source.empty() ? "" : ", ", said.source);
}

Sourced owned_number(double value, const SaidBy& said) {
  return {value, provenance_of(said.origin), source_text(said)};
}

void put_strengths(const OwnMetal& own, Material& m) {
  if (own.yield_mpa) m.yield_mpa = owned_number(*own.yield_mpa, own.strengths);
  if (own.tensile_mpa) m.tensile_mpa = owned_number(*own.tensile_mpa, own.strengths);
  if (own.elongation_ratio) m.elongation_ratio = owned_number(*own.elongation_ratio, own.strengths);
  if (own.youngs_mpa) m.youngs_mpa = owned_number(*own.youngs_mpa, own.stiffness);
  if (own.density_kg_per_m3) m.density_kg_per_m3 = *own.density_kg_per_m3;
  if (own.poisson_ratio) m.poisson_ratio = *own.poisson_ratio;
}

void put_flow(const OwnMetal& own, Material& m) {
  m.hollomon_rejected.reset();
  std::optional<Hollomon> pair = m.hollomon;
  const std::string source = source_text(own.flow);
  const Provenance from = provenance_of(own.flow.origin);
  if (own.strength_mpa && own.exponent_ratio) {
    pair = Hollomon{*own.strength_mpa, *own.exponent_ratio, from, source};
  } else if (own.exponent_ratio) {
    m.hollomon =
        Hollomon{derived_strength_mpa(m.tensile_mpa.value, *own.exponent_ratio),
                 *own.exponent_ratio, Provenance::kDerived, source + ": n; K = Rm (e/n)^n"};
    return;
  } else if (own.strength_mpa && pair) {
    pair = Hollomon{*own.strength_mpa, pair->exponent_ratio, std::max(from, pair->provenance),
                    source + ": K; n: " + pair->source};
  }
  if (!pair) return;
  const CheckedHollomon checked = checked_hollomon(*pair, m.tensile_mpa.value);
  m.hollomon = checked.pair;
  m.hollomon_rejected = checked.rejected;
}

}  // namespace

const std::vector<std::string_view>& origin_words() {
  static const std::vector<std::string_view> kWords = {"measured", "certificate", "supplier",
                                                       "guess"};
  return kWords;
}

std::vector<base::Failure> faults_of(const OwnMetal& own, const Metals& catalogue) {
  std::vector<base::Failure> faults;
  add_name_faults(own, catalogue, faults);
  add_range_faults(own, faults);
  const base::Result<std::optional<Metal>> like = base_metal(own, catalogue);
  if (!like.ok()) {
    faults.push_back(like.failure());
    return faults;
  }
  if (!like->has_value()) add_missing(own, faults);
  add_strength_faults(own, *like, faults);
  return faults;
}

base::Result<Metal> metal_of(const OwnMetal& own, const Metals& catalogue) {
  const std::vector<base::Failure> faults = faults_of(own, catalogue);
  if (!faults.empty()) return faults.front();
  BIGHT_TRY(const std::optional<Metal> like, base_metal(own, catalogue));
  Metal metal;
  if (like) {
    metal = *like;
    metal.usual = false;
    metal.aliases.clear();
    metal.number.clear();
  }
  Material& m = metal.material;
  m.name = own.name;
  metal.own = true;
  metal.grade = own.name;
  metal.aliases = own.aliases;
  if (!own.family.empty()) metal.family = own.family;
  m.family = metal.family;
  if (!own.spec.empty()) m.spec = own.spec;
  if (!own.condition.empty()) m.condition = own.condition;
  put_strengths(own, m);
  put_flow(own, m);
  return metal;
}

}  // namespace bight::stock
