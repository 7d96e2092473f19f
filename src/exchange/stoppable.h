// Readings by the helper process that somebody may end.
#pragma once

#include <atomic>

namespace bight::exchange {

// While it lives, a reading on this thread ends with sandbox.stopped soon after the flag is set.
// One at a time on a thread.
class Stoppable {
 public:
  explicit Stoppable(const std::atomic<bool>& flag);
  ~Stoppable();
  Stoppable(const Stoppable&) = delete;
  Stoppable& operator=(const Stoppable&) = delete;
};

}  // namespace bight::exchange
