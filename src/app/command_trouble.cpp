#include <fmt/format.h>

#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "exchange/watch_json.h"

namespace bight::app {

namespace {

struct TroubleArguments {
  std::string symptom;
  std::vector<std::string> answers;
  PlanArguments plan;  // its file may be absent
  std::string mandrel, wiper;
  double wall_factor_ratio = 0.0;
  bool json = false;
};

std::optional<bool> yes_or_no(const std::string& text) {
  if (text.empty()) return std::nullopt;
  return text == "yes";
}

// What is said on the command line, else what the part's plan uses.
base::Result<running::TroubleFacts> facts_of(const TroubleArguments& arguments) {
  running::TroubleFacts facts;
  if (!arguments.plan.input.path.empty()) {
    BIGHT_TRY(const MadePlan made, make_plan(arguments.plan));
    if (!made.plan.dies.empty()) {
      facts.mandrel = made.plan.dies.front().die.mandrel;
      facts.wiper = made.plan.dies.front().die.wiper;
    }
    if (!made.plan.metal.empty()) {
      facts.wall_factor_ratio = made.plan.metal.front().wall_factor_ratio;
    }
  }
  if (!arguments.mandrel.empty()) facts.mandrel = yes_or_no(arguments.mandrel);
  if (!arguments.wiper.empty()) facts.wiper = yes_or_no(arguments.wiper);
  if (arguments.wall_factor_ratio > 0.0) facts.wall_factor_ratio = arguments.wall_factor_ratio;
  return facts;
}

void print_state(const running::TroubleState& state, std::ostream& out) {
  for (const std::string& line : state.log) out << "  " << line << "\n";
  if (state.undo_first) out << "Take the last change back first.\n";
  if (!state.change.empty()) {
    out << fmt::format("{}: {}.\n  ({})\n", state.change, state.how, state.source);
  }
  out << state.asks << "\n";
  for (const running::TroubleChoice& choice : state.choices) {
    out << fmt::format("  {}={}: {}\n", state.question, choice.answer, choice.means);
  }
}

int run_trouble(const TroubleArguments& arguments, Terminal& terminal) {
  const auto guide = running::TroubleGuide::built_in();
  if (!guide.ok()) return report(terminal, guide.failure());
  if (arguments.symptom.empty()) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const running::TroubleSymptom& symptom : guide->symptoms()) {
      list.push_back({{"symptom", symptom.id}, {"words", symptom.words}});
      if (!arguments.json) terminal.out << fmt::format("{:<12} {}\n", symptom.id, symptom.words);
    }
    if (arguments.json) terminal.out << list.dump(2) << "\n";
    return kDone;
  }
  const auto facts = facts_of(arguments);
  if (!facts.ok()) return report(terminal, facts.failure());
  std::vector<running::TroubleAnswer> answers;
  for (const std::string& text : arguments.answers) {
    const auto answer = running::parse_trouble_answer(text);
    if (!answer.ok()) return report(terminal, answer.failure());
    answers.push_back(*answer);
  }
  const auto state = guide->state(arguments.symptom, *facts, answers);
  if (!state.ok()) return report(terminal, state.failure());
  if (arguments.json) {
    terminal.out << exchange::trouble_json(*state).dump(2) << "\n";
  } else {
    print_state(*state, terminal.out);
  }
  return kDone;
}

}  // namespace

void add_trouble(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("trouble", "wrinkle, hump, crack, …: one change at a time");
  command->footer(
      "Examples:\n"
      "  bight trouble\n"
      "  bight trouble wrinkle\n"
      "  bight trouble wrinkle --mandrel yes --answers where=trailing wiper-fit=same\n"
      "Stop the machine before reaching in. The machine's manual and trained people come first.");
  const auto arguments = std::make_shared<TroubleArguments>();
  command->add_option("symptom", arguments->symptom, "what is wrong; left out: lists them");
  command->add_option("--answers", arguments->answers, "question=answer, in order");
  command->add_option("--part", arguments->plan.input.path, "take tools and wall from its plan");
  command->add_option("--shop", arguments->plan.shop, "shop folder for that plan");
  command->add_option("--mandrel", arguments->mandrel, "the die set has one: yes or no")
      ->check(CLI::IsMember({"yes", "no"}));
  command->add_option("--wiper", arguments->wiper, "the die set has one: yes or no")
      ->check(CLI::IsMember({"yes", "no"}));
  command->add_option("--wall-factor", arguments->wall_factor_ratio, "OD over wall");
  command->add_flag("--json", arguments->json, "print as JSON");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_trouble(*arguments, terminal); };
  });
}

}  // namespace bight::app
