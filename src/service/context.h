// What every handler may use.
#pragma once

#include <atomic>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "records/store.h"
#include "service/jobs.h"
#include "service/sessions.h"
#include "service/shop_view.h"

namespace bight::service {

// Lists as they were answered last, kept until anything of the shop changes, by whatever process.
class ListCache {
 public:
  // The body kept under this address as of this change of the shop; none: work it out and keep it.
  std::shared_ptr<const std::string> find(const std::string& address, std::int64_t change) {
    const std::lock_guard lock(mutex_);
    if (change != change_) return nullptr;
    const auto found = bodies_.find(address);
    return found == bodies_.end() ? nullptr : found->second;
  }
  void keep(const std::string& address, std::int64_t change, const std::string& body) {
    const std::lock_guard lock(mutex_);
    if (change != change_ || bodies_.size() >= kMost) bodies_.clear();
    change_ = change;
    if (body.size() <= kLargest) bodies_[address] = std::make_shared<const std::string>(body);
  }

 private:
  static constexpr std::size_t kMost = 64;
  static constexpr std::size_t kLargest = std::size_t{1} << 20U;
  std::mutex mutex_;
  std::int64_t change_ = -1;
  std::map<std::string, std::shared_ptr<const std::string>> bodies_;
};

struct Context {
  records::Store& store;
  std::string version;
  bool demo = false;
  bool secure = false;  // over TLS
  ShopCache shop{store};
  ListCache lists;
  Jobs jobs;
  Sessions sessions;
  std::atomic<bool> stopping{false};

  explicit Context(records::Store& s) : store(s) {}
};

}  // namespace bight::service
