#include "planning/keypad.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "base/number.h"

namespace bight::planning {

using base::Angle;
using base::Failure;
using base::Result;

namespace {

constexpr std::array<std::string_view, kNumKeypadColumns> kWords = {
    "bend", "die", "mark", "feed", "rotate", "wheel", "angle", "springback", "set", "speed"};
constexpr double kMmPerInch = 25.4;

double rounded(double value, double step) { return std::round(value / step) * step; }

// Decimals that a step of the keypad needs: 0.1 one, 0.25 two, 1 none.
int decimals_of(double step) {
  for (int decimals = 0; decimals < 4; ++decimals) {
    const double scaled = step * std::pow(10.0, decimals);
    if (std::abs(scaled - std::round(scaled)) < 1e-9 * scaled) return decimals;
  }
  return 4;
}

// The bend from its start to its end, from the blank's end that is clamped first.
struct Place {
  double start_mm, end_mm;
};

Place place_of(const Plan& plan, const Step& step) {
  const bool from_a = plan.blank.front == End::kA;
  const double mark_mm = from_a ? step.mark_mm : step.mark_from_b_mm;
  const bool onwards = (step.side == MarkSide::kTowardsB) == from_a;
  return onwards ? Place{mark_mm, mark_mm + step.arc_mm} : Place{mark_mm - step.arc_mm, mark_mm};
}

class Typist {
 public:
  Typist(const Plan& plan, const KeypadProfile& profile)
      : plan_(plan),
        profile_(profile),
        angle_step_deg_(profile.angle_step.value_or(plan.bender->angle_step).deg()),
        unit_mm_(profile.unit == base::LengthUnit::kInch ? kMmPerInch : 1.0) {}

  KeypadTable table() {
    KeypadTable table;
    table.profile = profile_;
    for (const KeypadColumn column : profile_.columns) table.heads.push_back(head(column));
    double end_mm = 0.0;
    for (std::size_t i = 0; i < plan_.steps.size(); ++i) {
      const Step& step = plan_.steps[i];
      const Place place = place_of(plan_, step);
      feed_mm_ = place.start_mm - end_mm;
      if (feed_mm_ < -profile_.length_step_mm / 2.0 && backwards_ == 0) {
        backwards_ = static_cast<int>(i) + 1;
      }
      end_mm = place.end_mm;
      KeypadRow row{static_cast<int>(i) + 1, static_cast<int>(step.bend), {}};
      for (const KeypadColumn column : profile_.columns) row.cells.push_back(cell(column, step));
      table.rows.push_back(std::move(row));
    }
    sum_up(table);
    if (asks(KeypadColumn::kFeed)) {
      table.last_straight_mm = plan_.blank.cut.likely_mm - end_mm;
      table.arcs_mm = 0.0;
      for (const Step& step : plan_.steps) *table.arcs_mm += step.arc_mm;
    }
    add_findings(table);
    return table;
  }

 private:
  bool asks(KeypadColumn column) const {
    return std::find(profile_.columns.begin(), profile_.columns.end(), column) !=
           profile_.columns.end();
  }

  std::string head(KeypadColumn column) const {
    const std::string word(keypad_word(column));
    switch (column) {
      case KeypadColumn::kBend:
      case KeypadColumn::kDie:
        return word;
      case KeypadColumn::kMark:
        return word + (plan_.blank.front == End::kB ? " from B" : "") +
               (unit_mm_ == 1.0 ? " mm" : " in");
      case KeypadColumn::kFeed:
        return word + (unit_mm_ == 1.0 ? " mm" : " in");
      case KeypadColumn::kSpeed:
        return word + (profile_.speed_in_percent ? " %" : " rpm");
      default:
        return word + " °";
    }
  }

  KeypadCell number(double value, double step) const {
    const double typed = rounded(value, step);
    return {base::print_decimal(typed, decimals_of(step)), typed};
  }
  KeypadCell length(double length_mm) const {
    return number(length_mm / unit_mm_, profile_.length_step_mm / unit_mm_);
  }
  KeypadCell angle(Angle angle) const { return number(angle.deg(), angle_step_deg_); }
  KeypadCell rotation(Angle angle) const {
    double typed_deg = rounded(angle.wrapped().deg(), angle_step_deg_);
    if (profile_.rotation_full_circle && typed_deg < 0.0) typed_deg += 360.0;
    return {base::print_decimal(typed_deg, decimals_of(angle_step_deg_)), typed_deg};
  }
  KeypadCell springback(const Step& step) const {
    const double typed_deg = rounded(step.set_angle.likely.deg(), angle_step_deg_) -
                             rounded(step.angle.deg(), angle_step_deg_);
    return {base::print_decimal(typed_deg, decimals_of(angle_step_deg_)), typed_deg};
  }
  KeypadCell speed(const Step& step) const {
    if (!step.speed_max_rpm) return {"–", std::nullopt};
    if (!profile_.speed_in_percent) return number(std::floor(*step.speed_max_rpm * 10) / 10, 0.1);
    if (!plan_.bender->speed_max_rpm) return {"–", std::nullopt};
    const double percent = 100.0 * *step.speed_max_rpm / *plan_.bender->speed_max_rpm;
    return number(std::min(100.0, std::floor(percent)), 1.0);
  }

  KeypadCell cell(KeypadColumn column, const Step& step) const {
    switch (column) {
      case KeypadColumn::kBend:
        return {std::to_string(step.bend), static_cast<double>(step.bend)};
      case KeypadColumn::kDie:
        return {step.die, std::nullopt};
      case KeypadColumn::kMark:
        return length(place_of(plan_, step).start_mm);
      case KeypadColumn::kFeed:
        return length(feed_mm_);
      case KeypadColumn::kRotate:
        return rotation(step.rotation);
      case KeypadColumn::kWheel:
        return rotation(step.wheel);
      case KeypadColumn::kAngle:
        return angle(step.angle);
      case KeypadColumn::kSpringback:
        return springback(step);
      case KeypadColumn::kSet:
        return angle(step.set_angle.likely);
      case KeypadColumn::kSpeed:
        return speed(step);
    }
    return {};
  }

  void sum_up(KeypadTable& table) const {
    const std::set<KeypadColumn> summed = {KeypadColumn::kFeed, KeypadColumn::kRotate,
                                           KeypadColumn::kAngle, KeypadColumn::kSpringback,
                                           KeypadColumn::kSet};
    for (std::size_t i = 0; i < profile_.columns.size(); ++i) {
      const KeypadColumn column = profile_.columns[i];
      if (!summed.contains(column)) {
        table.totals.emplace_back();
        continue;
      }
      double sum = 0.0;
      for (const KeypadRow& row : table.rows) sum += row.cells[i].value.value_or(0.0);
      const double step =
          column == KeypadColumn::kFeed ? profile_.length_step_mm / unit_mm_ : angle_step_deg_;
      table.totals.push_back(base::print_decimal(sum, decimals_of(step)));
    }
  }

  void add_findings(KeypadTable& table) const {
    if (backwards_ != 0 && asks(KeypadColumn::kFeed)) {
      table.findings.push_back(
          {part::Severity::kStop,
           "keypad.order",
           plan_.steps[static_cast<std::size_t>(backwards_ - 1)].bend,
           fmt::format("step {} lies behind the bend made before it: its feed runs backwards",
                       backwards_),
           "type marks instead of feeds, or bend in order from one end",
           "feed of this plan",
           {}});
    }
    add_turns(table);
    const bool speed_missing = std::any_of(plan_.steps.begin(), plan_.steps.end(),
                                           [](const Step& step) { return !step.speed_max_rpm; });
    if (asks(KeypadColumn::kSpeed) && speed_missing) {
      table.findings.push_back({part::Severity::kNote,
                                "keypad.speed",
                                std::nullopt,
                                "no speed is known for every bend",
                                "start slowly and keep one speed for the whole lot",
                                "common practice, no source",
                                {}});
    }
    for (const UsedDie& used : plan_.dies) {
      if (used.law.proven) continue;
      table.findings.push_back(
          {part::Severity::kCaution,
           "keypad.unproven",
           std::nullopt,
           fmt::format("set angles in {} are not proven by trial bends", used.die.name),
           "bend a trial piece, read it, and correct springback before the first part",
           "common practice, no source",
           {}});
    }
  }

  // A machine adds each rotation to the one before; some of this plan's begin elsewhere.
  void add_turns(KeypadTable& table) const {
    if (!asks(KeypadColumn::kRotate)) return;
    std::vector<std::string> said;
    std::optional<std::size_t> first;
    for (std::size_t i = 0; i < plan_.steps.size(); ++i) {
      const Step& step = plan_.steps[i];
      if (!step.wheel_reset || !step.rotation_from) continue;
      if (!first) first = step.bend;
      said.push_back(fmt::format("step {} from bend {}", i + 1, *step.rotation_from));
    }
    if (!first) return;
    table.findings.push_back(
        {part::Severity::kCaution,
         "keypad.rotation",
         first,
         fmt::format("rotations do not all count from the step before: {}", fmt::join(said, ", ")),
         "lay that bend flat with its inside towards the die and set the "
         "rotation to zero there; or bend in order from one end",
         "rotation of this plan",
         {}});
  }

  const Plan& plan_;
  const KeypadProfile& profile_;
  double angle_step_deg_;
  double unit_mm_;
  double feed_mm_ = 0.0;
  int backwards_ = 0;
};

}  // namespace

std::string_view keypad_word(KeypadColumn column) {
  return kWords[static_cast<std::size_t>(column)];
}

Result<KeypadColumn> keypad_column(std::string_view word) {
  for (std::size_t i = 0; i < kWords.size(); ++i) {
    if (kWords[i] == word) return static_cast<KeypadColumn>(i);
  }
  return Failure{"keypad.column", "", fmt::format("no keypad column is called \"{}\"", word),
                 "bend, die, mark, feed, rotate, wheel, angle, springback, set or speed"};
}

KeypadProfile usual_keypad(const workshop::Bender& bender) {
  using enum KeypadColumn;
  KeypadProfile profile;
  profile.bender = bender.name;
  if (bender.kind == workshop::BenderKind::kCarriageFed) {
    profile.columns = {kFeed, kRotate, kAngle, kSpringback, kSpeed};
  } else {
    profile.columns = {kMark, bender.degree_wheel ? kWheel : kRotate, kAngle, kSpringback, kSpeed};
  }
  return profile;
}

Result<KeypadTable> keypad_table(const Plan& plan, const KeypadProfile& profile) {
  if (!plan.bender || plan.steps.empty()) {
    return Failure{"keypad.bender", "", "the plan has no steps on a bender",
                   "give a shop whose tools can make the part"};
  }
  const std::set<KeypadColumn> once(profile.columns.begin(), profile.columns.end());
  const double angle_step_deg = profile.angle_step.value_or(plan.bender->angle_step).deg();
  if (profile.columns.empty() || once.size() != profile.columns.size() ||
      !(profile.length_step_mm > 0.0) || !(angle_step_deg > 0.0)) {
    return Failure{"keypad.profile", profile.bender,
                   "columns are missing or named twice, or a step is not above zero",
                   "name each column once, in the order the keypad asks for them"};
  }
  return Typist(plan, profile).table();
}

}  // namespace bight::planning
