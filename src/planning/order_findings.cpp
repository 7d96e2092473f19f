#include "planning/order_findings.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "planning/clearance_words.h"
#include "planning/words.h"

namespace bight::planning {

using base::LengthStyle;
using clearance::Nearest;
using part::Finding;
using part::Severity;

namespace {

constexpr const char* kCompared = "certified comparison with the bodies of the shop's bender";
constexpr const char* kCommonPractice = "common practice, no source";

std::string stop_words(const ordering::StepReport& step, const LengthStyle& style) {
  const std::string at = fmt::format(" at bend {}", step.placed.bend + 1);
  const std::optional<Nearest>& itself = step.clearance.itself;
  const std::optional<Nearest>& nearest = step.clearance.nearest;
  for (const std::optional<Nearest>* found : {&nearest, &itself}) {
    if (!found->has_value() || !(*found)->hit()) continue;
    return fmt::format("hits {} by {}{}", the_body(**found), say(-(*found)->low_mm, style), at);
  }
  if (!step.limits.empty()) return "is beyond the carriage's reach" + at;
  return (step.clamp_fits() ? "has no straight for the pressure die"
                            : "has no straight for the clamp") +
         at;
}

std::string count(std::size_t number, const char* one, const char* more) {
  if (number == 0) return "";
  return number == 1 ? fmt::format(", needs one {}", one)
                     : fmt::format(", needs {} {}", number, more);
}

// "in drawing order from end B", "bends 2, 3, 1 with end A ahead", "bends 2A, 1B".
std::string name_of(const BendOrder& order) {
  if (order.empty()) return "no bends";
  const bool one_end = std::all_of(order.begin(), order.end(), [&](const PlacedBend& placed) {
    return placed.front == order.front().front;
  });
  const char* end = letter_of(order.front().front);
  if (order == drawn_order(order.size(), order.front().front)) {
    return fmt::format("in drawing order from end {}", end);
  }
  std::vector<std::string> bends;
  for (const PlacedBend& placed : order) {
    bends.push_back(fmt::format("{}{}", placed.bend + 1, one_end ? "" : letter_of(placed.front)));
  }
  return fmt::format("bends {}{}", fmt::join(bends, ", "),
                     one_end ? fmt::format(" with end {} ahead", end) : std::string());
}

std::string how_it_goes(const ordering::Order& order, const LengthStyle& style) {
  const Nearest* tightest = nullptr;
  for (const ordering::StepReport& step : order.steps) {
    if (step.stops()) return stop_words(step, style);
    for (const auto* found : {&step.clearance.nearest, &step.clearance.itself}) {
      if (!found->has_value()) continue;
      if (tightest == nullptr || (*found)->low_mm < tightest->low_mm) tightest = &**found;
    }
  }
  if (tightest == nullptr) return "comes near to nothing";
  return fmt::format("clears {} by {}", the_body(*tightest), say_at_least(tightest->low_mm, style));
}

// The best other order that works, as a remedy; empty where none is known. It is read at the
// command line, on the page and on paper, so it names the order and no way to ask for it.
std::string other_order(const Plan& plan) {
  for (const WorkOrder& other : plan.alternatives) {
    if (!other.works()) continue;
    return fmt::format("take another order: {}, which {}", other.name, other.words);
  }
  return "";
}

class OrderWriter {
 public:
  OrderWriter(const Plan& plan, const ChosenOrder& chosen, const OrderQuestion& question,
              const LengthStyle& style)
      : plan_(plan), chosen_(chosen), question_(question), style_(style) {}

  std::vector<Finding> write() {
    changed();
    for (const Step& step : plan_.steps) {
      if (step.flipped) flip(step);
      if (step.clearing.has_value()) compared(step);
    }
    not_compared();
    unproven();
    return std::move(out_);
  }

 private:
  void changed() {
    if (!chosen_.changed) return;
    out_.push_back(
        {Severity::kCaution,
         "order.changed",
         std::nullopt,
         fmt::format("in drawing order from end {} the tube {}; it is worked instead: "
                     "{}, which {}",
                     letter_of(question_.from), drawn_words(), plan_.order.name, plan_.order.words),
         "follow the steps as listed, or ask for the drawing order all the same",
         kCompared,
         {}});
  }

  std::string drawn_words() const {
    const BendOrder drawn = drawn_order(plan_.steps.size(), question_.from);
    for (const TriedOrder& other : chosen_.others) {
      if (other.bends() == drawn && other.judged) return how_it_goes(*other.judged, style_);
    }
    return "cannot be worked";
  }

  void flip(const Step& step) {
    const bool wheel = plan_.bender->degree_wheel;
    out_.push_back({Severity::kCaution,
                    "order.flip",
                    step.bend,
                    fmt::format("before bend {} the tube is turned end for end: end {} goes ahead "
                                "from here on",
                                step.bend, letter_of(step.front)),
                    fmt::format("lay bend {} flat with its inside towards the die{}, then turn to "
                                "the new plane",
                                step.rotation_from.value_or(step.bend),
                                wheel ? ", set the wheel to its zero" : ""),
                    kCommonPractice,
                    {}});
  }

  void compared(const Step& step) {
    const StepClearing& found = *step.clearing;
    for (const auto* near : {&found.clearance.nearest, &found.clearance.itself}) {
      if (!near->has_value()) continue;
      if ((*near)->hit()) {
        hit(step, **near);
      } else if ((*near)->low_mm < question_.options.agreed.margin_mm) {
        margin(step, **near);
      }
    }
    for (const clearance::Limit& limit : found.limits) {
      out_.push_back({Severity::kStop,
                      limit.code,
                      step.bend,
                      limit.message,
                      "start from the other end; a hand-placed bender",
                      "the shop's data of bender " + plan_.bender->name,
                      {{"needed_mm", limit.needed_mm}, {"allowed_mm", limit.allowed_mm}}});
    }
  }

  void hit(const Step& step, const Nearest& near) {
    const std::string place =
        fmt::format("{}, {} from end A of the blank", when(near), say(near.along_mm, style_));
    const std::string other = other_order(plan_);
    const auto remedy = [&](const char* own) {
      return other.empty() ? std::string(own) : other + "; " + own;
    };
    const std::map<std::string, double> numbers = {
        {"clearance_mm", near.low_mm}, {"along_mm", near.along_mm}, {"die_deg", near.angle.deg()}};
    if (near.keep_out) {
      out_.push_back({Severity::kStop, "order.keep-out", step.bend,
                      fmt::format("the tube swings through {} by up to {} {}", the_body(near),
                                  say(-near.low_mm, style_), place),
                      remedy("stand elsewhere for this step and mark the place off"), kCompared,
                      numbers});
      return;
    }
    out_.push_back({Severity::kStop, "order.hit", step.bend,
                    fmt::format("the tube hits {} by up to {} {}", the_body(near),
                                say(-near.low_mm, style_), place),
                    remedy("another bender, or two pieces joined"), kCompared, numbers});
  }

  void margin(const Step& step, const Nearest& near) {
    const double agreed_mm = question_.options.agreed.margin_mm;
    out_.push_back({Severity::kCaution,
                    "order.margin",
                    step.bend,
                    fmt::format("the tube passes {} with {} {}, {} from end A of the blank; {} is "
                                "agreed",
                                the_body(near), say_at_least(near.low_mm, style_), when(near),
                                say(near.along_mm, style_), say(agreed_mm, style_)),
                    "watch it there the first time, slowly",
                    kCompared,
                    {{"clearance_mm", near.low_mm}, {"agreed_mm", agreed_mm}}});
  }

  void not_compared() {
    std::vector<std::string> said;
    if (chosen_.failure.has_value()) {
      said.push_back("nothing: " + chosen_.failure->message);
    }
    for (const Step& step : plan_.steps) {
      if (!step.clearing.has_value()) continue;
      for (const std::string& one : step.clearing->clearance.not_checked) {
        if (std::find(said.begin(), said.end(), one) == said.end()) said.push_back(one);
      }
    }
    if (said.empty()) return;
    const bool nothing = chosen_.failure.has_value();
    out_.push_back({nothing ? Severity::kCaution : Severity::kNote,
                    "order.not-compared",
                    std::nullopt,
                    nothing ? "clearance was not compared: " + chosen_.failure->message
                            : fmt::format("not compared: {}", fmt::join(said, "; ")),
                    "walk the steps through once without tube, slowly",
                    "what the comparison leaves out",
                    {}});
  }

  void unproven() {
    if (!chosen_.searched || chosen_.proven) return;
    out_.push_back({Severity::kNote,
                    "order.unproven",
                    std::nullopt,
                    "not every order was looked at: a better one may exist",
                    "",
                    "the search ends after an agreed amount of work",
                    {}});
  }

  const Plan& plan_;
  const ChosenOrder& chosen_;
  const OrderQuestion& question_;
  const LengthStyle& style_;
  std::vector<Finding> out_;
};

}  // namespace

std::vector<Finding> order_findings(const Plan& plan, const ChosenOrder& chosen,
                                    const OrderQuestion& question, const LengthStyle& style) {
  return OrderWriter(plan, chosen, question, style).write();
}

WorkOrder summed_up(const OrderQuestion& question, const TriedOrder& tried,
                    const LengthStyle& style) {
  WorkOrder out;
  out.bends = tried.bends();
  out.name = name_of(out.bends);
  for (std::size_t k = 1; k < out.bends.size(); ++k) {
    const auto die = [&](std::size_t at) {
      return question.choice.die_of_bend[out.bends[at].bend];
    };
    if (out.bends[k].front != out.bends[k - 1].front) ++out.num_flips;
    if (die(k) != die(k - 1)) ++out.num_die_changes;
  }
  if (!tried.judged.has_value()) {
    out.words = "not compared with machine and room";
    return out;
  }
  out.compared = true;
  out.num_stops = tried.judged->cost.stops;
  out.cost = tried.judged->cost;
  out.low_mm = tried.judged->low_mm;
  out.words = how_it_goes(*tried.judged, style) + count(out.num_flips, "flip", "flips") +
              count(out.num_die_changes, "change of die", "changes of die");
  return out;
}

void mark_best(const ChosenOrder& chosen, const OrderWish& wish, Plan& plan) {
  if (!chosen.searched || !chosen.proven || wish.kind == OrderWish::Kind::kGiven) return;
  WorkOrder* best = plan.order.compared ? &plan.order : nullptr;
  for (WorkOrder& other : plan.alternatives) {
    if (other.compared && (best == nullptr || other.cost < best->cost)) best = &other;
  }
  if (best != nullptr) best->best = true;
}

void offer_other_order(const Plan& plan, std::vector<Finding>& findings) {
  const std::string other = other_order(plan);
  if (other.empty()) return;
  for (Finding& finding : findings) finding.remedy = other + "; " + finding.remedy;
}

StepClearing step_clearing(const ordering::StepReport& report) {
  return {report.clearance, report.limits, report.clearance.low_mm(kInterest_mm)};
}

}  // namespace bight::planning
