#include "exchange/sandbox.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <optional>

#include "exchange/stoppable.h"

namespace bight::exchange {

using base::Failure;

namespace {

// Set by Stoppable; looked at while waiting for the helper.
thread_local const std::atomic<bool>* stop_flag = nullptr;

// An open file, closed at the end of its scope.
class Descriptor {
 public:
  explicit Descriptor(int fd = -1) : fd_(fd) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() { reset(); }
  int get() const { return fd_; }
  void reset(int fd = -1) {
    if (fd_ >= 0) ::close(fd_);
    fd_ = fd;
  }

 private:
  int fd_;
};

std::string shown(const std::string& path) { return std::filesystem::path(path).filename(); }

base::Status open_input(const std::string& path, const SandboxLimits& limits, Descriptor& input) {
  input.reset(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
  if (input.get() < 0) {
    return Failure{"sandbox.open", path, std::strerror(errno), "name a file that can be read"};
  }
  struct stat info {};
  if (::fstat(input.get(), &info) != 0 || !S_ISREG(info.st_mode)) {
    return Failure{"sandbox.open", path, "this is not a plain file", "name a file"};
  }
  const auto size_bytes = static_cast<std::size_t>(info.st_size);
  if (size_bytes > limits.input_bytes) {
    return Failure{"sandbox.size", path,
                   fmt::format("the file has {:.1f} MB; at most {:.1f} MB are taken",
                               static_cast<double>(size_bytes) / 1e6,
                               static_cast<double>(limits.input_bytes) / 1e6),
                   "save only the tube, without the rest of the assembly"};
  }
  return base::Done{};
}

void limit(__rlimit_resource_t what, std::size_t value) {
  const rlimit bound{value, value};
  ::setrlimit(what, &bound);
}

// Between fork and exec: only calls that are safe there. Never returns.
[[noreturn]] void become_reader(const char* program, char* const* arguments, int input, int output,
                                const SandboxLimits& limits, pid_t parent) {
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (::getppid() != parent) ::_exit(127);
  ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
  ::setpgid(0, 0);
  const int nowhere = ::open("/dev/null", O_WRONLY);
  // The wanted numbers may be in use by the others: move both out of the way first.
  const int from = ::fcntl(input, F_DUPFD, 10);
  const int to = ::fcntl(output, F_DUPFD, 10);
  ::dup2(from, 0);
  ::dup2(to, 1);
  ::dup2(nowhere, 2);
  ::close_range(3, ~0U, 0);
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_FSIZE, 0);
  limit(RLIMIT_CPU, static_cast<std::size_t>(std::ceil(limits.cpu_s)));
#ifndef BIGHT_ADDRESS_SANITIZER  // whose shadow alone spans more address space than any limit
  limit(RLIMIT_AS, limits.memory_bytes);
#endif
  static const char* const kEnvironment[] = {"LC_ALL=C", "LANG=C", nullptr};
  ::execve(program, arguments, const_cast<char* const*>(kEnvironment));
  ::_exit(127);
}

enum class Ending { kClosed, kTooLong, kTimeOut, kStopped };

// Reads the answer until the helper closes its end, says too much or takes too long.
Ending collect(int fd, const SandboxLimits& limits, std::string& answer) {
  using Clock = std::chrono::steady_clock;
  const auto deadline = Clock::now() + std::chrono::duration<double>(limits.wall_s);
  std::array<char, 65536> block;
  while (true) {
    const auto left =
        std::chrono::duration_cast<std::chrono::milliseconds>(deadline - Clock::now()).count();
    if (left <= 0) return Ending::kTimeOut;
    if (stop_flag != nullptr && *stop_flag) return Ending::kStopped;
    const long look_ms = stop_flag != nullptr ? 100 : 60000;
    pollfd waiting{fd, POLLIN, 0};
    const int ready = ::poll(&waiting, 1, static_cast<int>(std::min<long>(left, look_ms)));
    if (ready < 0 && errno != EINTR) return Ending::kClosed;
    if (ready <= 0) continue;
    const ssize_t got = ::read(fd, block.data(), block.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return Ending::kClosed;
    answer.append(block.data(), static_cast<std::size_t>(got));
    if (answer.size() > limits.output_bytes) return Ending::kTooLong;
  }
}

// Waits for the helper, which has closed its answer; kills it should it linger.
int reap(pid_t child, bool kill_now) {
  if (kill_now) ::kill(-child, SIGKILL);
  int status = 0;
  for (int waited_ms = 0;; ++waited_ms) {
    const pid_t got = ::waitpid(child, &status, WNOHANG);
    if (got == child || (got < 0 && errno != EINTR)) return status;
    if (waited_ms == 2000) ::kill(-child, SIGKILL);
    ::usleep(1000);
  }
}

Failure too_slow(const std::string& path, const SandboxLimits& limits) {
  return {"sandbox.time", path,
          fmt::format("reading {} took longer than {:.3g} s", shown(path),
                      std::min(limits.cpu_s, limits.wall_s)),
          "save only the tube, without the rest of the assembly"};
}

// Why a helper that ended did not answer; nothing when it did.
std::optional<Failure> judge(int status, const std::string& kind, const std::string& path,
                             const SandboxLimits& limits) {
  if (WIFSIGNALED(status)) {
    const int number = WTERMSIG(status);
    if (number == SIGXCPU || number == SIGKILL) return too_slow(path, limits);
    return Failure{
        "sandbox.crash", path,
        fmt::format("reading {} failed inside the reader ({})", shown(path), ::strsignal(number)),
        "save the file again, or in another version of its format"};
  }
  const int code = WEXITSTATUS(status);
  if (code == 0) return std::nullopt;
  if (code == kExitMemory) {
    return Failure{"sandbox.memory", path,
                   fmt::format("reading {} needs more than {:.0f} MB of memory", shown(path),
                               static_cast<double>(limits.memory_bytes) / 1e6),
                   "save only the tube, without the rest of the assembly"};
  }
  if (code == kExitUnknown || code == 127) {
    return Failure{"sandbox.reader", reader_path(),
                   fmt::format("no reader for files of kind '{}' could be started", kind),
                   "install bight-reader beside the program"};
  }
  return Failure{"sandbox.crash", path,
                 fmt::format("reading {} failed inside the reader (status {})", shown(path), code),
                 "save the file again, or in another version of its format"};
}

}  // namespace

Stoppable::Stoppable(const std::atomic<bool>& flag) { stop_flag = &flag; }
Stoppable::~Stoppable() { stop_flag = nullptr; }

std::string reader_path() {
  if (const char* named = std::getenv("BIGHT_READER"); named != nullptr && *named != '\0') {
    return named;
  }
  std::error_code ignored;
  const auto self = std::filesystem::read_symlink("/proc/self/exe", ignored);
  return self.parent_path() / "bight-reader";
}

base::Result<std::string> run_reader(const std::string& kind, const std::string& path,
                                     const SandboxLimits& limits,
                                     const std::vector<std::string>& arguments) {
  Descriptor input;
  BIGHT_TRY([[maybe_unused]] const base::Done opened, open_input(path, limits, input));
  const std::string program = reader_path();
  if (::access(program.c_str(), X_OK) != 0) {
    return Failure{"sandbox.reader", program, "the helper program that reads files is missing",
                   "install bight-reader beside the program"};
  }
  std::vector<char*> words;
  std::vector<std::string> held = {program, kind};
  held.insert(held.end(), arguments.begin(), arguments.end());
  for (std::string& word : held) words.push_back(word.data());
  words.push_back(nullptr);

  int ends[2] = {-1, -1};
  if (::pipe2(ends, O_CLOEXEC) != 0) {
    return Failure{"sandbox.start", program, std::strerror(errno), ""};
  }
  Descriptor ours(ends[0]);
  Descriptor theirs(ends[1]);
  const pid_t parent = ::getpid();
  const pid_t child = ::fork();
  if (child < 0) return Failure{"sandbox.start", program, std::strerror(errno), ""};
  if (child == 0) {
    become_reader(program.c_str(), words.data(), input.get(), theirs.get(), limits, parent);
  }
  ::setpgid(child, child);  // also here: whichever of the two processes runs first
  theirs.reset();
  std::string answer;
  const Ending ending = collect(ours.get(), limits, answer);
  const int status = reap(child, ending != Ending::kClosed);
  if (ending == Ending::kTimeOut) return too_slow(path, limits);
  if (ending == Ending::kStopped) {
    return Failure{"sandbox.stopped", path, fmt::format("reading {} was stopped", shown(path)), ""};
  }
  if (ending == Ending::kTooLong) {
    return Failure{"sandbox.size", path,
                   fmt::format("the answer for {} is longer than {:.1f} MB", shown(path),
                               static_cast<double>(limits.output_bytes) / 1e6),
                   "save only the tube, without the rest of the assembly"};
  }
  if (auto failure = judge(status, kind, path, limits)) return std::move(*failure);
  return answer;
}

}  // namespace bight::exchange
