#include <fstream>
#include <thread>

#include "records/archive.h"
#include "records/store_test_util.h"

namespace bight::records {
namespace {

using test::document;
using test::id;

class BackupTest : public test::StoreTest {
 protected:
  // A backup as a shop again: a file is opened, an archive taken.
  std::unique_ptr<Store> restored(const std::filesystem::path& backup) {
    if (GetParam() == Dialect::kSqlite) return open(backup.string());
    auto store = open(fresh_place());
    const auto taken = read_archive(*store, backup, Taking::kAllOrNothing);
    EXPECT_TRUE(taken.ok() && taken->written);
    return store;
  }
};
BIGHT_BOTH_STORES(BackupTest);

// A backup restored is the shop at that moment, and can be worked with.
TEST_P(BackupTest, RestoredIsTheSame) {
  put_part("rail");
  const BlobId blob = *store_->keep_blob(std::string(300'000, 'b'));
  put({.kind = Kind::kAttachment, .document = "{}", .part = id("rail"), .blob = blob});
  const auto to = folder_ / "copy.bight";
  const auto backup = store_->backup(to);
  ASSERT_TRUE(backup.ok()) << backup.failure().text();
  EXPECT_EQ(*backup, *store_->inventory());
  put_part("later");
  const auto store = restored(to);
  EXPECT_EQ(*store->inventory(), *backup);
  EXPECT_EQ(store->find_parts({.words = "rail"})->total, 1);
  EXPECT_EQ(*store->blob(blob), std::string(300'000, 'b'));
  EXPECT_TRUE(store->put({.kind = Kind::kRun, .document = "{}"}).result.ok());
  // Nothing else is left beside it.
  for (const auto& entry : std::filesystem::directory_iterator(folder_.path())) {
    EXPECT_EQ(entry.path().string().find("unfinished"), std::string::npos) << entry.path();
  }
}

// Others go on writing while a backup is made; it is sound, and everything before it is in it.
TEST_P(BackupTest, WhileOthersWrite) {
  for (int i = 0; i < 30; ++i) put_part(fmt::format("p{}", i));
  std::atomic<bool> stop{false};
  std::atomic<int> failed{0};
  std::thread writer([&] {
    while (!stop) {
      if (!store_->put({.kind = Kind::kRun, .document = document(std::string(5000, 'x'))})
               .result.ok()) {
        ++failed;
      }
    }
  });
  for (int round = 0; round < 3; ++round) {
    const std::int64_t before = *store_->latest_change();
    const auto backup = store_->backup(folder_ / fmt::format("b{}", round));
    EXPECT_TRUE(backup.ok()) << backup.failure().text();
    EXPECT_GE(backup.ok() ? backup->change : before, before);
  }
  stop = true;
  writer.join();
  EXPECT_EQ(failed, 0);
}

// A backup never replaces a file, and where it cannot be written nothing is left behind.
TEST_P(BackupTest, Refusals) {
  put_part("rail");
  std::ofstream(folder_ / "there") << "x";
  EXPECT_EQ(store_->backup(folder_ / "there").failure().code, "backup.exists");
  const std::string code = store_->backup(folder_ / "no/such/folder").failure().code;
  EXPECT_EQ(code, "backup.write");
}

}  // namespace
}  // namespace bight::records
