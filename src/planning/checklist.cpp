#include "planning/checklist.h"

#include <fmt/format.h>

#include <algorithm>

#include "planning/words.h"

namespace bight::planning {

namespace {

constexpr const char* kPractice = "common practice, no source";
constexpr const char* kShortList = "trade press: a short list before the start prevents crashes";
constexpr const char* kToolsFirst = "trade press: tools are set first, pressure last";

// Longest piece of tube that can swing: what lies ahead of a bend, stretched out.
double longest_ahead_mm(const Plan& plan) {
  double longest_mm = 0.0;
  for (const Step& step : plan.steps) {
    longest_mm =
        std::max(longest_mm, plan.blank.front == End::kA ? step.mark_mm : step.mark_from_b_mm);
  }
  return longest_mm;
}

class Writer {
 public:
  Writer(const Plan& plan, const base::LengthStyle& style) : plan_(plan), style_(style) {}

  Checklist write() {
    machine();
    for (std::size_t i = 0; i < plan_.dies.size(); ++i) die(i);
    stock();
    people();
    return std::move(list_);
  }

 private:
  void add(std::string id, std::string text, const char* source, bool safety = false) {
    list_.items.push_back({std::move(id), std::move(text), source, safety});
  }

  void machine() {
    add("axis-zero", "Bend axis at zero, die back in its starting place, clamp and slide open.",
        kPractice);
    if (plan_.bender && plan_.bender->kind == workshop::BenderKind::kCarriageFed) {
      add("carriage-zero", "Carriage and collet at zero; the collet turns and grips freely.",
          kPractice);
    } else if (plan_.bender && plan_.bender->degree_wheel) {
      add("wheel-zero", "Degree wheel at zero with the first bend's plane level.", kPractice);
    }
  }

  void die(std::size_t index) {
    const UsedDie& used = plan_.dies[index];
    const workshop::DieSet& die = used.die;
    const std::string tag = plan_.dies.size() == 1 ? "" : fmt::format("-{}", index + 1);
    const std::string groove = die.groove.round
                                   ? say(die.groove.height_mm, style_)
                                   : fmt::format("{} × {}", say(die.groove.height_mm, style_),
                                                 say(die.groove.width_mm, style_));
    add("die-match" + tag,
        fmt::format("Die set {}: stamped radius {}, groove {}; the tube measured with a "
                    "calliper lies in it without rocking.",
                    die.name, say(die.radius_mm, style_), groove),
        kPractice);
    add("clamp" + tag,
        fmt::format("Clamp of the same groove, clean and dry; it needs {} of straight tube.",
                    say(die.clamp_mm, style_)),
        kToolsFirst);
    add("support" + tag,
        "Pressure die of the same groove, its setting found anew for this tube: start low, raise "
        "last.",
        kToolsFirst);
    if (die.mandrel) mandrel(index, tag);
    if (die.wiper) {
      add("wiper" + tag,
          "Wiper: tip close to the tangent without touching the groove, raked back a little, edge "
          "not worn.",
          kToolsFirst);
    }
    if (die.mandrel || die.wiper) {
      add("lubricant" + tag,
          "Lubricant on mandrel and wiper, the same kind and as little as works for the whole lot; "
          "clamp and tube's outside dry.",
          kPractice);
    } else {
      add("lubricant" + tag,
          "Groove clean; a film of lubricant where the tube slides, none in the "
          "clamp.",
          kPractice);
    }
  }

  void mandrel(std::size_t index, const std::string& tag) {
    std::string text = "Mandrel: the body's front edge (not the balls) set ahead of the tangent";
    if (index < plan_.metal.size() && plan_.metal[index].nose_advance_mm) {
      text += fmt::format(", start at {}", say(*plan_.metal[index].nose_advance_mm, style_));
    }
    add("mandrel" + tag, text + "; rod locked, nose not worn. Not used: drawn back and said so.",
        kToolsFirst);
  }

  void stock() {
    const std::string heat =
        plan_.part.material.heat.empty() ? "" : ", heat " + plan_.part.material.heat;
    add("blank",
        fmt::format("Blank: {} of {}{}, cut to {}, deburred inside and out, ends marked A "
                    "and B.",
                    plan_.part.tube_text.empty() ? "tube" : plan_.part.tube_text,
                    plan_.part.material.name, heat, say(plan_.blank.cut.likely_mm, style_)),
        kPractice);
    if (plan_.seam) {
      add("seam",
          fmt::format(
              "Weld seam at {} seen along the tube from end A, with the outside of bend {}, the "
              "first to be made, at 12.",
              plan_.seam->text, plan_.seam->bend),
          kPractice);
    }
    const bool proven =
        plan_.blank.proven && std::all_of(plan_.dies.begin(), plan_.dies.end(),
                                          [](const UsedDie& used) { return used.law.proven; });
    add("trial",
        proven ? "One trial bend of this heat agrees with the springback and length on record."
               : "Trial blank of the same heat to hand: springback or length is not proven, bend "
                 "and read it before the first part.",
        kPractice);
    add("program", "Program read back from the keypad against the card, line by line, totals too.",
        kShortList);
  }

  void people() {
    add("guards", "Guards and mats in place and working; nobody's fingers can reach die and clamp.",
        kShortList, true);
    add("e-stop", "Emergency stop tried now, by the person who will bend.", kShortList, true);
    add("swing",
        fmt::format("Path of the swinging tube free of people, wall, floor and machine: up to "
                    "{} from the bend on each side, above and below.",
                    say(longest_ahead_mm(plan_), style_)),
        kShortList, true);
    add("dry-run", "Steps walked through once without tube, slowly, a hand at the stop.",
        kShortList, true);
    list_.cautions = {
        "Fingers are crushed between die, clamp, pressure die and tube, and drawn in with the "
        "tube.",
        "The free end swings and whips when released; it strikes whoever stands in its path.",
        "Cut edges are sharp. Wear eye protection; wear gloves only where nothing turns.",
        "Never bend a tube that is closed, filled with liquid or wet sand, or held pressure "
        "before.",
        "Local codes, the machine's manual and people licensed or trained for this work come "
        "first. This list certifies nothing."};
  }

  const Plan& plan_;
  base::LengthStyle style_;
  Checklist list_;
};

}  // namespace

Checklist checklist_of(const Plan& plan, const base::LengthStyle& style) {
  return Writer(plan, style).write();
}

}  // namespace bight::planning
