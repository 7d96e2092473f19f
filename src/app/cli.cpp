#include "app/cli.h"

#include "app/bench_commands.h"
#include "app/commands.h"
#include "app/commands_records.h"
#include "app/version.h"

namespace bight::app {

int run(const std::vector<std::string>& args, Terminal& terminal) {
  CLI::App root{
      "Bight works out how a tube, pipe or bar is bent: cut length, marks, planes, set angles,\n"
      "what speaks against it, and the sheet to pin to the machine.",
      "bight"};
  root.set_version_flag("--version", std::string("bight ") + kVersion);
  root.require_subcommand(1);
  root.footer(
      "Ends with 0 when done, 1 on a wrong command line, 2 when a plan holds a stop finding or a\n"
      "measured piece is outside, 3 on unreadable input, 4 when an output cannot be written.");
  Action action;
  add_bend(root, terminal, action);
  add_plan(root, terminal, action);
  add_clear(root, terminal, action);
  add_show(root, terminal, action);
  add_convert(root, terminal, action);
  add_stock(root, terminal, action);
  add_roll(root, terminal, action);
  add_sheet(root, terminal, action);
  add_keypad(root, terminal, action);
  add_sticks(root, terminal, action);
  add_run(root, terminal, action);
  add_trouble(root, terminal, action);
  add_correct(root, terminal, action);
  add_inspect(root, terminal, action);
  add_learn(root, terminal, action);
  add_bender(root, terminal, action);
  add_serve(root, terminal, action);
  add_shop(root, terminal, action);
  add_completion(root, terminal, action);
  std::vector<std::string> reversed(args.rbegin(), args.rend());
  try {
    root.parse(reversed);
  } catch (const CLI::ParseError& error) {
    // Help and version arrive here too, with exit code 0.
    return root.exit(error, terminal.out, terminal.err) == 0 ? kDone : kUsage;
  }
  return action ? action() : kUsage;
}

}  // namespace bight::app
