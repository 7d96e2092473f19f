// The time of day as text: "2026-11-28T22:01:07.250Z".
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "base/result.h"

namespace bight::running {

// Milliseconds since 1970, UTC, without leap seconds.
struct Moment {
  std::int64_t since_1970_ms = 0;
  auto operator<=>(const Moment&) const = default;
};

// YYYY-MM-DDThh:mm:ss, up to three decimals, and Z (RFC 3339, UTC alone). From 1970 to 9999.
// Failure codes: run.time.
base::Result<Moment> parse_moment(std::string_view text);

// As above, always with three decimals. @pre from 1970 to 9999.
std::string print_moment(Moment moment);

}  // namespace bight::running
