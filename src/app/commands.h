// Every command of the program, each in a file of its own: command_<name>.cpp.
//
// A command function adds a subcommand with its options, help and examples to root. Values live in
// a shared struct captured by the callback; the callback only stores the work in `action`, so that
// nothing runs while the command line is still being read.
#pragma once

#include "app/terminal.h"

namespace bight::app {

void add_bend(CLI::App& root, Terminal& terminal, Action& action);
void add_plan(CLI::App& root, Terminal& terminal, Action& action);
void add_clear(CLI::App& root, Terminal& terminal, Action& action);
void add_show(CLI::App& root, Terminal& terminal, Action& action);
void add_convert(CLI::App& root, Terminal& terminal, Action& action);
void add_stock(CLI::App& root, Terminal& terminal, Action& action);
void add_roll(CLI::App& root, Terminal& terminal, Action& action);
void add_sheet(CLI::App& root, Terminal& terminal, Action& action);
void add_keypad(CLI::App& root, Terminal& terminal, Action& action);
void add_sticks(CLI::App& root, Terminal& terminal, Action& action);
void add_run(CLI::App& root, Terminal& terminal, Action& action);
void add_trouble(CLI::App& root, Terminal& terminal, Action& action);
void add_completion(CLI::App& root, Terminal& terminal, Action& action);

}  // namespace bight::app
