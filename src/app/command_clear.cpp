#include <filesystem>
#include <fstream>
#include <memory>

#include "app/clear_text.h"
#include "app/commands.h"
#include "app/inputs.h"
#include "exchange/clear_json.h"
#include "exchange/film_gltf.h"

namespace bight::app {

namespace {

struct ClearArguments {
  PlanArguments plan;
  bool json = false;
  std::string film;
};

base::Status write_file(const std::string& path, const std::string& bytes) {
  std::ofstream stream(path, std::ios::binary);
  stream << bytes;
  stream.close();
  if (!stream) {
    return base::Failure{"clear.write", path, "the file cannot be written",
                         "check folder, rights and free space"};
  }
  return base::Done{};
}

base::Status write_film(const std::string& path, const planning::Clearing& clearing,
                        const std::vector<planning::StepAnswer>& answers) {
  const std::string ending = std::filesystem::path(path).extension().string();
  if (ending == ".gltf" || ending == ".glb") {
    BIGHT_TRY(const std::string bytes, exchange::film_gltf(clearing, ending == ".glb"));
    return write_file(path, bytes);
  }
  if (ending == ".json") {
    BIGHT_TRY(const nlohmann::ordered_json json, exchange::film_json(clearing, answers));
    return write_file(path, json.dump() + "\n");
  }
  return base::Failure{"clear.film", path, "a film is not written under this name",
                       "end it in .glb, .gltf or .json"};
}

int run_clear(const ClearArguments& arguments, Terminal& terminal) {
  const base::Result<MadePlan> made = make_plan(arguments.plan);
  if (!made.ok()) return report(terminal, made.failure());
  const base::Result<planning::Clearing> clearing = planning::clearing(made->plan);
  if (!clearing.ok()) return report(terminal, clearing.failure());
  const auto answers = planning::clear_steps(*clearing);
  if (!answers.ok()) return report(terminal, answers.failure());
  if (!arguments.film.empty()) {
    const base::Status written = write_film(arguments.film, *clearing, *answers);
    if (!written.ok()) return report(terminal, written.failure(), kUnwritable);
  }
  bool stops = false;
  for (const planning::StepAnswer& answer : *answers) stops = stops || answer.stops();
  if (arguments.json) {
    terminal.out << exchange::clear_json(made->plan, *clearing, *answers).dump(2) << "\n";
  } else {
    terminal.out << clear_text(made->plan, *clearing, *answers, made->style, terminal.colour);
  }
  return stops || part::any_stop(made->plan.findings) ? kStopped : kDone;
}

}  // namespace

void add_clear(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand(
      "clear", "how near the tube comes to machine, room and itself in every step");
  command->footer(
      "Examples:\n"
      "  bight clear rail.toml\n"
      "  bight clear rail.toml --shop ~/shop --from B\n"
      "  bight clear rail.toml --json | jq '.steps[].nearest.low_mm'\n"
      "  bight clear rail.toml --film rail.glb\n"
      "Distances are certified: the tube never comes nearer than printed, at no moment of the\n"
      "movement. Ends with 0, with 2 when a step hits or cannot be reached or the plan holds a\n"
      "stop, with 3 when the part cannot be read or has no steps.");
  const auto arguments = std::make_shared<ClearArguments>();
  add_plan_options(*command, arguments->plan);
  command->add_flag("--json", arguments->json, "print the answer as JSON");
  command->add_option("--film", arguments->film,
                      "write the movement as a film: .glb, .gltf (animation) or .json");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_clear(*arguments, terminal); };
  });
}

}  // namespace bight::app
