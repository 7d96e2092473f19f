#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>

#include "app/commands.h"

namespace bight::app {

namespace {

// Names of the subcommands, and of one command's options ("--json").
std::vector<std::string> command_names(const CLI::App& root) {
  std::vector<std::string> names;
  for (const CLI::App* command : root.get_subcommands({})) names.push_back(command->get_name());
  return names;
}

std::vector<std::string> option_names(const CLI::App& command) {
  std::vector<std::string> names;
  for (const CLI::Option* option : command.get_options()) {
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  }
  return names;
}

std::string bash_script(const CLI::App& root) {
  std::string cases;
  for (const CLI::App* command : root.get_subcommands({})) {
    cases += fmt::format("    {}) words=\"{}\" ;;\n", command->get_name(),
                         fmt::join(option_names(*command), " "));
  }
  return fmt::format(
      "_bight() {{\n"
      "  local current=\"${{COMP_WORDS[COMP_CWORD]}}\" words=\"\"\n"
      "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
      "    COMPREPLY=($(compgen -W \"{} --help --version\" -- \"$current\"))\n"
      "    return\n"
      "  fi\n"
      "  case \"${{COMP_WORDS[1]}}\" in\n{}  esac\n"
      "  case \"$current\" in\n"
      "    -*) COMPREPLY=($(compgen -W \"$words\" -- \"$current\")) ;;\n"
      "    *) COMPREPLY=($(compgen -f -- \"$current\")) ;;\n"
      "  esac\n"
      "}}\n"
      "complete -o filenames -F _bight bight\n",
      fmt::join(command_names(root), " "), cases);
}

std::string zsh_script(const CLI::App& root) {
  return "autoload -U +X bashcompinit && bashcompinit\n" + bash_script(root);
}

std::string fish_script(const CLI::App& root) {
  std::string script = fmt::format("complete -c bight -n __fish_use_subcommand -f -a '{}'\n",
                                   fmt::join(command_names(root), " "));
  for (const CLI::App* command : root.get_subcommands({})) {
    for (const std::string& option : option_names(*command)) {
      script += fmt::format("complete -c bight -n '__fish_seen_subcommand_from {}' -l {}\n",
                            command->get_name(), option.substr(2));
    }
  }
  return script;
}

}  // namespace

void add_completion(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("completion", "print the completion script of your shell");
  command->footer(
      "Examples:\n"
      "  source <(bight completion bash)\n"
      "  bight completion fish > ~/.config/fish/completions/bight.fish");
  const auto shell = std::make_shared<std::string>();
  command->add_option("SHELL", *shell, "bash, zsh or fish")
      ->required()
      ->check(CLI::IsMember({"bash", "zsh", "fish"}));
  command->callback([=, &root, &terminal, &action] {
    action = [=, &root, &terminal] {
      terminal.out << (*shell == "bash"  ? bash_script(root)
                       : *shell == "zsh" ? zsh_script(root)
                                         : fish_script(root));
      return static_cast<int>(kDone);
    };
  });
}

}  // namespace bight::app
