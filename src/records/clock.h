// What time it is, as a seam: tests set it.
#pragma once

#include <chrono>

namespace bight::records {

// A moment, UTC, to the millisecond.
using Instant = std::chrono::sys_time<std::chrono::milliseconds>;

class Clock {
 public:
  virtual ~Clock() = default;
  // Must be callable from several threads at once.
  virtual Instant now() const = 0;
};

// The computer's own clock.
class SystemClock final : public Clock {
 public:
  Instant now() const override {
    return std::chrono::time_point_cast<std::chrono::milliseconds>(
        std::chrono::system_clock::now());
  }
};

}  // namespace bight::records
