// The commands for measured pieces; as in commands.h.
#pragma once

#include "app/terminal.h"

namespace bight::app {

void add_correct(CLI::App& root, Terminal& terminal, Action& action);
void add_inspect(CLI::App& root, Terminal& terminal, Action& action);
void add_bender(CLI::App& root, Terminal& terminal, Action& action);
void add_learn(CLI::App& root, Terminal& terminal, Action& action);

}  // namespace bight::app
