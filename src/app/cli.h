// The command line as a function, so that tests can call it.
#pragma once

#include <string>
#include <vector>

#include "app/terminal.h"

namespace bight::app {

// Runs `bight args…` and returns the exit code. Never throws, never exits.
int run(const std::vector<std::string>& args, Terminal& terminal);

}  // namespace bight::app
