#include "reader/confine.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cerrno>
#include <new>

#include "exchange/sandbox.h"

namespace bight::reader {
namespace {

// Each in a process of its own, since there is no way back.
template <typename Call>
void expect_refused(const Call& call) {
  EXPECT_EXIT(
      {
        if (!confine_process()) ::_exit(3);
        errno = 0;
        const bool refused = call() < 0 && errno == EPERM;
        ::_exit(refused ? 7 : 1);
      },
      testing::ExitedWithCode(7), "");
}

// Once confined, a process can open nothing, reach no network, start nothing.
TEST(Confine, RefusesFilesNetworkAndProcesses) {
  expect_refused([] { return ::open("/etc/hostname", O_RDONLY); });
  expect_refused([] { return ::open("/tmp/bight_confine_probe", O_WRONLY | O_CREAT, 0600); });
  expect_refused([] { return ::socket(AF_INET, SOCK_STREAM, 0); });
  expect_refused([] { return ::socket(AF_UNIX, SOCK_STREAM, 0); });
  expect_refused([] {
    char program[] = "/bin/true";
    char* const arguments[] = {program, nullptr};
    return ::execv(program, arguments);
  });
  expect_refused([] { return ::fork(); });
}

// What is open already stays usable: the answer still gets out.
TEST(Confine, OpenFilesStayUsable) {
  int ends[2];
  ASSERT_EQ(::pipe(ends), 0);
  EXPECT_EXIT(
      {
        confine_process();
        ::_exit(::write(ends[1], "x", 1) == 1 ? 7 : 1);
      },
      testing::ExitedWithCode(7), "");
  ::close(ends[0]);
  ::close(ends[1]);
}

#ifndef BIGHT_ADDRESS_SANITIZER  // whose allocator answers in its own way
void limit_address_space(std::size_t bytes) {
  const rlimit bound{bytes, bytes};
  ::setrlimit(RLIMIT_AS, &bound);
}

// A refused allocation ends the process with the status agreed for it.
TEST(Confine, RefusedMemoryEndsTheProcess) {
  EXPECT_EXIT(
      {
        limit_address_space(std::size_t{512} << 20);
        end_on_refused_memory();
        ::_exit(::operator new (std::size_t{1} << 30) == nullptr ? 1 : 2);
      },
      testing::ExitedWithCode(exchange::kExitMemory), "");
}
#endif

}  // namespace
}  // namespace bight::reader
