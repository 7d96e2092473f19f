// What a command needs of the outside: where to print, and how it ends.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <ostream>

#include "base/result.h"

namespace bight::app {

// How a command ends. Scripts rely on these.
enum ExitCode : int {
  kDone = 0,
  kUsage = 1,       // the command line itself is wrong
  kStopped = 2,     // a plan was made and holds a stop finding
  kUnreadable = 3,  // an input could not be read
  kUnwritable = 4,  // an output could not be written
};

struct Terminal {
  std::ostream& out;
  std::ostream& err;
  bool colour = false;  // out is a terminal that shows colour
};

// Prints a failure on err, "bight: where: what (remedy) [code]", and returns the exit code.
int report(Terminal& terminal, const base::Failure& failure, ExitCode code = kUnreadable);

// A command adds itself to root; when the user chose it, its callback stores what to do.
using Action = std::function<int()>;

}  // namespace bight::app
