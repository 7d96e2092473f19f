#include <unistd.h>

#include <cstdlib>
#include <iostream>
#include <string>
#include <vector>

#include "app/cli.h"

int main(int argc, char** argv) {
  const bool colour = isatty(STDOUT_FILENO) != 0 && std::getenv("NO_COLOR") == nullptr;
  bight::app::Terminal terminal{std::cout, std::cerr, colour};
  const int code = bight::app::run(std::vector<std::string>(argv + 1, argv + argc), terminal);
  std::cout.flush();
  // A reader that went away (a closed pipe) is no error of ours; a full disk is.
  if (!std::cout && code == bight::app::kDone && errno != EPIPE) return bight::app::kUnwritable;
  return code;
}
