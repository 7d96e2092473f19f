#include "exchange/exact_value.h"

#include <cmath>

#include "base/number.h"
#include "exchange/exact_text.h"

namespace bight::exchange {

nlohmann::ordered_json number_value(double value) {
  constexpr double kWhole = 1e15;
  if (std::abs(value) < kWhole && value == std::trunc(value)) {
    return static_cast<std::int64_t>(value);
  }
  return value;
}

nlohmann::ordered_json length_value(double length_mm, base::LengthUnit unit) {
  if (unit == base::LengthUnit::kMillimetre) return number_value(length_mm);
  const double inches = exact_inches(length_mm);
  if (from_inches_mm(inches) == length_mm) return number_value(inches);
  const std::string in_mm = base::print_number(length_mm) + " mm";
  if (base::parse_length_mm(in_mm).ok()) return in_mm;
  return inches;
}

}  // namespace bight::exchange
