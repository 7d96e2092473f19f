// Long work in threads of its own: progress to look at, and an end before its time.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "base/result.h"
#include "service/request.h"

namespace bight::service {

// What a piece of long work tells, and is told.
class JobWatch {
 public:
  // What it is doing, in words, and how far it is (0 to 1), where that can be known.
  void tell(std::string stage, std::optional<double> progress = std::nullopt);
  // Asked between pieces of work: then stop and return whatever.
  bool cancelled() const { return cancelled_; }
  // For readers that poll a flag.
  const std::atomic<bool>& flag() const { return cancelled_; }

 private:
  friend class Jobs;
  mutable std::mutex mutex_;
  std::string stage_;
  std::optional<double> progress_;
  std::atomic<bool> cancelled_{false};
};

class Jobs {
 public:
  using Work = std::function<Reply(JobWatch&)>;
  ~Jobs() { end_all(); }

  // Starts the work and waits a while for it: its reply, or 202 with {"job": id}.
  // At most kMostJobs run at a time; beyond, the reply is 503 request.busy.
  Reply run(Work work, std::chrono::milliseconds patience);

  // State, stage, progress and, when done, the reply's body. Failure codes: job.none.
  Reply look(const std::string& id);
  // Tells the work to stop and forgets it. Failure codes: job.none.
  Reply cancel(const std::string& id);
  // Cancels all, and waits for them.
  void end_all();

 private:
  struct Job {
    JobWatch watch;
    std::chrono::steady_clock::time_point start;
    std::optional<std::chrono::steady_clock::time_point> end;
    std::optional<Reply> reply;
    std::thread thread;
  };
  void forget_old();

  std::mutex mutex_;
  std::condition_variable done_;
  std::map<std::string, std::shared_ptr<Job>> jobs_;
};

inline constexpr std::size_t kMostJobs = 4;
inline constexpr std::chrono::minutes kJobKept{10};

}  // namespace bight::service
