#include "stock/flow_curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/positive.h"

namespace bight::stock {

using base::positive;

namespace {

// No metal's elastic limit reaches 5 % strain; a yield above E/20 is a slip of units.
constexpr double kLargestElasticStrain_ratio = 0.05;

template <typename... Fs>
struct Overload : Fs... {
  using Fs::operator()...;
};
template <typename... Fs>
Overload(Fs...) -> Overload<Fs...>;

base::Failure bad(const char* code, const char* where, std::string message, const char* remedy) {
  return {code, where, std::move(message), remedy};
}

base::Status check_elastic(double youngs_mpa, double yield_mpa) {
  if (!positive(youngs_mpa)) {
    return bad("flow.youngs", "youngs", fmt::format("{} MPa is not a Young's modulus", youngs_mpa),
               "a positive modulus, 205000 for steel");
  }
  if (!positive(yield_mpa)) {
    return bad("flow.yield", "yield", fmt::format("{} MPa is not a yield stress", yield_mpa),
               "a positive stress");
  }
  if (yield_mpa > kLargestElasticStrain_ratio * youngs_mpa) {
    return bad("flow.yield", "yield",
               fmt::format("a yield stress of {:.6g} MPa is more than a twentieth of the Young's "
                           "modulus {:.6g} MPa",
                           yield_mpa, youngs_mpa),
               "stress in MPa, modulus in MPa");
  }
  return base::Done{};
}

base::Failure bad_hardening(const char* where, double value, const char* remedy) {
  return bad("flow.hardening", where, fmt::format("{} is out of range", value), remedy);
}

base::Status check_exponent(double exponent_ratio) {
  if (!positive(exponent_ratio) || exponent_ratio >= 1.0) {
    return bad_hardening("exponent", exponent_ratio, "a hardening exponent between 0 and 1");
  }
  return base::Done{};
}

// Total strain on s = K e^n at a plastic strain: root of e - K e^n / E - p, convex in e.
double hollomon_total(const FlowCurve::HollomonLaw& law, double youngs_mpa, double p) {
  const double elastic_limit =
      std::pow(law.strength_mpa / youngs_mpa, 1.0 / (1.0 - law.exponent_ratio));
  double e = p + elastic_limit;
  for (int i = 0; i < 60; ++i) {
    const double s = law.strength_mpa * std::pow(e, law.exponent_ratio);
    const double step =
        (e - s / youngs_mpa - p) / (1.0 - law.exponent_ratio * s / (e * youngs_mpa));
    e -= step;
    if (std::abs(step) <= 1e-15 * e) break;
  }
  return std::max(e, elastic_limit);
}

double table_stress(const FlowCurve::Table& table, double p) {
  const auto& rows = table.points;
  if (p >= rows.back().plastic_strain_ratio) return rows.back().stress_mpa;
  const auto above = std::upper_bound(
      rows.begin(), rows.end(), p,
      [](double value, const FlowPoint& row) { return value < row.plastic_strain_ratio; });
  if (above == rows.begin()) return rows.front().stress_mpa;
  const FlowPoint& b = *above;
  const FlowPoint& a = *(above - 1);
  return a.stress_mpa + (b.stress_mpa - a.stress_mpa) * (p - a.plastic_strain_ratio) /
                            (b.plastic_strain_ratio - a.plastic_strain_ratio);
}

double table_slope(const FlowCurve::Table& table, double p) {
  const auto& rows = table.points;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    if (p < rows[i].plastic_strain_ratio) {
      return (rows[i].stress_mpa - rows[i - 1].stress_mpa) /
             (rows[i].plastic_strain_ratio - rows[i - 1].plastic_strain_ratio);
    }
  }
  return 0.0;
}

}  // namespace

base::Result<FlowCurve> FlowCurve::perfect(double youngs_mpa, double yield_mpa) {
  BIGHT_TRY([[maybe_unused]] auto elastic, check_elastic(youngs_mpa, yield_mpa));
  return FlowCurve(youngs_mpa, yield_mpa, Perfect{});
}

base::Result<FlowCurve> FlowCurve::bilinear(double youngs_mpa, double yield_mpa,
                                            double tangent_mpa) {
  BIGHT_TRY([[maybe_unused]] auto elastic, check_elastic(youngs_mpa, yield_mpa));
  if (!std::isfinite(tangent_mpa) || tangent_mpa < 0.0 || tangent_mpa >= youngs_mpa) {
    return bad_hardening("tangent", tangent_mpa, "a tangent modulus from 0 to below Young's");
  }
  return FlowCurve(youngs_mpa, yield_mpa, Bilinear{tangent_mpa});
}

base::Result<FlowCurve> FlowCurve::hollomon(double youngs_mpa, double strength_mpa,
                                            double exponent_ratio) {
  BIGHT_TRY([[maybe_unused]] auto elastic, check_elastic(youngs_mpa, strength_mpa));
  BIGHT_TRY([[maybe_unused]] auto exponent, check_exponent(exponent_ratio));
  const double elastic_limit = std::pow(strength_mpa / youngs_mpa, 1.0 / (1.0 - exponent_ratio));
  return FlowCurve(youngs_mpa, youngs_mpa * elastic_limit,
                   HollomonLaw{strength_mpa, exponent_ratio});
}

base::Result<FlowCurve> FlowCurve::swift(double youngs_mpa, double strength_mpa,
                                         double prestrain_ratio, double exponent_ratio) {
  BIGHT_TRY([[maybe_unused]] auto exponent, check_exponent(exponent_ratio));
  if (!positive(prestrain_ratio) || prestrain_ratio > 2.0) {
    return bad_hardening("prestrain", prestrain_ratio, "a prestrain above 0 and up to 2");
  }
  const double yield_mpa = strength_mpa * std::pow(prestrain_ratio, exponent_ratio);
  BIGHT_TRY([[maybe_unused]] auto elastic, check_elastic(youngs_mpa, yield_mpa));
  return FlowCurve(youngs_mpa, yield_mpa, Swift{strength_mpa, prestrain_ratio, exponent_ratio});
}

base::Result<FlowCurve> FlowCurve::voce(double youngs_mpa, double yield_mpa, double saturation_mpa,
                                        double rate_ratio) {
  BIGHT_TRY([[maybe_unused]] auto elastic, check_elastic(youngs_mpa, yield_mpa));
  if (!std::isfinite(saturation_mpa) || saturation_mpa < yield_mpa) {
    return bad_hardening("saturation", saturation_mpa, "a stress not below the yield stress");
  }
  if (!std::isfinite(rate_ratio) || rate_ratio < 0.0) {
    return bad_hardening("rate", rate_ratio, "a rate not below 0");
  }
  return FlowCurve(youngs_mpa, yield_mpa, Voce{saturation_mpa, rate_ratio});
}

base::Result<FlowCurve> FlowCurve::tabulated(double youngs_mpa, std::vector<FlowPoint> points) {
  if (points.empty() || points.front().plastic_strain_ratio != 0.0) {
    return bad("flow.hardening", "points", "the table does not begin at plastic strain 0",
               "a first row with plastic strain 0 and the yield stress");
  }
  BIGHT_TRY([[maybe_unused]] auto elastic, check_elastic(youngs_mpa, points.front().stress_mpa));
  for (std::size_t i = 1; i < points.size(); ++i) {
    const FlowPoint& a = points[i - 1];
    const FlowPoint& b = points[i];
    const bool finite = std::isfinite(b.plastic_strain_ratio) && std::isfinite(b.stress_mpa);
    if (!finite || b.plastic_strain_ratio <= a.plastic_strain_ratio ||
        b.stress_mpa < a.stress_mpa) {
      return bad("flow.hardening", "points",
                 fmt::format("row {} does not rise: strain {}, stress {} MPa", i + 1,
                             b.plastic_strain_ratio, b.stress_mpa),
                 "strains that rise and stresses that do not fall");
    }
  }
  const double yield_mpa = points.front().stress_mpa;
  return FlowCurve(youngs_mpa, yield_mpa, Table{std::move(points)});
}

FlowCurve::Point FlowCurve::point(double p) const {
  p = std::max(p, 0.0);
  return std::visit(
      Overload{[&](const Perfect&) {
                 return Point{yield_mpa_, 0.0};
               },
               [&](const Bilinear& law) {
                 const double slope = law.tangent_mpa / (1.0 - law.tangent_mpa / youngs_mpa_);
                 return Point{yield_mpa_ + p * slope, slope};
               },
               [&](const HollomonLaw& law) {
                 // ds/de = n s/e; p = e - s/E, so ds/dp = (ds/de) / (1 - (ds/de)/E).
                 const double e = hollomon_total(law, youngs_mpa_, p);
                 const double s = law.strength_mpa * std::pow(e, law.exponent_ratio);
                 const double slope = law.exponent_ratio * s / e;
                 return Point{s, slope / (1.0 - slope / youngs_mpa_)};
               },
               [&](const Swift& law) {
                 const double base_ratio = law.prestrain_ratio + p;
                 const double s = law.strength_mpa * std::pow(base_ratio, law.exponent_ratio);
                 return Point{s, law.exponent_ratio * s / base_ratio};
               },
               [&](const Voce& law) {
                 const double missing =
                     (law.saturation_mpa - yield_mpa_) * std::exp(-law.rate_ratio * p);
                 return Point{law.saturation_mpa - missing, law.rate_ratio * missing};
               },
               [&](const Table& law) {
                 return Point{table_stress(law, p), table_slope(law, p)};
               }},
      law_);
}

double FlowCurve::flow_mpa(double p) const { return point(p).stress_mpa; }

double FlowCurve::hardening_mpa(double p) const { return point(p).hardening_mpa; }

double FlowCurve::stress_mpa(double strain_ratio) const {
  const double e = std::abs(strain_ratio);
  if (e * youngs_mpa_ <= yield_mpa_) return youngs_mpa_ * strain_ratio;
  double s = yield_mpa_;
  if (const auto* hollomon_law = std::get_if<HollomonLaw>(&law_)) {
    s = hollomon_law->strength_mpa * std::pow(e, hollomon_law->exponent_ratio);
  } else if (const auto* bilinear_law = std::get_if<Bilinear>(&law_)) {
    s = yield_mpa_ + bilinear_law->tangent_mpa * (e - yield_mpa_ / youngs_mpa_);
  } else if (hardens()) {
    // p + s(p)/E = e. The left side is increasing, and concave for concave laws: from a point
    // left of the root Newton's steps never pass it. A kink of a table only slows it down.
    double p = std::max(0.0, e - flow_mpa(e) / youngs_mpa_);
    for (int i = 0; i < 100; ++i) {
      const Point now = point(p);
      const double miss = p + now.stress_mpa / youngs_mpa_ - e;
      const double step = miss / (1.0 + now.hardening_mpa / youngs_mpa_);
      p = std::max(0.0, p - step);
      if (std::abs(step) <= 1e-15) break;
    }
    s = flow_mpa(p);
  }
  return std::copysign(s, strain_ratio);
}

double FlowCurve::implied_tensile_mpa() const {
  const auto engineering = [&](double p) {
    const double s = flow_mpa(p);
    return s * std::exp(-p - s / youngs_mpa_);
  };
  constexpr int kSteps = 400;
  constexpr double kEnd_ratio = 2.0;
  int best = 0;
  for (int i = 1; i <= kSteps; ++i) {
    if (engineering(kEnd_ratio * i / kSteps) > engineering(kEnd_ratio * best / kSteps)) best = i;
  }
  double low = kEnd_ratio * std::max(best - 1, 0) / kSteps;
  double high = kEnd_ratio * (best + 1) / kSteps;
  for (int i = 0; i < 60; ++i) {  // thirds: the interval shrinks by (2/3)^60
    const double a = low + (high - low) / 3.0;
    const double b = high - (high - low) / 3.0;
    (engineering(a) < engineering(b) ? low : high) = engineering(a) < engineering(b) ? a : b;
  }
  return std::max(engineering(0.0), engineering((low + high) / 2.0));
}

bool FlowCurve::hardens() const { return !std::holds_alternative<Perfect>(law_); }

std::string FlowCurve::text() const {
  return std::visit(
      Overload{
          [&](const Perfect&) { return fmt::format("perfectly plastic, {:.6g} MPa", yield_mpa_); },
          [&](const Bilinear& law) {
            return fmt::format("bilinear, yield {:.6g} MPa, tangent {:.6g} MPa", yield_mpa_,
                               law.tangent_mpa);
          },
          [](const HollomonLaw& law) {
            return fmt::format("Hollomon K {:.6g} MPa, n {:.4g}", law.strength_mpa,
                               law.exponent_ratio);
          },
          [](const Swift& law) {
            return fmt::format("Swift K {:.6g} MPa, e0 {:.4g}, n {:.4g}", law.strength_mpa,
                               law.prestrain_ratio, law.exponent_ratio);
          },
          [&](const Voce& law) {
            return fmt::format("Voce {:.6g} to {:.6g} MPa, rate {:.4g}", yield_mpa_,
                               law.saturation_mpa, law.rate_ratio);
          },
          [](const Table& law) { return fmt::format("tabulated, {} points", law.points.size()); }},
      law_);
}

FlowCurve FlowCurve::scaled(double factor_ratio) const {
  Law law = law_;
  double yield_mpa = yield_mpa_ * factor_ratio;
  std::visit(Overload{[](Perfect&) {}, [&](Bilinear& l) { l.tangent_mpa *= factor_ratio; },
                      [&](HollomonLaw& l) {
                        l.strength_mpa *= factor_ratio;
                        yield_mpa = youngs_mpa_ * std::pow(l.strength_mpa / youngs_mpa_,
                                                           1.0 / (1.0 - l.exponent_ratio));
                      },
                      [&](Swift& l) { l.strength_mpa *= factor_ratio; },
                      [&](Voce& l) { l.saturation_mpa *= factor_ratio; },
                      [&](Table& l) {
                        for (FlowPoint& row : l.points) row.stress_mpa *= factor_ratio;
                      }},
             law);
  return FlowCurve(youngs_mpa_, yield_mpa, std::move(law));
}

FlowCurve FlowCurve::hardened(double factor_ratio) const {
  const auto exponent = [&](double n) { return std::clamp(n * factor_ratio, 0.001, 0.99); };
  Law law = law_;
  double yield_mpa = yield_mpa_;
  std::visit(
      Overload{[](Perfect&) {},
               [&](Bilinear& l) {
                 l.tangent_mpa = std::min(l.tangent_mpa * factor_ratio, 0.99 * youngs_mpa_);
               },
               [&](HollomonLaw& l) {
                 const double proof_strain = 0.002 + proof_mpa() / youngs_mpa_;
                 const double n = exponent(l.exponent_ratio);
                 l.strength_mpa *= std::pow(proof_strain, l.exponent_ratio - n);
                 l.exponent_ratio = n;
                 yield_mpa = youngs_mpa_ * std::pow(l.strength_mpa / youngs_mpa_, 1.0 / (1.0 - n));
               },
               [&](Swift& l) {
                 const double n = exponent(l.exponent_ratio);
                 l.strength_mpa *= std::pow(l.prestrain_ratio + 0.002, l.exponent_ratio - n);
                 l.exponent_ratio = n;
                 yield_mpa = l.strength_mpa * std::pow(l.prestrain_ratio, n);
               },
               [&](Voce& l) {
                 l.saturation_mpa = yield_mpa_ + (l.saturation_mpa - yield_mpa_) * factor_ratio;
               },
               [&](Table& l) {
                 for (FlowPoint& row : l.points) {
                   row.stress_mpa = yield_mpa_ + (row.stress_mpa - yield_mpa_) * factor_ratio;
                 }
               }},
      law);
  return FlowCurve(youngs_mpa_, yield_mpa, std::move(law));
}

FlowCurve FlowCurve::stiffened(double factor_ratio) const {
  const double youngs_mpa = youngs_mpa_ * factor_ratio;
  double yield_mpa = yield_mpa_;
  if (const auto* l = std::get_if<HollomonLaw>(&law_)) {
    yield_mpa =
        youngs_mpa * std::pow(l->strength_mpa / youngs_mpa, 1.0 / (1.0 - l->exponent_ratio));
  }
  return FlowCurve(youngs_mpa, yield_mpa, law_);
}

double UnloadingModulus::at(double youngs_mpa, double plastic_strain_ratio) const {
  return youngs_mpa -
         (youngs_mpa - saturated_mpa) * (1.0 - std::exp(-rate_ratio * plastic_strain_ratio));
}

}  // namespace bight::stock
