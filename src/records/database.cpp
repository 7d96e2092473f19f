#include "records/database.h"

#include <soci/soci.h>

#include <exception>

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

// More readers at once than a shop has stations; a server allows 100 connections as installed.
constexpr int kSessionsMost = 8;

void roll_back(soci::session& session) {
  try {
    session << "ROLLBACK";
  } catch (const std::exception&) {
    // The database has rolled back by itself (disk full, connection lost): nothing to undo.
  }
}

}  // namespace

Result<std::unique_ptr<Database>> Database::open(const Place& place) {
  std::unique_ptr<Database> database(new Database(place));
  try {
    database->idle_.push_back(connect(place));
  } catch (const std::exception& error) {
    return open_failure(place, error);
  }
  database->num_sessions_ = 1;
  return database;
}

Database::Database(Place place) : place_(std::move(place)) {}

Database::~Database() = default;

Result<Database::Session> Database::taken() {
  {
    std::unique_lock lock(pool_);
    const bool free = freed_.wait_for(
        lock, place_.patience, [this] { return !idle_.empty() || num_sessions_ < kSessionsMost; });
    if (!free) {
      return Failure{"store.busy", place_.description,
                     "All connections to the shop's records are in use.", "Try again in a moment."};
    }
    if (!idle_.empty()) {
      Session session = std::move(idle_.back());
      idle_.pop_back();
      return session;
    }
    ++num_sessions_;
  }
  try {
    return connect(place_);
  } catch (const std::exception& error) {
    give_back(nullptr);
    Failure failure = failure_of(place_, nullptr, error);
    if (place_.dialect == Dialect::kPostgresql) failure.code = "store.lost";
    return failure;
  }
}

// Null: a session that is no more.
void Database::give_back(Session session) {
  const std::scoped_lock lock(pool_);
  if (session != nullptr) {
    idle_.push_back(std::move(session));
  } else {
    --num_sessions_;
  }
  freed_.notify_one();
}

// After the server went away every waiting connection is as dead as the one that told.
void Database::forget_idle() {
  const std::scoped_lock lock(pool_);
  num_sessions_ -= static_cast<int>(idle_.size());
  idle_.clear();
  freed_.notify_all();
}

// A session on which a transaction of this mode stands open.
Result<Database::Session> Database::begun(Mode mode) {
  for (bool again = true;; again = false) {
    BIGHT_TRY(Session session, taken());
    if (mode == Mode::kPlain) return session;
    try {
      *session << (mode == Mode::kRead ? begin_read(dialect()) : begin_write(dialect()));
      return session;
    } catch (const std::exception& error) {
      Failure failure = failure_of(place_, session.get(), error);
      const bool lost = failure.code == "store.lost";
      give_back(lost ? nullptr : std::move(session));
      if (!lost || !again) return failure;
      forget_idle();
    }
  }
}

Status Database::run_on(soci::session& session, Mode mode,
                        const std::function<Status(soci::session&)>& work, const bool& keep) {
  try {
    Status done = work(session);
    if (mode == Mode::kPlain) return done;
    if (done.ok() && keep) {
      session << "COMMIT";
    } else {
      roll_back(session);
    }
    return done;
  } catch (const std::exception& error) {
    Failure failure = failure_of(place_, &session, error);
    if (mode != Mode::kPlain) roll_back(session);
    return failure;
  }
}

Status Database::run(Mode mode, const std::function<Status(soci::session&)>& work,
                     const bool& keep) {
  std::unique_lock turn(writing_, std::defer_lock);
  if (mode == Mode::kWrite && !turn.try_lock_for(place_.patience)) {
    return Failure{"store.busy", place_.description,
                   "Somebody else is writing to the shop's records, for too long.",
                   "Try again in a moment."};
  }
  BIGHT_TRY(Session session, begun(mode));
  Status done = run_on(*session, mode, work, keep);
  give_back(is_connected(*session) ? std::move(session) : nullptr);
  return done;
}

}  // namespace bight::records
