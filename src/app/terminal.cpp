#include "app/terminal.h"

namespace bight::app {

int report(Terminal& terminal, const base::Failure& failure, ExitCode code) {
  // A remedy of several lines, the answers to a question, stands below the sentence.
  const bool below = failure.remedy.starts_with('\n');
  const base::Failure head{failure.code, failure.where, failure.message,
                           below ? "" : failure.remedy};
  terminal.err << "bight: " << head.text() << " [" << failure.code << "]"
               << (below ? failure.remedy : "") << "\n";
  return code;
}

}  // namespace bight::app
