// A cost as one number, so that adding and comparing are single operations.
#pragma once

#include <cstdint>

#include "ordering/problem.h"

namespace bight::ordering {

// All of a cost that adds up over steps (margin_class does not), the weightiest uppermost:
// stops 6 | flips 6 | die changes 6 | handling 16 | unmeasured 6 | outward 10 | other end 1.
using CostBits = std::uint64_t;

inline constexpr int kOutwardAt = 1;
inline constexpr int kUnmeasuredAt = 11;
inline constexpr int kHandlingAt = 17;
inline constexpr int kDieChangeAt = 33;
inline constexpr int kFlipAt = 39;
inline constexpr int kStopAt = 45;
inline constexpr CostBits kOneStop = CostBits{1} << kStopAt;
inline constexpr CostBits kOneFlip = CostBits{1} << kFlipAt;
inline constexpr CostBits kOneDieChange = CostBits{1} << kDieChangeAt;
inline constexpr CostBits kNever = CostBits{1} << 60;

inline std::uint32_t field(CostBits bits, int at, int width) {
  return static_cast<std::uint32_t>((bits >> at) & ((CostBits{1} << width) - 1));
}

inline Cost unpacked(CostBits bits, std::uint32_t margin_class) {
  return {field(bits, kStopAt, 6),      margin_class,
          field(bits, kFlipAt, 6),      field(bits, kDieChangeAt, 6),
          field(bits, kHandlingAt, 16), field(bits, kUnmeasuredAt, 6),
          field(bits, kOutwardAt, 10),  field(bits, 0, 1)};
}

}  // namespace bight::ordering
