#include "base/exact_ratio.h"

#include <cmath>
#include <numeric>

namespace bight::base {

namespace {

Wide common_divisor(Wide a, Wide b) {
  while (b != 0) {
    const Wide rest = a % b;
    a = b;
    b = rest;
  }
  return a;
}

}  // namespace

ExactRatio ExactRatio::plus(const ExactRatio& other) const {
  const Wide shared = common_divisor(den, other.den);
  return {num * (other.den / shared) + other.num * (den / shared), den / shared * other.den};
}

ExactRatio ExactRatio::times(std::uint32_t up, std::uint32_t down) const {
  return {num * up, den * down};
}

double ExactRatio::nearest() const {
  constexpr std::uint64_t kEnoughBits = std::uint64_t{1} << 62;
  auto bits = static_cast<std::uint64_t>(num / den);
  Wide rest = num % den;
  int exponent = 0;
  while (bits < kEnoughBits && rest != 0) {
    rest <<= 1;
    bits <<= 1;
    if (rest >= den) {
      rest -= den;
      bits |= 1;
    }
    --exponent;
  }
  // What is left over only decides a tie: fold it into the last bit, far below a double's last.
  if (rest != 0) bits |= 1;
  return std::ldexp(static_cast<double>(bits), exponent);
}

}  // namespace bight::base
