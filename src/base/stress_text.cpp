#include "base/stress_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "base/typed_text.h"

namespace bight::base {

namespace {

struct StressUnit {
  std::string_view word;
  double each_mpa;
};
constexpr StressUnit kStressUnits[] = {
    {"mpa", 1.0},    {"n/mm2", 1.0},    {"n/mm²", 1.0},    {"gpa", 1e3},           {"kn/mm2", 1e3},
    {"kn/mm²", 1e3}, {"ksi", kKsi_mpa}, {"psi", kPsi_mpa}, {"msi", 1e6 * kPsi_mpa}};

// Where the number ends: letters begin the unit, but for the e of an exponent.
std::size_t unit_begins(std::string_view text) {
  for (std::size_t at = 0; at < text.size(); ++at) {
    const char c = text[at];
    const bool exponent =
        (c == 'e' || c == 'E') && at + 1 < text.size() &&
        std::string_view("+-0123456789").find(text[at + 1]) != std::string_view::npos;
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    if (letter && !exponent) return at;
  }
  return text.size();
}

}  // namespace

Result<double> parse_stress_mpa(std::string_view text, double bare_mpa, DecimalMark mark) {
  const std::size_t end = text.find_last_not_of(" \t");
  text = text.substr(0, end == std::string_view::npos ? 0 : end + 1);
  const std::size_t at = unit_begins(text);
  std::string unit(text.substr(at));
  std::transform(unit.begin(), unit.end(), unit.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  double each_mpa = bare_mpa;
  if (!unit.empty() && at > 0) {
    const auto* const found = std::find_if(std::begin(kStressUnits), std::end(kStressUnits),
                                           [&](const StressUnit& one) { return one.word == unit; });
    if (found == std::end(kStressUnits)) {
      return Failure{"stress.unit", "", fmt::format("{} has no unit of strength", as_typed(text)),
                     "MPa, N/mm2, GPa, ksi or psi after the number"};
    }
    each_mpa = found->each_mpa;
    text = text.substr(0, at);
  }
  BIGHT_TRY(const double number, parse_number(text, mark));
  return number * each_mpa;
}

}  // namespace bight::base
