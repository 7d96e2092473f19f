#include "app/trial_files.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "exchange/shop_toml.h"
#include "exchange/text_file.h"

namespace bight::app {
namespace {

namespace fs = std::filesystem;

workshop::TrialBend trial() {
  workshop::TrialBend t;
  t.die = "38R114";
  t.od_mm = 38.1;
  t.wall_mm = 1.65;
  t.material = "1020 DOM";
  t.set_angle = base::Angle::degrees(94.6);
  t.finished_angle = base::Angle::degrees(90.1);
  return t;
}

class Folder : public ::testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(folder_);
    fs::create_directory(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }

  void make_shop() {
    std::ofstream(folder_ / "shop.toml") << "name = \"s\"\n";
    std::ofstream(folder_ / "die_sets.toml")
        << "[[die_set]]\nname = \"38R114\"\nradius = 114.3\ngroove = 38.1\nclamp = 95\n";
  }

  std::string code(exchange::Twice twice = exchange::Twice::kAllAlike) {
    const base::Status added = add_trials(folder_.string(), {trial()}, twice);
    return added.ok() ? "" : added.failure().code;
  }

  fs::path folder_ = fs::temp_directory_path() / ("bight_trials_" + std::to_string(getpid()));
};

// Made where there is none, added to the next time, and nothing lost of what stood there.
TEST_F(Folder, Add) {
  EXPECT_EQ(code(), "file.missing");
  make_shop();
  EXPECT_EQ(code(), "");
  const std::string before = *exchange::read_text_file((folder_ / "trials.toml").string());
  EXPECT_EQ(code(), "learn.twice");
  EXPECT_EQ(code(exchange::Twice::kAllowed), "");
  EXPECT_TRUE(exchange::read_text_file((folder_ / "trials.toml").string())->starts_with(before));
  EXPECT_EQ(exchange::read_shop_folder(folder_.string())->trials.size(), 2u);
}

// A die that is not there is a slip of the hand; a file that cannot be read or replaced stays.
TEST_F(Folder, Refusals) {
  make_shop();
  workshop::TrialBend other = trial();
  other.die = "38R115";
  const base::Status unknown = add_trials(folder_.string(), {other}, exchange::Twice::kAllAlike);
  EXPECT_EQ(unknown.failure().code, "learn.die");
  EXPECT_NE(unknown.failure().remedy.find("38R114"), std::string::npos);
  std::ofstream(folder_ / "trials.toml") << "trial = [";
  EXPECT_EQ(code(), "toml.syntax");
  fs::remove(folder_ / "trials.toml");
  fs::create_directory(folder_ / "trials.toml");
  EXPECT_NE(code(), "");
}

// Named, or in the environment, or not at all.
TEST_F(Folder, WhichOne) {
  EXPECT_EQ(*shop_folder("here"), "here");
  ::setenv("BIGHT_SHOP", "there", 1);
  EXPECT_EQ(*shop_folder(""), "there");
  ::unsetenv("BIGHT_SHOP");
  EXPECT_EQ(shop_folder("").failure().code, "learn.shop");
}

}  // namespace
}  // namespace bight::app
