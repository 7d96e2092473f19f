#include <memory>

#include "app/bend_answer.h"
#include "app/commands.h"
#include "app/inputs.h"

namespace bight::app {

namespace {

int run_bend(const BendQuestion& question, bool json, Terminal& terminal) {
  const base::Result<BendAnswer> answer = answer_bend(question);
  if (!answer.ok()) return report(terminal, answer.failure());
  if (json) {
    terminal.out << bend_json(*answer).dump(2) << "\n";
  } else {
    terminal.out << bend_text(*answer, terminal.colour);
  }
  return part::any_stop(answer->findings) ? kStopped : kDone;
}

}  // namespace

void add_bend(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("bend", "what the metal does in one bend: springback, walls, torque");
  command->footer(
      "Examples:\n"
      "  bight bend --size \"38.1x1.65\" --material \"1020 DOM\" --die-radius 114.3 --angle 90\n"
      "  bight bend bar 20 --die-radius 60 --law perfect --yield 350 --youngs 205000\n"
      "  bight bend --size \"25.4x1.65\" --die-radius 2in --swift 1425,0.02,0.5 --json\n"
      "Ends with 2 when a finding says stop, with 3 when something cannot be read.");
  const auto q = std::make_shared<BendQuestion>();
  const auto json = std::make_shared<bool>(false);
  const auto size = std::make_shared<std::vector<std::string>>();
  add_size_option(*command, *size);
  command->add_option("--material", q->material, "metal")->capture_default_str();
  command->add_option("--die-radius", q->die_radius, "centreline radius of the die")->required();
  command->add_option("--angle", q->angle, "finished bend angle")->capture_default_str();
  command->add_option("--support", q->support, "what holds the section: free, die or mandrel")
      ->check(CLI::IsMember({"free", "die", "mandrel"}))
      ->capture_default_str();
  command->add_option("--law", q->law, "perfect: no hardening")->check(CLI::IsMember({"perfect"}));
  command->add_option("--yield", q->yield_mpa, "Rp0.2 in MPa");
  command->add_option("--youngs", q->youngs_mpa, "Young's modulus in MPa");
  command->add_option("--hollomon", q->hollomon, "K,n: stress = K strain^n, MPa");
  command->add_option("--swift", q->swift, "K,e0,n: stress = K (e0 + plastic strain)^n, MPa");
  command->add_option("--rated-torque", q->rated_torque_nm, "bender's torque at the die, N m");
  command->add_option("--power", q->power_w, "bender's motor power, W");
  command->add_option("--max-rpm", q->max_rpm, "bender's fastest die speed, 1/min");
  command->add_flag("--json", *json, "print the answer as JSON");
  command->callback([=, &terminal, &action] {
    q->size = as_one_text(*size);
    action = [=, &terminal] { return run_bend(*q, *json, terminal); };
  });
}

}  // namespace bight::app
