#include "papers/sheet_steps.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "papers/ruled.h"
#include "planning/clearance_words.h"

namespace bight::papers {

namespace {

using planning::MarkSide;
using planning::Step;

enum StepColumn {
  kStep,
  kBend,
  kDie,
  kMark,
  kSide,
  kTurn,
  kWheel,
  kWanted,
  kSet,
  kAhead,
  kFirst,
  kSecond,
  kNumColumns
};
// Shares of the table's width, in millimetres of A4.
constexpr std::array<double, kNumColumns> kWidths_mm{9.5, 9.5, 10, 25,   20, 19.5,
                                                     17,  16,  27, 16.5, 11, 11};

std::array<Box, kNumColumns> cells(const Box& row) {
  double total_mm = 0.0;
  for (const double width_mm : kWidths_mm) total_mm += width_mm;
  std::array<Box, kNumColumns> result;
  double x_mm = row.x_mm;
  for (std::size_t i = 0; i < kNumColumns; ++i) {
    const double width_mm = kWidths_mm[i] * row.width_mm / total_mm;
    result[i] = {x_mm, row.y_mm, width_mm, row.height_mm};
    x_mm += width_mm;
  }
  return result;
}

constexpr double kHeading_mm = 9.6;
constexpr double kStepRow_mm = 9.2;
constexpr double kDieMark_mm = 4.0;
constexpr double kFlip_mm = 5.4;

// A piece of tube with its mark, and a cross on the side where the bend goes.
void side_sign(Canvas& canvas, Point middle, MarkSide side) {
  const Box tube{middle.x_mm - 6.0, middle.y_mm - 1.9, 12.0, 3.8};
  line(canvas, {tube.x_mm, tube.y_mm}, {tube.right_mm(), tube.y_mm}, kThin_mm);
  line(canvas, {tube.x_mm, tube.bottom_mm()}, {tube.right_mm(), tube.bottom_mm()}, kThin_mm);
  line(canvas, {middle.x_mm, tube.y_mm - 0.5}, {middle.x_mm, tube.bottom_mm() + 0.5}, 0.7);
  const double way = side == MarkSide::kTowardsB ? 1.0 : -1.0;
  cross(canvas, {middle.x_mm + way * 2.7, middle.y_mm}, 1.2, 0.6);
  text_in(canvas, {tube.x_mm - 3.0, tube.y_mm, 2.6, tube.height_mm}, "A",
          {kBody_pt, true, Align::kCentre});
  text_in(canvas, {tube.right_mm() + 0.4, tube.y_mm, 2.6, tube.height_mm}, "B",
          {kBody_pt, true, Align::kCentre});
}

// A large line over a small one.
void two_lines(Canvas& canvas, const Box& cell, std::string_view large, double large_pt,
               std::string_view small) {
  const double split_mm = cell.height_mm * 0.57;
  const double pad_mm = 0.6;
  text_in(canvas, {cell.x_mm + pad_mm, cell.y_mm + 0.4, cell.width_mm - 2.0 * pad_mm, split_mm},
          large, {large_pt, true, Align::kCentre}, kBody_pt);
  text_in(canvas,
          {cell.x_mm + pad_mm, cell.y_mm + split_mm, cell.width_mm - 2.0 * pad_mm,
           cell.height_mm - split_mm - 0.3},
          small, {kBody_pt, false, Align::kCentre}, kSmall_pt);
}

// Before a step with the other end ahead: overlooked, it costs the tube.
void flip_bar(Canvas& canvas, const Box& bar, const Step& step) {
  fill_box(canvas, bar, 0.0);
  text_in(canvas, bar.inset(0.4),
          fmt::format("Turn the tube end for end: end {} goes ahead from here",
                      planning::letter_of(step.front)),
          {10.0, true, Align::kCentre, 0.0, 1.0}, kBody_pt);
}

void draw_row(Canvas& canvas, Box row, const planning::Plan& plan, const Wording& wording,
              std::size_t index, bool with_die_mark) {
  const Step& step = plan.steps[index];
  if (step.flipped) {
    flip_bar(canvas, {row.x_mm, row.y_mm, row.width_mm, kFlip_mm}, step);
    row.y_mm += kFlip_mm;
    row.height_mm -= kFlip_mm;
  }
  const auto cell = cells(row);
  for (const Box& box : cell) frame(canvas, box, kThin_mm);
  const TextStyle number{15.0, true, Align::kCentre};
  text_in(canvas, cell[kStep], std::to_string(index + 1), number, 12.0);
  canvas.circle(cell[kBend].centre(), 3.6, Pen{0.35}, std::nullopt);
  text_in(canvas, cell[kBend], std::to_string(step.bend), {13.0, true, Align::kCentre}, 12.0);
  text_in(canvas, cell[kDie], die_key(plan, step.die), {12.0, true, Align::kCentre});

  Box mark = cell[kMark];
  if (with_die_mark) mark.height_mm -= kDieMark_mm;
  two_lines(canvas, mark, wording.length(step.mark_mm), 14.0,
            "from B " + wording.length(step.mark_from_b_mm));
  if (step.die_mark_mm) {
    text_in(canvas, {mark.x_mm + 0.6, mark.bottom_mm() - 0.6, mark.width_mm - 1.2, kDieMark_mm},
            "die line " + wording.length(*step.die_mark_mm), {kBody_pt, true, Align::kCentre});
  }

  const Box& side = cell[kSide];
  const double sign_mm = side.height_mm * 0.36;
  side_sign(canvas, {side.centre().x_mm, side.y_mm + sign_mm}, step.side);
  text_in(canvas,
          {side.x_mm, side.y_mm + side.height_mm * 0.60, side.width_mm, side.height_mm * 0.36},
          side_words(step.side), {kBody_pt, false, Align::kCentre});

  if (step.wheel_reset && step.rotation_from) {
    two_lines(canvas, cell[kTurn], wording.signed_angle(step.rotation), 12.0,
              fmt::format("bend {} flat", *step.rotation_from));
  } else {
    text_in(canvas, cell[kTurn].inset(0.6), wording.signed_angle(step.rotation),
            {12.0, true, Align::kCentre});
  }
  const bool has_wheel = plan.bender && plan.bender->degree_wheel;
  text_in(canvas, cell[kWheel].inset(0.6), has_wheel ? wording.angle(step.wheel) : "–",
          {12.0, true, Align::kCentre});
  text_in(canvas, cell[kWanted].inset(0.6), wording.angle(step.angle),
          {12.0, false, Align::kCentre});
  two_lines(canvas, cell[kSet], wording.set_angle(step.set_angle.likely), 16.0,
            wording.set_band(step.set_angle));
  frame(canvas, cell[kSet], kHeavy_mm);

  const Box& ahead = cell[kAhead];
  text_in(canvas, {ahead.x_mm + 0.5, ahead.y_mm, ahead.width_mm - 1.0, ahead.height_mm / 2.0},
          wording.length(step.arc_mm), {10.0, false, Align::kCentre});
  line(canvas, {ahead.x_mm, ahead.centre().y_mm}, {ahead.right_mm(), ahead.centre().y_mm},
       kThin_mm);
  text_in(canvas,
          {ahead.x_mm + 0.5, ahead.centre().y_mm, ahead.width_mm - 1.0, ahead.height_mm / 2.0},
          wording.length(step.straight_mm), {10.0, false, Align::kCentre});
}

bool any_die_mark(const planning::Plan& plan) {
  return std::any_of(plan.steps.begin(), plan.steps.end(),
                     [](const Step& step) { return step.die_mark_mm.has_value(); });
}

// "812 N·m (steps 2, 4), 640 N·m (steps 1, 3)"; just "812 N·m" when every step agrees. Empty values
// are left out.
std::string per_step(const std::vector<std::string>& values) {
  std::vector<std::pair<std::string, std::vector<std::size_t>>> groups;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (values[i].empty()) continue;
    auto found = std::find_if(groups.begin(), groups.end(),
                              [&](const auto& group) { return group.first == values[i]; });
    if (found == groups.end()) found = groups.insert(groups.end(), {values[i], {}});
    found->second.push_back(i + 1);
  }
  if (groups.size() == 1 && groups.front().second.size() == values.size()) {
    return groups.front().first;
  }
  std::string text;
  for (const auto& [value, steps] : groups) {
    text += fmt::format("{}{} ({} {})", text.empty() ? "" : ", ", value,
                        steps.size() == 1 ? "step" : "steps", fmt::join(steps, ", "));
  }
  return text;
}

// The order and how near each step comes to anything; nothing for a plan without.
std::string order_words(const Writer& writer) {
  const planning::Plan& plan = writer.plan;
  if (plan.order.bends.empty()) return "";
  std::string text = fmt::format("Order: {}", plan.order.name);
  if (plan.order.num_flips == 1) text += ", one turn end for end";
  if (plan.order.num_flips > 1) text += fmt::format(", {} turns end for end", plan.order.num_flips);
  std::vector<std::string> clear;
  for (const Step& step : plan.steps) {
    if (!step.clearing) return text + ", not compared with machine and room.  ";
    const auto& nearest = step.clearing->nearest();
    clear.push_back(step.clearing->stops() ? "CANNOT BE MADE SO"
                    : nearest ? fmt::format("{} to {}", writer.wording.at_least(nearest->low_mm),
                                            planning::the_body(*nearest))
                              : "nothing near");
  }
  return text + ".  Nearest: " + per_step(clear) + "; sag left out.  ";
}

}  // namespace

Block steps_heading(const Writer& writer) {
  const std::string unit(writer.wording.unit());
  const std::array<std::string, kNumColumns> names{"step",
                                                   "bend",
                                                   "die",
                                                   "mark from A\n" + unit,
                                                   "X side\nof mark",
                                                   "turn from\nlast",
                                                   "wheel\nreads",
                                                   "bend\nwanted",
                                                   "SET ANGLE\nlow – high",
                                                   "arc\nstraight",
                                                   "1st",
                                                   "2nd"};
  return {kHeading_mm, [names](Canvas& canvas, const Box& box) {
            fill_box(canvas, box, 0.88);
            const auto cell = cells(box);
            for (std::size_t i = 0; i < kNumColumns; ++i) {
              frame(canvas, cell[i], kThin_mm);
              Box inside = cell[i].inset(0.3);
              if (i == kFirst || i == kSecond) {
                inside = {inside.x_mm, box.y_mm + box.height_mm / 2.0, inside.width_mm,
                          box.height_mm / 2.0};
              }
              text_in(canvas, inside, names[i], {kBody_pt, true, Align::kCentre}, kSmall_pt);
            }
            // One name over both columns for what comes off the part.
            const Box over{cell[kFirst].x_mm, box.y_mm,
                           cell[kSecond].right_mm() - cell[kFirst].x_mm, box.height_mm / 2.0};
            fill_box(canvas, over.inset(0.1), 0.88);
            frame(canvas, over, kThin_mm);
            text_in(canvas, over.inset(0.3), "measured", {kBody_pt, true, Align::kCentre});
            line(canvas, {box.x_mm, box.bottom_mm()}, {box.right_mm(), box.bottom_mm()}, kHeavy_mm);
          }};
}

std::vector<Block> step_rows(const Writer& writer, double stretch_mm) {
  const planning::Plan& plan = writer.plan;
  std::vector<Block> rows;
  if (plan.steps.empty()) {
    rows.push_back({12.0, [](Canvas& canvas, const Box& box) {
                      frame(canvas, box, kRule_mm);
                      text_in(canvas, box.inset(1.5),
                              "No steps: no way of making this part was found. The findings say "
                              "why.",
                              {12.0, true, Align::kCentre}, kBody_pt);
                    }});
    return rows;
  }
  const bool with_die_mark = any_die_mark(plan);
  const double height_mm = kStepRow_mm + stretch_mm + (with_die_mark ? kDieMark_mm : 0.0);
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const double bar_mm = plan.steps[i].flipped ? kFlip_mm : 0.0;
    rows.push_back({height_mm + bar_mm, [&plan, &wording = writer.wording, i, with_die_mark](
                                            Canvas& canvas, const Box& box) {
                      draw_row(canvas, box, plan, wording, i, with_die_mark);
                    }});
  }
  return rows;
}

std::optional<Block> steps_note(const Writer& writer, double width_mm) {
  const planning::Plan& plan = writer.plan;
  if (plan.steps.empty()) return std::nullopt;
  std::vector<std::string> torques;
  std::vector<std::string> speeds;
  for (const Step& step : plan.steps) {
    torques.push_back(writer.wording.torque(step.torque_nmm));
    speeds.push_back(step.speed_max_rpm ? fmt::format("{:.3g} rpm", *step.speed_max_rpm) : "");
  }
  std::string text = order_words(writer);
  text += "Torque at the die, likely: " + per_step(torques) + ".";
  if (std::any_of(speeds.begin(), speeds.end(), [](const auto& speed) { return !speed.empty(); })) {
    text += "  No faster than " + per_step(speeds) + ".";
  }
  if (!plan.blank.basis.empty()) text += "  Cut length: " + plan.blank.basis;
  const TextStyle style{kBody_pt, false, Align::kLeft, width_mm - 3.0};
  const double height_mm = writer.canvas.measure(text, style).height_mm + 1.4;
  return Block{height_mm, [text, style](Canvas& canvas, const Box& box) {
                 frame(canvas, box, kThin_mm);
                 canvas.text({box.x_mm + 1.5, box.y_mm + 0.6}, text, style);
               }};
}

}  // namespace bight::papers
