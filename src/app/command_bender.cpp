#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "app/bench_commands.h"
#include "app/inputs.h"
#include "app/run_files.h"
#include "exchange/check_document.h"

namespace bight::app {

namespace {

using running::CheckedValue;
using running::CheckResult;
using running::Fitness;

struct CheckArguments {
  std::string bender, file, shop;
  bool json = false;
};

// A value in its unit; a scale in percent.
std::string worded(double value, const std::string& unit) {
  if (unit == "deg") return fmt::format("{:+.2f}°", value);
  if (unit == "ratio") return fmt::format("{:+.2f} %", 100.0 * value);
  return fmt::format("{:+.2f} mm", value);
}

std::string value_line(const std::string& what, const std::string& unit,
                       const CheckedValue& value) {
  return fmt::format("  {:<15} {:>9}  between {} and {}, allowed ±{}: {}\n", what,
                     worded(value.value, unit), worded(value.interval.low, unit),
                     worded(value.interval.high, unit), worded(value.limit, unit).substr(1),
                     running::word(value.fitness));
}

std::string scale_text(const std::string& name, const std::optional<running::ScaleCheck>& check) {
  if (!check) return "";
  std::string text =
      value_line(check->scale_ratio ? name + " zero" : name + " off", "deg", check->zero_deg);
  if (check->scale_ratio) text += value_line(name + " scale", "ratio", *check->scale_ratio);
  return text;
}

bool off(const std::optional<CheckedValue>& value) {
  return value && value->fitness == Fitness::kOff;
}

// What to do about what is off; the machine's manual comes first.
std::string advice_text(const CheckResult& result) {
  std::string text;
  const auto scale = [&](const std::optional<running::ScaleCheck>& check, const char* name) {
    if (!check) return;
    if (off(check->zero_deg)) {
      text += fmt::format("  {}: set the zero by the machine's manual, then check again\n", name);
    }
    if (off(check->scale_ratio)) {
      text += fmt::format(
          "  {}: look for play and wear first; a scale that stays off is set by the machine's "
          "manual; until then key in the angle divided by {:.4f}\n",
          name, 1.0 + check->scale_ratio->value);
    }
  };
  scale(result.angle, "angle");
  scale(result.rotation, "rotation");
  if (off(result.slip_mm)) {
    text +=
        "  clamp: the tube slips; clean clamp and tube of lubricant, look at the clamp's "
        "surface, length and pressure, with the machine locked out\n";
  }
  if (result.fitness == Fitness::kOpen) {
    text += "  open: more readings, wider apart, or a better gauge decide\n";
  }
  return text;
}

std::string trend_text(const running::CheckTrend& trend) {
  std::string text =
      fmt::format("  {:<15} {:>9} a month, between {} and {}, {} checks", trend.what,
                  worded(trend.per_month, trend.unit), worded(trend.interval.low, trend.unit),
                  worded(trend.interval.high, trend.unit), trend.count);
  if (trend.days_left) text += fmt::format(": its limit in {:.0f} days", *trend.days_left);
  return text + "\n";
}

// The log, held against the bender that was named.
base::Result<exchange::CheckLog> load_log(const CheckArguments& arguments) {
  BIGHT_TRY(const workshop::Shop shop, load_shop(arguments.shop));
  const bool known =
      std::any_of(shop.benders.begin(), shop.benders.end(),
                  [&](const workshop::Bender& b) { return b.name == arguments.bender; });
  if (!known) {
    std::string names;
    for (const workshop::Bender& b : shop.benders) names += (names.empty() ? "" : ", ") + b.name;
    return base::Failure{"check.bender", arguments.bender, "the shop has no such bender",
                         "one of: " + names};
  }
  BIGHT_TRY(const exchange::Document document, load_document(arguments.file));
  BIGHT_TRY(exchange::CheckLog log, exchange::read_check_log(document));
  if (!log.bender.empty() && log.bender != arguments.bender) {
    return base::Failure{
        "check.bender", arguments.file,
        fmt::format("this is the log of \"{}\", not of \"{}\"", log.bender, arguments.bender),
        "give that bender's own log"};
  }
  log.bender = arguments.bender;
  return log;
}

int run_check(const CheckArguments& arguments, Terminal& terminal) {
  const base::Result<exchange::CheckLog> log = load_log(arguments);
  if (!log.ok()) return report(terminal, log.failure());
  std::vector<CheckResult> results;
  for (const running::MachineCheck& check : log->checks) {
    const base::Result<CheckResult> result = running::check_machine(check, log->limits);
    if (!result.ok()) return report(terminal, result.failure());
    results.push_back(*result);
  }
  const std::vector<running::CheckTrend> trends = running::trends_of(results);
  const CheckResult& last = results.back();
  if (arguments.json) {
    terminal.out << exchange::check_json(log->bender, results, trends).dump(2) << "\n";
  } else {
    terminal.out << fmt::format("{}, {}{}{}: {}\n", log->bender,
                                running::print_moment(last.at).substr(0, 10),
                                last.who.empty() ? "" : ", ", last.who, running::word(last.fitness))
                 << scale_text("angle", last.angle) << scale_text("rotation", last.rotation);
    if (last.slip_mm) terminal.out << value_line("slip", "mm", *last.slip_mm);
    terminal.out << advice_text(last);
    if (!trends.empty()) terminal.out << "over the checks so far\n";
    for (const running::CheckTrend& trend : trends) terminal.out << trend_text(trend);
  }
  return last.fitness == Fitness::kOff ? kStopped : kDone;
}

}  // namespace

void add_bender(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* bender = root.add_subcommand("bender", "a bender's own state: its checks");
  bender->require_subcommand(1);
  CLI::App* command = bender->add_subcommand(
      "check", "zero, angle scale, rotation scale and clamp slip from a few known bends");
  command->footer(
      "Examples:\n"
      "  bight bender check 'Long bench' long-bench-checks.toml\n"
      "The log holds every check so far; add the next one below. docs/formats/bender_check.md.\n"
      "Ends with 0, with 2 when something is off, with 3 when an input cannot be read.");
  const auto arguments = std::make_shared<CheckArguments>();
  command->add_option("BENDER", arguments->bender, "its name in the shop")->required();
  command->add_option("LOG", arguments->file, "log of its checks: TOML or JSON")->required();
  command->add_option("--shop", arguments->shop,
                      "shop folder (default: $BIGHT_SHOP, else the demo shop)");
  command->add_flag("--json", arguments->json, "print all checks and trends as JSON");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_check(*arguments, terminal); };
  });
}

}  // namespace bight::app
