// Commands on the shop's records; commands.h says how commands are made.
#pragma once

#include "app/terminal.h"

namespace bight::app {

void add_serve(CLI::App& root, Terminal& terminal, Action& action);
void add_shop(CLI::App& root, Terminal& terminal, Action& action);

}  // namespace bight::app
