#include "exchange/text_file.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <fstream>

namespace bight::exchange {
namespace {

// No file, a folder and a file of ten megabytes are told apart by their codes.
TEST(ReadTextFile, RefusesWhatIsNoFileOfOurs) {
  EXPECT_EQ(read_text_file("no/such/file").failure().code, "file.missing");
  EXPECT_EQ(read_text_file("/").failure().code, "file.read");
  const std::string path = ::testing::TempDir() + "large.toml";
  std::ofstream(path) << std::string(10'000'000, 'x');
  EXPECT_EQ(read_text_file(path).failure().code, "file.size");
  std::remove(path.c_str());
}

}  // namespace
}  // namespace bight::exchange
