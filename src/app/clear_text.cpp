#include "app/clear_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "planning/clearance_words.h"
#include "planning/words.h"

namespace bight::app {

using base::LengthStyle;
using clearance::Nearest;
using planning::say;
using planning::what;
using planning::when;

namespace {

// "0.0 mm" would hide how close it is: what is certain is rounded down.
std::string line_of(const Nearest& n, const LengthStyle& style) {
  const std::string place =
      fmt::format("{}; {} from end A of the blank", when(n), say(n.along_mm, style));
  if (n.hit()) {
    return fmt::format("HITS {} by up to {} {}", what(n), say(std::max(0.0, -n.low_mm), style),
                       place);
  }
  return fmt::format("{} from {} {}", planning::say_at_least(n.low_mm, style), what(n), place);
}

}  // namespace

std::string clear_text(const planning::Plan& plan, const planning::Clearing& clearing,
                       const std::vector<planning::StepAnswer>& answers, const LengthStyle& style,
                       bool colour) {
  const std::string red = colour ? "\033[1;31m" : "";
  const std::string plain = colour ? "\033[0m" : "";
  std::string out = plan.part.name + "\n";
  out += fmt::format("  bender    {}\n", clearing.bender.name);
  std::size_t num_stops = 0;
  std::optional<clearance::Front> front;
  for (std::size_t k = 0; k < answers.size(); ++k) {
    const planning::StepAnswer& answer = answers[k];
    const clearance::Step& step = clearing.steps[k];
    if (answer.stops()) ++num_stops;
    const bool flips = front.has_value() && *front != step.front;
    front = step.front;
    out += fmt::format("\n  step {}    bend {}, die {}, end {} ahead{}\n", k + 1, step.bend + 1,
                       plan.steps[k].die, step.front == clearance::Front::kEndA ? "A" : "B",
                       flips ? ", turned end for end" : "");
    const auto add = [&](const std::optional<Nearest>& nearest) {
      if (!nearest.has_value()) return;
      const std::string line = line_of(*nearest, style);
      out += "            " + (nearest->hit() ? red + line + plain : line) + "\n";
    };
    if (!answer.clearance.nearest.has_value()) out += "            nothing within 1 m\n";
    add(answer.clearance.nearest);
    add(answer.clearance.itself);
    for (const clearance::Limit& limit : answer.limits) {
      out += fmt::format("            {}STOP: {}{}\n                {}\n", red, limit.message,
                         plain, limit.code);
    }
  }
  out += num_stops == 0
             ? fmt::format("\n  All {} steps clear.\n", answers.size())
             : fmt::format("\n  {} of {} steps do not work.\n", num_stops, answers.size());
  for (const std::string& said : planning::not_checked(answers)) {
    out += fmt::format("  not compared: {}\n", said);
  }
  return out;
}

}  // namespace bight::app
