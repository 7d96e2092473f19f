// Non-negative fractions of whole numbers: what a person typed, before any rounding.
#pragma once

#include <cstdint>

namespace bight::base {

// 128-bit whole numbers; every compiler we build with has them, as an extension.
__extension__ using Wide = unsigned __int128;

// num / den, den > 0. Callers keep num below 2^120, den below 2^80 and the value below 2^62:
// the text readers bound the digits they accept (typed_text.h), so sums and products stay exact.
struct ExactRatio {
  Wide num = 0;
  Wide den = 1;

  ExactRatio plus(const ExactRatio& other) const;
  ExactRatio times(std::uint32_t up, std::uint32_t down = 1) const;
  // The nearest double, halves to even: one rounding in all.
  double nearest() const;
};

}  // namespace bight::base
