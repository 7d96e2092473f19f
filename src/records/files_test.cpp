#include "records/files.h"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "records/store_test_util.h"

namespace bight::records {
namespace {

std::string content(const std::filesystem::path& path) {
  std::ifstream stream(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

// A file written whole is there with its bytes and nothing beside it, in place of an older one.
TEST(Files, WholeOrNotAtAll) {
  const test::Folder folder;
  const auto path = folder / "a";
  for (const std::string& bytes :
       {std::string("x\0y", 3), std::string(), std::string(100'000, 'b')}) {
    ASSERT_TRUE(write_whole(path, bytes, "archive.write").ok());
    EXPECT_EQ(content(path), bytes);
    EXPECT_FALSE(std::filesystem::exists(unfinished(path)));
  }
}

// What cannot be written carries the caller's code, and an older file stays.
TEST(Files, FailuresLeaveNothing) {
  const test::Folder folder;
  EXPECT_EQ(write_whole(folder / "no/a", "x", "archive.write").failure().code, "archive.write");
  EXPECT_EQ(finish_file(folder / "none", "backup.write").failure().code, "backup.write");
  std::filesystem::create_directory(folder / "taken");
  EXPECT_EQ(write_whole(folder / "taken", "x", "archive.write").failure().code, "archive.write");
  EXPECT_FALSE(std::filesystem::exists(unfinished(folder / "taken")));
  // Linux gives a device that is always full.
  std::filesystem::create_symlink("/dev/full", unfinished(folder / "full"));
  EXPECT_EQ(write_whole(folder / "full", "x", "archive.write").failure().code, "archive.write");
  EXPECT_FALSE(std::filesystem::exists(folder / "full"));
}

}  // namespace
}  // namespace bight::records
