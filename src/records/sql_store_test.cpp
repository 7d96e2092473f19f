// What happens to the store when the machine it runs on fails it.
#include "records/sql_store.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include <csignal>
#include <fstream>
#include <thread>

#include "records/store_test_util.h"

namespace bight::records {
namespace {

using test::document;
using test::id;

class FailingTest : public test::StoreTest {};
BIGHT_BOTH_STORES(FailingTest);

// A process killed in the middle of writing loses nothing it had acknowledged, and what it left
// behind opens soundly. SIGKILL leaves no time for anything.
TEST_P(FailingTest, KilledWhileWriting) {
  int pipe_ends[2];
  ASSERT_EQ(::pipe(pipe_ends), 0);
  put_part("rail");
  store_.reset();
  const pid_t child = ::fork();
  if (child == 0) {
    const auto store = open_store(place_, options());
    for (std::int64_t revision = 1; store.ok(); ++revision) {
      const Writing writing = (*store)->put(
          {.kind = Kind::kPart,
           .id = id("rail"),
           .document = document(std::string(50'000, static_cast<char>('a' + revision % 26))),
           .expected_revision = revision});
      if (!writing.result.ok()) break;
      const std::int64_t acknowledged = writing.result->head.revision;
      if (::write(pipe_ends[1], &acknowledged, sizeof acknowledged) < 0) break;
    }
    ::_exit(1);
  }
  ::close(pipe_ends[1]);
  std::int64_t acknowledged = 0;
  std::int64_t next = 0;
  while (acknowledged < 25 && ::read(pipe_ends[0], &next, sizeof next) == sizeof next) {
    acknowledged = next;
  }
  ::kill(child, SIGKILL);
  while (::read(pipe_ends[0], &next, sizeof next) == sizeof next) acknowledged = next;
  ::close(pipe_ends[0]);
  int status = 0;
  ::waitpid(child, &status, 0);
  ASSERT_TRUE(WIFSIGNALED(status));
  ASSERT_GE(acknowledged, 25);
  store_ = open(place_);
  const Record present = *store_->get(Kind::kPart, id("rail"));
  EXPECT_GE(present.head.revision, acknowledged);
  EXPECT_LE(present.head.revision, acknowledged + 1);
  EXPECT_EQ(store_->inventory()->revisions, present.head.revision);
  EXPECT_EQ(store_->get_revision(Kind::kPart, id("rail"), acknowledged)->document,
            document(std::string(50'000, static_cast<char>('a' + (acknowledged - 1) % 26))));
  EXPECT_TRUE(store_->put({.kind = Kind::kRun, .document = "{}"}).result.ok());
}

// The rest is about files; a server looks after its own.
class File : public testing::Test {
 protected:
  std::string path() const { return (folder_ / "shop.db").string(); }
  std::unique_ptr<Store> opened() const { return std::move(open_store(path(), {})).value(); }
  test::Folder folder_;
};

// A full disk refuses the write, says so, and leaves everything else readable; with room again the
// shop goes on. The limit on pages gives what SQLite gives when the disk has no more.
TEST_F(File, DiskFull) {
  Place place = *place_named(path());
  place.pages_max = 80;
  std::int64_t kept = 0;
  {
    const std::unique_ptr<Store> store = std::move(SqlStore::open(place, {})).value();
    base::Failure failure;
    for (;; ++kept) {
      const Writing writing =
          store->put({.kind = Kind::kRun, .document = document(std::string(20'000, 'x'))});
      if (!writing.result.ok()) {
        failure = writing.result.failure();
        break;
      }
      ASSERT_LT(kept, 100);
    }
    EXPECT_EQ(failure.code, "store.full") << failure.text();
    EXPECT_GT(kept, 0);
    EXPECT_EQ(*store->latest_change(), kept);
    EXPECT_EQ(store->inventory()->revisions, kept);
  }
  const auto store = opened();
  EXPECT_EQ(store->inventory()->revisions, kept);
  EXPECT_TRUE(store->put({.kind = Kind::kRun, .document = "{}"}).result.ok());
}

// Where nothing may be written, opening says so in words. Root may write anywhere, so a child
// process looks as an ordinary user.
TEST_F(File, ReadOnlyFolder) {
  opened()->put({.kind = Kind::kRun, .document = "{}"});
  ASSERT_EQ(::chmod(path().c_str(), 0444), 0);
  ASSERT_EQ(::chmod(folder_.path().c_str(), 0555), 0);
  const auto code_as_user = [](const std::string& place) {
    int ends[2];
    EXPECT_EQ(::pipe(ends), 0);
    const pid_t child = ::fork();
    if (child == 0) {
      constexpr uid_t kNobody = 65534;
      if (::getuid() == 0 && ::setuid(kNobody) != 0) ::_exit(2);
      auto store = open_store(place, {});
      std::string code = store.ok() ? "" : store.failure().code;
      if (store.ok()) {
        const Writing writing = (*store)->put({.kind = Kind::kRun, .document = "{}"});
        code = writing.result.ok() ? "written" : writing.result.failure().code;
      }
      const ssize_t written = ::write(ends[1], code.data(), code.size());
      ::_exit(written < 0 ? 3 : 0);
    }
    ::close(ends[1]);
    std::string code(100, '\0');
    code.resize(static_cast<std::size_t>(std::max<ssize_t>(0, ::read(ends[0], code.data(), 100))));
    ::close(ends[0]);
    ::waitpid(child, nullptr, 0);
    return code;
  };
  EXPECT_EQ(code_as_user(path()), "store.read-only");
  EXPECT_EQ(code_as_user((folder_ / "new.db").string()), "store.open");
  ::chmod(folder_.path().c_str(), 0755);
}

// A folder that is not there, or is the file itself.
TEST_F(File, NoSuchPlace) {
  EXPECT_EQ(open_store((folder_ / "no/shop.db").string(), {}).failure().code, "store.open");
  EXPECT_EQ(open_store(folder_.path().string(), {}).failure().code, "store.open");
}

// A file that is no database, and one with a torn page in the middle, are said to be damaged, and
// opening does not make it worse.
TEST_F(File, Damaged) {
  std::ofstream(path()) << std::string(5000, 'x');
  EXPECT_EQ(open_store(path(), {}).failure().code, "store.damaged");
  std::filesystem::remove(path());
  {
    const auto store = opened();
    for (int i = 0; i < 60; ++i) {
      store->put({.kind = Kind::kRun, .document = document(std::string(3'000, 'x'))});
    }
  }
  const auto size = std::filesystem::file_size(path());
  {
    std::fstream file(path(), std::ios::binary | std::ios::in | std::ios::out);
    for (std::uintmax_t at = size / 4; at < size - 4096; at += 4096) {
      file.seekp(static_cast<std::streamoff>(at / 4096 * 4096));
      file << std::string(64, '\xff');
    }
  }
  const auto store = open_store(path(), {});
  const std::string code = store.ok() ? (*store)->inventory().failure().code : store.failure().code;
  EXPECT_EQ(code, "store.damaged");
  if (store.ok()) {
    EXPECT_EQ((*store)->backup(folder_ / "copy.db").failure().code.substr(0, 6), "backup");
    EXPECT_FALSE(std::filesystem::exists(folder_ / "copy.db"));
  }
}

// An attachment whose bytes rotted is not handed out as if it were sound.
TEST_F(File, RottenAttachment) {
  const auto store = opened();
  const BlobId blob = *store->keep_blob("drawing");
  store->put({.kind = Kind::kAttachment, .document = "{}", .blob = blob});
  run(*connect(*place_named(path())), "UPDATE bight_blob SET bytes = CAST('drawinh' AS BLOB)");
  EXPECT_EQ(store->blob(blob).failure().code, "blob.damaged");
  EXPECT_EQ(store->inventory().failure().code, "blob.damaged");
  EXPECT_FALSE(store->backup(folder_ / "copy.db").ok());
}

}  // namespace
}  // namespace bight::records
