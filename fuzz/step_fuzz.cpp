// Mutated Part 21 text into the reader. The input is a script of edits on the text of a small tube.
//
// Three ways, by the first byte:
//  - text: the edited text goes through kernel and recovery in a child process, since the kernel
//    itself crashes on damaged references (in the helper that ends as sandbox.crash). A crash after
//    the kernel is done, in our own code, ends the fuzzer.
//  - scan: numbers of the scanned tube are edited and recovered here, where coverage is seen.
//  - answer: the helper's JSON is edited and read back here.
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <limits>
#include <sstream>
#include <string>

#include "base/check.h"
#include "exchange/step_reading.h"
#include "exchange/step_write.h"
#include "reader/recover.h"
#include "reader/step_scan.h"

using namespace bight;

namespace {

std::string tube_text() {
  using base::Angle;
  const auto table = geometry::BendTable::make(
      {{100, Angle(), Angle::degrees(90), 60}, {0, Angle::degrees(30), Angle::degrees(45), 60}},
      80);
  return *exchange::step_text(*stock::Section::round_tube(25, 2), geometry::lay_out(*table));
}

reader::Scan scan_of(const std::string& text) {
  std::istringstream stream(text);
  return reader::scan_step(stream).value();
}

// Takes bytes off the front of the input, zeros when it is used up.
struct Script {
  const std::uint8_t* data;
  std::size_t size;

  std::uint32_t take(int count) {
    std::uint32_t value = 0;
    for (; count > 0; --count) {
      value = value << 8 | (size > 0 ? *data : 0);
      if (size > 0) ++data, --size;
    }
    return value;
  }
};

void edit_text(Script& script, std::string& text) {
  while (script.size > 0 && !text.empty()) {
    const std::uint32_t how = script.take(1);
    const std::size_t at = script.take(3) % text.size();
    if (how < 100) {
      text[at] = static_cast<char>(script.take(1));
    } else if (how < 150) {
      text.erase(at, script.take(1));
    } else if (how < 200) {
      const std::size_t from = script.take(3) % text.size();
      text.insert(at, text.substr(from, script.take(1)));
    } else if (how < 250) {
      text.insert(at, std::to_string(script.take(2)));
    } else {
      text.resize(at);
    }
  }
}

double number(Script& script) {
  static constexpr double kOdd[] = {0.0,
                                    -0.0,
                                    1.0,
                                    -1.0,
                                    1e-300,
                                    1e300,
                                    12.5,
                                    60.0,
                                    std::numeric_limits<double>::infinity(),
                                    std::numeric_limits<double>::quiet_NaN()};
  const std::uint32_t kind = script.take(1);
  if (kind < 200) return (script.take(2) - 32768.0) / 64.0;
  return kOdd[kind % (sizeof(kOdd) / sizeof(kOdd[0]))];
}

void edit_scan(Script& script, reader::Scan& scan) {
  while (script.size > 0) {
    reader::ScanFace& face = scan.faces[script.take(1) % scan.faces.size()];
    const int axis = static_cast<int>(script.take(1) % 3);
    reader::ScanEdge& edge = scan.edges[script.take(1) % scan.edges.size()];
    switch (script.take(1) % 11) {
      case 0:
        face.kind = static_cast<reader::SurfaceKind>(script.take(1) % 6);
        break;
      case 1:
        face.origin_mm[axis] = number(script);
        break;
      case 2:
        face.axis[axis] = number(script);
        break;
      case 3:
        face.radius_mm = number(script);
        break;
      case 4:
        face.minor_mm = number(script);
        break;
      case 5:
        face.regular = !face.regular;
        break;
      case 6:
        face.edges.clear();
        break;
      case 7:
        face.grid[script.take(1) % face.grid.size()].point_mm[axis] = number(script);
        break;
      case 8:
        face.grid[script.take(1) % face.grid.size()].normal[axis] = number(script);
        break;
      case 9:
        edge.points_mm[script.take(1) % edge.points_mm.size()][axis] = number(script);
        break;
      default:
        for (reader::Sample& sample : face.grid) sample.point_mm[axis] += number(script);
    }
  }
}

void recovered(reader::Scan scan) {
  const auto reading = reader::recover(std::move(scan), false);
  const std::string text =
      reading.ok() ? exchange::to_json(*reading) : exchange::to_json(reading.failure());
  const auto back = exchange::step_from_json(text);
  if (!reading.ok()) {
    BIGHT_CHECK(!back.ok() && back.failure().code == reading.failure().code);
  } else {
    BIGHT_CHECK(back.ok() || back.failure().code == "step.answer");
    if (back.ok()) BIGHT_CHECK(back->table == reading->table);
  }
}

void text_in_child(Script& script) {
  std::string text = tube_text();
  edit_text(script, text);
  const int kKernel = 40;
  const pid_t child = ::fork();
  if (child == 0) {
    // Whatever the kernel dies of happens under its own status.
    for (const int signal : {SIGSEGV, SIGABRT, SIGFPE, SIGBUS, SIGILL, SIGALRM}) {
      ::signal(signal, [](int) { ::_exit(40); });
    }
    ::alarm(10);
    std::istringstream stream(text);
    auto scan = reader::scan_step(stream);
    for (const int signal : {SIGSEGV, SIGABRT, SIGFPE, SIGBUS, SIGILL, SIGALRM}) {
      ::signal(signal, SIG_DFL);
    }
    ::alarm(20);
    if (scan.ok()) recovered(std::move(scan).value());
    ::_exit(0);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  BIGHT_CHECK(WIFEXITED(status) && (WEXITSTATUS(status) == 0 || WEXITSTATUS(status) == kKernel));
}

}  // namespace

// The kernel keeps a few blocks of its own until the process ends.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libTKernel\nleak:libTKXSBase\nleak:libTKSTEP\n";
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const reader::Scan kScan = scan_of(tube_text());
  static const std::string kAnswer = exchange::to_json(*reader::recover(kScan));
  // Short inputs are drawn out, so that the first minute already sees scripts of several edits.
  std::string drawn(reinterpret_cast<const char*>(data), size);
  std::uint32_t state = 1;
  for (const char byte : drawn) state = state * 16777619U ^ static_cast<unsigned char>(byte);
  const std::size_t wanted = size + (size < 16 ? state % 40 : 0);
  while (drawn.size() < wanted) {
    state = state * 1664525U + 1013904223U;
    drawn.push_back(static_cast<char>(state >> 24));
  }
  Script script{reinterpret_cast<const std::uint8_t*>(drawn.data()), drawn.size()};
  const std::uint32_t way = script.take(1);
  if (way < 16) {
    text_in_child(script);
  } else if (way < 160) {
    reader::Scan scan = kScan;
    edit_scan(script, scan);
    recovered(std::move(scan));
  } else {
    std::string text = kAnswer;
    edit_text(script, text);
    const auto reading = exchange::step_from_json(text);
    BIGHT_CHECK(reading.ok() || !reading.failure().message.empty());
  }
  return 0;
}
