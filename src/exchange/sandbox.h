// Untrusted files are read by a helper process with limits on memory, time and size.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "base/result.h"

// Under this sanitizer limits on address space cannot be set.
#if defined(__SANITIZE_ADDRESS__)
#define BIGHT_ADDRESS_SANITIZER 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define BIGHT_ADDRESS_SANITIZER 1
#endif
#endif

namespace bight::exchange {

struct SandboxLimits {
  std::size_t input_bytes = std::size_t{256} << 20;  // largest file taken
  std::size_t memory_bytes = std::size_t{2} << 30;   // address space of the helper
  std::size_t output_bytes = std::size_t{16} << 20;  // longest answer taken
  double cpu_s = 60.0;                               // processor time of the helper
  double wall_s = 120.0;                             // and time on the clock
};

// Exit statuses agreed with the helper, outside those of a shell or a signal.
inline constexpr int kExitMemory = 77;   // an allocation was refused
inline constexpr int kExitUnknown = 78;  // no reader of this kind

// Where the helper is: the environment variable BIGHT_READER if set, else `bight-reader` beside
// the running executable.
std::string reader_path();

// Runs `bight-reader <kind> <arguments...>` with the file as its standard input and returns what it
// writes on its standard output: JSON, not yet judged. The helper inherits no other open file, no
// environment but the C locale, can write no file, and dies with us.
// Failure codes: sandbox.open (the file cannot be read), sandbox.size (file or answer too large),
// sandbox.reader (no helper, or none for this kind), sandbox.start (the process cannot be made),
// sandbox.time, sandbox.memory, sandbox.crash.
base::Result<std::string> run_reader(const std::string& kind, const std::string& path,
                                     const SandboxLimits& limits = {},
                                     const std::vector<std::string>& arguments = {});

}  // namespace bight::exchange
