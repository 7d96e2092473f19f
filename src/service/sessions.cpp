#include "service/sessions.h"

#include <fmt/format.h>
#include <sodium.h>
#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <fstream>

#include "records/files.h"

namespace bight::service {

using base::Failure;
using base::Result;

namespace {

constexpr std::chrono::minutes kForgotten{10};
constexpr std::size_t kMostSessions = 10'000;

std::string hex(const unsigned char* bytes, std::size_t size) {
  std::string out;
  for (std::size_t i = 0; i < size; ++i) out += fmt::format("{:02x}", bytes[i]);
  return out;
}

std::string token_hash(const std::string& token) {
  std::array<unsigned char, crypto_hash_sha256_BYTES> out{};
  crypto_hash_sha256(out.data(), reinterpret_cast<const unsigned char*>(token.data()),
                     token.size());
  return hex(out.data(), out.size());
}

}  // namespace

Result<std::string> hashed_pass(const std::string& pass) {
  if (pass.size() < 8) {
    return Failure{"session.pass-short", "pass", "the pass is shorter than 8 characters",
                   "a few words that only the shop knows"};
  }
  if (pass.size() > 1024) {
    return Failure{"session.pass-long", "pass", "the pass is longer than 1024 bytes", ""};
  }
  std::array<char, crypto_pwhash_STRBYTES> out{};
  if (sodium_init() < 0 ||
      crypto_pwhash_str_alg(out.data(), pass.data(), pass.size(),
                            crypto_pwhash_OPSLIMIT_INTERACTIVE, crypto_pwhash_MEMLIMIT_INTERACTIVE,
                            crypto_pwhash_ALG_ARGON2ID13) != 0) {
    return Failure{"session.memory", "pass", "there is not enough memory to hash the pass", ""};
  }
  return std::string(out.data());
}

std::filesystem::path pass_file(const std::filesystem::path& folder) { return folder / "pass"; }

base::Status set_pass(const std::filesystem::path& folder, const std::string& pass) {
  BIGHT_TRY(const std::string hash, hashed_pass(pass));
  const mode_t before = ::umask(0077);
  base::Status written = records::write_whole(pass_file(folder), hash + "\n", "session.write");
  ::umask(before);
  return written;
}

Result<std::string> read_pass(const std::filesystem::path& folder) {
  std::ifstream stream(pass_file(folder));
  if (!stream) return std::string();
  std::string line;
  std::getline(stream, line);
  if (!line.starts_with("$argon2id$") || line.size() >= crypto_pwhash_STRBYTES) {
    return Failure{"session.file", pass_file(folder).string(), "this is not a hashed pass",
                   "set it anew: bight serve --set-pass"};
  }
  return line;
}

long Sessions::wait_s(const std::string& from, Moment now) {
  if (now - all_.last > kForgotten) all_.failed = 0;
  std::erase_if(tries_, [&](const auto& entry) {
    return now - entry.second.last > std::chrono::minutes(30);
  });
  long wait = 0;
  if (all_.failed >= kTriesOfAll) wait = 60;
  const auto found = tries_.find(from);
  if (found != tries_.end() && found->second.failed >= kFreeTries) {
    const int doublings = std::min(found->second.failed - kFreeTries, 5);
    const long penalty = std::min(30L << doublings, 900L);
    const auto passed =
        std::chrono::duration_cast<std::chrono::seconds>(now - found->second.last).count();
    wait = std::max(wait, penalty - static_cast<long>(passed));
  }
  return std::max(wait, 0L);
}

Result<Sessions::Opened> Sessions::open(const std::string& pass, const std::string& initials,
                                        const std::string& from, Moment now) {
  const std::lock_guard one(one_at_a_time_);
  {
    const std::lock_guard lock(mutex_);
    if (const long wait = wait_s(from, now); wait > 0) {
      return Failure{"session.limit", "pass", "too many wrong passes",
                     fmt::format("try again in {} s", wait)};
    }
  }
  const bool right = pass.size() <= 1024 && sodium_init() >= 0 &&
                     crypto_pwhash_str_verify(hash_.c_str(), pass.data(), pass.size()) == 0;
  const std::lock_guard lock(mutex_);
  if (!right) {
    Tries& tries = tries_[from];
    ++tries.failed;
    ++all_.failed;
    tries.last = all_.last = now;
    return Failure{"session.pass", "pass", "this is not the shop pass", "ask who set it"};
  }
  tries_.erase(from);
  std::erase_if(sessions_, [&](const auto& entry) { return entry.second.until < now; });
  if (sessions_.size() >= kMostSessions) sessions_.erase(sessions_.begin());
  std::array<unsigned char, 32> random{};
  randombytes_buf(random.data(), random.size());
  const std::string token = hex(random.data(), random.size());
  sessions_[token_hash(token)] = {initials, now + kSessionLasts};
  return Opened{token, initials};
}

std::optional<std::string> Sessions::initials_of(const std::string& token, Moment now) {
  if (token.empty()) return std::nullopt;
  const std::string hash = token_hash(token);
  const std::lock_guard lock(mutex_);
  const auto found = sessions_.find(hash);
  if (found == sessions_.end() || found->second.until < now) return std::nullopt;
  found->second.until = now + kSessionLasts;
  return found->second.initials;
}

void Sessions::close(const std::string& token) {
  const std::string hash = token_hash(token);
  const std::lock_guard lock(mutex_);
  sessions_.erase(hash);
}

std::string cookie(const std::string& header, const std::string& name) {
  std::size_t at = 0;
  while (at < header.size()) {
    const std::size_t end = std::min(header.find(';', at), header.size());
    std::string_view one = std::string_view(header).substr(at, end - at);
    while (one.starts_with(' ')) one.remove_prefix(1);
    if (one.starts_with(name) && one.size() > name.size() && one[name.size()] == '=') {
      return std::string(one.substr(name.size() + 1));
    }
    at = end + 1;
  }
  return "";
}

}  // namespace bight::service
