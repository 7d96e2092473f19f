// Where a number comes from. Every number that could spoil a part carries this.
#pragma once

#include <string>
#include <string_view>

namespace bight::stock {

// Strongest first.
enum class Provenance {
  kMeasuredHere,
  kMillCertificate,
  kSupplierSheet,  // what the merchant says of the metal in stock
  kPublishedTypical,
  kPublishedMinimum,
  kDerived,      // computed from other numbers that carry their own provenance
  kRuleOfThumb,  // common practice, no source
  kUnconfirmed,  // recalled, not read in a source: never shown as a requirement
};

// "measured here", "mill certificate", … as printed.
std::string_view words(Provenance provenance);

// A number with its origin. The unit stands in the name of the member that holds it.
struct Sourced {
  double value = 0.0;
  Provenance provenance = Provenance::kUnconfirmed;
  std::string source;

  friend bool operator==(const Sourced&, const Sourced&) = default;
};

}  // namespace bight::stock
