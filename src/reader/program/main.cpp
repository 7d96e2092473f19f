// bight-reader <kind> [arguments]: reads one untrusted file from standard input, confined, and
// writes JSON on standard output. Started by exchange::run_reader, not by people.
#include <unistd.h>

#include <cstddef>
#include <cstring>
#include <exception>
#include <iostream>
#include <new>
#include <string>

#include "exchange/sandbox.h"
#include "exchange/step_reading.h"
#include "reader/confine.h"
#include "reader/recover.h"
#include "reader/step_scan.h"

namespace {

// Readers by kind: from standard input and the remaining arguments to JSON.
using Reader = std::string (*)(int, char**);

std::string read_step(int count, char** arguments) {
  bool swap_ends = false;
  for (int i = 0; i < count; ++i) swap_ends |= std::strcmp(arguments[i], "swap-ends") == 0;
  auto scan = bight::reader::scan_step(std::cin);
  if (!scan.ok()) return bight::exchange::to_json(scan.failure());
  auto reading = bight::reader::recover(std::move(scan).value(), swap_ends);
  return reading.ok() ? bight::exchange::to_json(*reading)
                      : bight::exchange::to_json(reading.failure());
}

Reader reader_for(const char* kind) {
  if (std::strcmp(kind, "step") == 0) return read_step;
  return nullptr;
}

bool write_all(int fd, const std::string& text) {
  std::size_t done = 0;
  while (done < text.size()) {
    const ssize_t put = ::write(fd, text.data() + done, text.size() - done);
    if (put <= 0) return false;
    done += static_cast<std::size_t>(put);
  }
  return true;
}

}  // namespace

#ifndef BIGHT_ADDRESS_SANITIZER
// The kernel's own code swallows refused allocations and goes on with half a model, which would
// then look like a damaged file. So the first refusal, by whatever way, ends this process.
extern "C" {
void* __libc_malloc(std::size_t size);                     // NOLINT: the C library's names
void* __libc_calloc(std::size_t count, std::size_t size);  // NOLINT
void* __libc_realloc(void* old, std::size_t size);         // NOLINT

static void* granted(void* block, bool wanted) {
  if (block == nullptr && wanted) ::_exit(bight::exchange::kExitMemory);
  return block;
}
void* malloc(std::size_t size) { return granted(__libc_malloc(size), size > 0); }
void* calloc(std::size_t count, std::size_t size) {
  return granted(__libc_calloc(count, size), count > 0 && size > 0);
}
void* realloc(void* old, std::size_t size) { return granted(__libc_realloc(old, size), size > 0); }
}
#endif

int main(int count, char** arguments) {
  using bight::exchange::kExitMemory;
  if (count < 2) return bight::exchange::kExitUnknown;
  const Reader reader = reader_for(arguments[1]);
  if (reader == nullptr) return bight::exchange::kExitUnknown;
  // Libraries print what they like; only the answer may reach the pipe.
  const int answer = ::dup(1);
  ::dup2(2, 1);
  bight::reader::end_on_refused_memory();
  bight::reader::confine_process();
  std::ios::sync_with_stdio(false);
  try {
    const std::string text = reader(count - 2, arguments + 2);
    ::_exit(write_all(answer, text) ? 0 : 1);
  } catch (const std::bad_alloc&) {
    ::_exit(kExitMemory);
  } catch (const std::exception&) {
    ::_exit(1);
  }
}
