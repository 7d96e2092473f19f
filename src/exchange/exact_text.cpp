#include "exchange/exact_text.h"

#include <charconv>
#include <cmath>
#include <functional>

#include "base/number.h"

namespace bight::exchange {

namespace {

// The number near `value`, of as few digits as can be, that `holds`; the value itself if none does.
double shortest(double value, const std::function<bool(double)>& holds) {
  for (int digits = 1; digits <= 17; ++digits) {
    char text[40];
    const auto written =
        std::to_chars(text, text + sizeof text, value, std::chars_format::general, digits);
    double candidate = 0.0;
    std::from_chars(text, written.ptr, candidate);
    if (holds(candidate)) return candidate;
  }
  for (const double candidate :
       {std::nextafter(value, value - 1.0), std::nextafter(value, value + 1.0)}) {
    if (holds(candidate)) return candidate;
  }
  return value;
}

}  // namespace

double tidied(double value) {
  const double rounded = std::round(value * 1e9) / 1e9;
  return rounded == 0.0 ? 0.0 : rounded;
}

double from_inches_mm(double number) {
  const base::Result<double> exact = base::parse_length_mm(base::print_number(number) + " in");
  // Beyond what people type, exponents and all, the plain product serves.
  return exact.ok() ? *exact : number * 25.4;
}

double exact_inches(double length_mm) {
  return shortest(length_mm / 25.4,
                  [&](double inches) { return from_inches_mm(inches) == length_mm; });
}

std::string exact_length(double length_mm, base::LengthUnit unit) {
  if (unit == base::LengthUnit::kMillimetre) return base::print_number(length_mm);
  return base::print_number(exact_inches(length_mm));
}

double exact_quotient(double value, double factor) {
  return shortest(value / factor, [&](double number) { return number * factor == value; });
}

double exact_deg(base::Angle angle) {
  const double degrees = shortest(
      angle.deg(), [&](double candidate) { return base::Angle::degrees(candidate) == angle; });
  return degrees == 0.0 ? 0.0 : degrees;
}

std::string exact_degrees(base::Angle angle) { return base::print_number(exact_deg(angle)); }

}  // namespace bight::exchange
