#include "app/terminal.h"

namespace bight::app {

int report(Terminal& terminal, const base::Failure& failure, ExitCode code) {
  terminal.err << "bight: " << failure.text() << " [" << failure.code << "]\n";
  return code;
}

}  // namespace bight::app
