#include "exchange/sandbox.h"

#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>

namespace bight::exchange {
namespace {

namespace fs = std::filesystem;

// Stands in for the helper: shell scripts that misbehave in one way each.
class Sandbox : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / "bight_sandbox_test";
    fs::create_directories(folder_);
    input_ = folder_ / "input.txt";
    std::ofstream(input_) << "what the file says\n";
  }
  void TearDown() override { ::unsetenv("BIGHT_READER"); }

  void helper(const std::string& script) {
    const fs::path path = folder_ / "helper.sh";
    std::ofstream(path, std::ios::trunc) << "#!/bin/sh\n" << script << "\n";
    fs::permissions(path, fs::perms::owner_all);
    ::setenv("BIGHT_READER", path.c_str(), 1);
  }
  std::string code(const SandboxLimits& limits = {}) const {
    const auto result = run_reader("kind", input_, limits);
    return result.ok() ? "" : result.failure().code;
  }

  fs::path folder_;
  fs::path input_;
};

// The file arrives on standard input, kind and arguments on the command line.
TEST_F(Sandbox, PassesFileAndArguments) {
  helper("echo \"$@\"; cat");
  const auto result = run_reader("kind", input_, {}, {"one", "two words"});
  ASSERT_TRUE(result.ok()) << result.failure().text();
  EXPECT_EQ(*result, "kind one two words\nwhat the file says\n");
}

// The helper sees no variable of ours and no open file but the three it is given.
TEST_F(Sandbox, InheritsNothing) {
  ::setenv("BIGHT_SECRET", "hidden", 1);
  helper("test -z \"$BIGHT_SECRET\" && echo clean; ls /proc/self/fd | tr '\\n' ' '");
  std::ofstream open_file(folder_ / "open.txt");
  const auto result = run_reader("kind", input_);
  ::unsetenv("BIGHT_SECRET");
  ASSERT_TRUE(result.ok());
  // 0, 1, 2 and the folder that ls itself has open.
  EXPECT_EQ(*result, "clean\n0 1 2 3 ");
}

// Nothing can be written to any file.
TEST_F(Sandbox, WritesNoFile) {
  const fs::path target = folder_ / "written.txt";
  fs::remove(target);
  helper("echo text > " + target.string() + "; echo done");
  (void)run_reader("kind", input_);
  EXPECT_TRUE(!fs::exists(target) || fs::file_size(target) == 0);
}

// A crash, and any status nobody agreed on, is a crash.
TEST_F(Sandbox, ReportsCrashes) {
  helper("kill -SEGV $$");
  EXPECT_EQ(code(), "sandbox.crash");
  helper("echo half; exit 3");
  EXPECT_EQ(code(), "sandbox.crash");
}

// Too slow by the clock, and too busy.
TEST_F(Sandbox, ReportsTime) {
  SandboxLimits limits;
  limits.wall_s = 0.2;
  helper("sleep 20");
  EXPECT_EQ(code(limits), "sandbox.time");
  // Also when it has closed its answer and lingers, and what it started goes with it.
  helper("sleep 20 & wait");
  EXPECT_EQ(code(limits), "sandbox.time");
  limits = {};
  limits.cpu_s = 1.0;
  helper("while :; do :; done");
  EXPECT_EQ(code(limits), "sandbox.time");
}

// The status agreed for refused memory, and for a kind without a reader.
TEST_F(Sandbox, ReportsAgreedStatuses) {
  helper("exit " + std::to_string(kExitMemory));
  EXPECT_EQ(code(), "sandbox.memory");
  helper("exit " + std::to_string(kExitUnknown));
  EXPECT_EQ(code(), "sandbox.reader");
}

// Files and answers beyond their limits.
TEST_F(Sandbox, ReportsSizes) {
  SandboxLimits limits;
  limits.input_bytes = 5;
  helper("cat");
  EXPECT_EQ(code(limits), "sandbox.size");
  limits = {};
  limits.output_bytes = 1000;
  helper("yes");
  EXPECT_EQ(code(limits), "sandbox.size");
}

// What is no file, and a helper that is not there.
TEST_F(Sandbox, ReportsWhatIsMissing) {
  helper("cat");
  EXPECT_EQ(run_reader("kind", folder_ / "absent.txt").failure().code, "sandbox.open");
  EXPECT_EQ(run_reader("kind", folder_).failure().code, "sandbox.open");
  EXPECT_EQ(run_reader("kind", "/dev/zero").failure().code, "sandbox.open");
  ::setenv("BIGHT_READER", "/nowhere/bight-reader", 1);
  EXPECT_EQ(code(), "sandbox.reader");
}

// Without the variable the helper is looked for beside the running program.
TEST_F(Sandbox, LooksBesideTheProgram) {
  ::unsetenv("BIGHT_READER");
  const fs::path self = fs::read_symlink("/proc/self/exe");
  EXPECT_EQ(reader_path(), (self.parent_path() / "bight-reader").string());
}

}  // namespace
}  // namespace bight::exchange
