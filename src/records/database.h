// Connections to one database, and transactions on them.
#pragma once

#include <chrono>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

#include "base/result.h"
#include "records/dialect.h"

namespace soci {
class session;
}

namespace bight::records {

// A pool of a few connections: a session of SOCI serves one thread at a time, and readers of both
// databases go on while somebody writes. Writers of this process queue here, in order, instead of
// polling for the file's lock.
//
// Work handed in gets a session within a transaction, and gives base::Result<T>. It runs at most
// once; a connection that died while idle is replaced before it starts.
class Database {
 public:
  // Failure codes: store.open, store.busy, store.full, store.damaged, store.read-only.
  static base::Result<std::unique_ptr<Database>> open(const Place& place);
  ~Database();

  // Within one unchanging moment of the database. Failure codes: those of store.h, and of `work`.
  template <typename Work>
  auto read(Work work) -> decltype(work(std::declval<soci::session&>())) {
    return run_typed(Mode::kRead, std::move(work), true);
  }
  // Kept if `work` gives no failure and *keep, read after it, is true; otherwise nothing happened.
  template <typename Work>
  auto write(Work work, const bool& keep = kKeep)
      -> decltype(work(std::declval<soci::session&>())) {
    return run_typed(Mode::kWrite, std::move(work), keep);
  }
  // Outside any transaction.
  template <typename Work>
  auto plain(Work work) -> decltype(work(std::declval<soci::session&>())) {
    return run_typed(Mode::kPlain, std::move(work), true);
  }

  const Place& place() const { return place_; }
  Dialect dialect() const { return place_.dialect; }

 private:
  enum class Mode { kRead, kWrite, kPlain };
  using Session = std::unique_ptr<soci::session>;
  static constexpr bool kKeep = true;

  explicit Database(Place place);

  template <typename Work>
  auto run_typed(Mode mode, Work work, const bool& keep)
      -> decltype(work(std::declval<soci::session&>())) {
    std::optional<decltype(work(std::declval<soci::session&>()))> out;
    const base::Status done = run(
        mode,
        [&](soci::session& session) -> base::Status {
          out.emplace(work(session));
          if (!out->ok()) return out->failure();
          return base::Done{};
        },
        keep);
    if (!done.ok()) return done.failure();
    return std::move(*out);
  }

  base::Status run(Mode mode, const std::function<base::Status(soci::session&)>& work,
                   const bool& keep);
  base::Status run_on(soci::session& session, Mode mode,
                      const std::function<base::Status(soci::session&)>& work, const bool& keep);
  base::Result<Session> begun(Mode mode);
  base::Result<Session> taken();
  void give_back(Session session);
  void forget_idle();

  const Place place_;
  std::timed_mutex writing_;
  std::mutex pool_;
  std::condition_variable freed_;
  std::vector<Session> idle_;
  int num_sessions_ = 0;
};

}  // namespace bight::records
