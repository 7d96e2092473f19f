// The shop pass and who has shown it.
#pragma once

#include <chrono>
#include <filesystem>
#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "base/result.h"

namespace bight::service {

using Moment = std::chrono::steady_clock::time_point;

// Argon2id with a salt of its own, as libsodium writes it: one line of text.
// Failure codes: session.pass-short (fewer than 8 characters), session.pass-long (more than 1024
// bytes), session.memory.
base::Result<std::string> hashed_pass(const std::string& pass);

// The file of the data folder that holds it, readable by its owner alone.
std::filesystem::path pass_file(const std::filesystem::path& folder);
// Failure codes: those of hashed_pass, session.write.
base::Status set_pass(const std::filesystem::path& folder, const std::string& pass);
// "" when none is set. Failure codes: session.file (not what set_pass writes).
base::Result<std::string> read_pass(const std::filesystem::path& folder);

// Log-ins that fail: five are free, then an address waits half a minute, doubling to a quarter of
// an hour; all addresses together may fail 60 times in ten minutes.
inline constexpr int kFreeTries = 5;
inline constexpr int kTriesOfAll = 60;
inline constexpr std::chrono::hours kSessionLasts{12};

class Sessions {
 public:
  // Without a pass no session is needed.
  void need(std::string hash) { hash_ = std::move(hash); }
  bool needed() const { return !hash_.empty(); }

  struct Opened {
    std::string token;  // for the cookie
    std::string initials;
  };
  // Failure codes: session.pass (wrong), session.limit (too many tries; the remedy says how long
  // to wait).
  base::Result<Opened> open(const std::string& pass, const std::string& initials,
                            const std::string& from, Moment now);
  // The initials of a session that is open; using it keeps it open.
  std::optional<std::string> initials_of(const std::string& token, Moment now);
  void close(const std::string& token);

 private:
  struct Session {
    std::string initials;
    Moment until;
  };
  struct Tries {
    int failed = 0;
    Moment last;
  };
  // Seconds to wait before this address may try again; 0: at once.
  long wait_s(const std::string& from, Moment now);

  std::string hash_;
  std::mutex mutex_;
  std::mutex one_at_a_time_;                 // a check takes 64 MiB
  std::map<std::string, Session> sessions_;  // by hash of the token
  std::map<std::string, Tries> tries_;
  Tries all_;
};

// The value of a cookie in a Cookie header; "" when it is not there.
std::string cookie(const std::string& header, const std::string& name);

inline constexpr const char* kCookie = "bight-session";

}  // namespace bight::service
