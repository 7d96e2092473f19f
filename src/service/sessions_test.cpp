#include "service/sessions.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <fstream>

#include "service/service_test_util.h"

namespace bight::service {
namespace {

constexpr const char* kPass = "eel pie island";

TEST(Sessions, PassesAreHashedWithTheirOwnSalt) {
  const auto one = hashed_pass(kPass);
  const auto other = hashed_pass(kPass);
  ASSERT_TRUE(one.ok());
  EXPECT_TRUE(one->starts_with("$argon2id$"));
  EXPECT_NE(*one, *other);
  EXPECT_EQ(hashed_pass("short").failure().code, "session.pass-short");
  EXPECT_EQ(hashed_pass(std::string(1025, 'x')).failure().code, "session.pass-long");
}

TEST(Sessions, ThePassFileIsForItsOwnerAlone) {
  const test::Folder folder;
  EXPECT_EQ(*read_pass(folder.path()), "");
  ASSERT_TRUE(set_pass(folder.path(), kPass).ok());
  struct stat info {};
  ASSERT_EQ(::stat(pass_file(folder.path()).c_str(), &info), 0);
  EXPECT_EQ(info.st_mode & 0777U, 0600U);
  EXPECT_TRUE(read_pass(folder.path())->starts_with("$argon2id$"));
  std::ofstream(pass_file(folder.path())) << "eel pie island\n";
  EXPECT_EQ(read_pass(folder.path()).failure().code, "session.file");
}

TEST(Sessions, OpenLastAndClose) {
  Sessions sessions;
  EXPECT_FALSE(sessions.needed());
  sessions.need(*hashed_pass(kPass));
  const Moment now{};
  EXPECT_EQ(sessions.open("wrong", "", "a", now).failure().code, "session.pass");
  const auto opened = sessions.open(kPass, "KB", "a", now);
  ASSERT_TRUE(opened.ok());
  EXPECT_EQ(opened->token.size(), 64u);
  EXPECT_EQ(sessions.initials_of(opened->token, now), "KB");
  EXPECT_FALSE(sessions.initials_of("", now));
  EXPECT_FALSE(sessions.initials_of(std::string(64, '0'), now));
  EXPECT_EQ(sessions.initials_of(opened->token, now + kSessionLasts), "KB");
  EXPECT_FALSE(sessions.initials_of(opened->token, now + 3 * kSessionLasts));
  const auto again = sessions.open(kPass, "MT", "a", now);
  sessions.close(again->token);
  EXPECT_FALSE(sessions.initials_of(again->token, now));
}

TEST(Sessions, WrongPassesMakeAnAddressWait) {
  Sessions sessions;
  sessions.need(*hashed_pass(kPass));
  Moment now{};
  for (int i = 0; i < kFreeTries; ++i) {
    EXPECT_EQ(sessions.open("wrong", "", "a", now).failure().code, "session.pass");
  }
  EXPECT_EQ(sessions.open(kPass, "", "a", now).failure().code, "session.limit");
  EXPECT_TRUE(sessions.open(kPass, "", "b", now).ok()) << "another address need not wait";
  now += std::chrono::seconds(31);
  EXPECT_EQ(sessions.open("wrong", "", "a", now).failure().code, "session.pass");
  now += std::chrono::seconds(31);
  EXPECT_EQ(sessions.open(kPass, "", "a", now).failure().code, "session.limit") << "now a minute";
  now += std::chrono::seconds(30);
  EXPECT_TRUE(sessions.open(kPass, "", "a", now).ok());
}

TEST(Sessions, Cookies) {
  EXPECT_EQ(cookie("a=1; bight-session=xyz; b=2", kCookie), "xyz");
  EXPECT_EQ(cookie("bight-session=xyz", kCookie), "xyz");
  EXPECT_EQ(cookie("xbight-session=no; bight-sessions=no", kCookie), "");
  EXPECT_EQ(cookie("", kCookie), "");
}

}  // namespace
}  // namespace bight::service
