#include "papers/blank_figure.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/ruled.h"

namespace bight::papers {

namespace {

using planning::Blank;
using planning::End;
using planning::MarkSide;
using planning::Step;

constexpr double kBar_mm = 7.0;
constexpr double kLevel_mm = 4.6;   // between staggered rows of mark labels
constexpr double kBarEnd_mm = 8.0;  // beside the bar for its end letters
constexpr double kPanel_mm = 48.0;
constexpr double kCutLine_mm = 7.2;
constexpr double kPanelLine_mm = 4.1;

// From the plan's millimetres along the blank to paper.
struct Along {
  double left_mm, scale_ratio;
  double operator()(double at_mm) const { return left_mm + scale_ratio * at_mm; }
};

struct MarkLabel {
  double at_mm, text_left_mm, text_width_mm;  // on paper
  int level;
  std::string text;
};

enum class Labels { kNumberAndMark, kNumber };

std::vector<MarkLabel> wanted_labels(const Writer& writer, const Along& along, double left_mm,
                                     double right_mm, Labels kind) {
  const auto& steps = writer.plan.steps;
  bool in_order = true;
  for (std::size_t i = 0; i < steps.size(); ++i) in_order = in_order && steps[i].bend == i + 1;
  std::vector<MarkLabel> labels;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    MarkLabel label;
    // Where the order of working is not that of the bends, both numbers are said.
    label.text = std::to_string(i + 1);
    if (kind == Labels::kNumberAndMark) {
      if (!in_order) label.text += fmt::format(" (bend {})", steps[i].bend);
      label.text += ": " + writer.wording.length(steps[i].mark_mm);
    }
    label.at_mm = along(steps[i].mark_mm);
    label.text_width_mm = writer.canvas.measure(label.text, {kBody_pt, true}).width_mm;
    label.text_left_mm = std::clamp(label.at_mm - label.text_width_mm / 2.0, left_mm,
                                    std::max(left_mm, right_mm - label.text_width_mm));
    labels.push_back(label);
  }
  std::sort(labels.begin(), labels.end(),
            [](const MarkLabel& a, const MarkLabel& b) { return a.at_mm < b.at_mm; });
  return labels;
}

// Whether the label may stand on the level: clear of others there, its stem clear of labels below
// and its text clear of stems from above.
bool level_free(const std::vector<MarkLabel>& placed, const MarkLabel& label, int level) {
  constexpr double kApart_mm = 2.0;
  constexpr double kStem_mm = 0.5;
  return std::none_of(placed.begin(), placed.end(), [&](const MarkLabel& other) {
    const double end_mm = other.text_left_mm + other.text_width_mm;
    if (other.level == level) return end_mm + kApart_mm > label.text_left_mm;
    if (other.level < level) return end_mm + kStem_mm > label.at_mm;
    return label.text_left_mm - kStem_mm < other.at_mm;
  });
}

// Sets the labels on as few rows as keep them apart, in order along the bar. Where six rows do not
// hold them the labels shrink to the step's number, and what then finds no place is left out: the
// table of steps has every mark.
std::vector<MarkLabel> mark_labels(const Writer& writer, const Along& along, double left_mm,
                                   double right_mm, int& num_levels) {
  constexpr int kMostLevels = 6;
  for (const Labels kind : {Labels::kNumberAndMark, Labels::kNumber}) {
    std::vector<MarkLabel> placed;
    bool all_placed = true;
    num_levels = 0;
    for (MarkLabel& label : wanted_labels(writer, along, left_mm, right_mm, kind)) {
      label.level = 0;
      while (label.level < kMostLevels && !level_free(placed, label, label.level)) ++label.level;
      if (label.level == kMostLevels) {
        all_placed = false;
        continue;
      }
      num_levels = std::max(num_levels, label.level + 1);
      placed.push_back(label);
    }
    if (all_placed || kind == Labels::kNumber) return placed;
  }
  return {};
}

void hatch(Canvas& canvas, const Box& box, bool crossed) {
  canvas.clip(box);
  const double reach_mm = box.height_mm;
  for (double x_mm = box.x_mm - reach_mm; x_mm < box.right_mm(); x_mm += 1.6) {
    line(canvas, {x_mm, box.bottom_mm()}, {x_mm + reach_mm, box.y_mm}, kThin_mm);
    if (crossed) line(canvas, {x_mm, box.y_mm}, {x_mm + reach_mm, box.bottom_mm()}, kThin_mm);
  }
  canvas.unclip();
  frame(canvas, box, kRule_mm);
}

// A zone that is cut off, with its name below.
struct Zone {
  double from_mm, to_mm;  // along the blank
  bool grip;
  std::string text;
};

std::vector<Zone> zones(const Blank& blank, const Wording& wording) {
  std::vector<Zone> result;
  const auto add_end = [&](End end, double grip_mm, double trim_mm) {
    const double length_mm = blank.cut.likely_mm;
    const auto add = [&](double near_mm, double far_mm, bool grip) {
      if (far_mm <= near_mm) return;
      const std::string text = (grip ? "grip " : "trim ") + wording.length(far_mm - near_mm);
      if (end == End::kA) {
        result.push_back({near_mm, far_mm, grip, text});
      } else {
        result.push_back({length_mm - far_mm, length_mm - near_mm, grip, text});
      }
    };
    add(0.0, grip_mm, true);
    add(grip_mm, grip_mm + trim_mm, false);
  };
  add_end(blank.front, blank.grip_front_mm, blank.trim_front_mm);
  add_end(other(blank.front), blank.grip_back_mm, blank.trim_back_mm);
  std::sort(result.begin(), result.end(),
            [](const Zone& a, const Zone& b) { return a.from_mm < b.from_mm; });
  return result;
}

void end_letter_box(Canvas& canvas, Point middle, std::string_view letter) {
  const Box box{middle.x_mm - 2.7, middle.y_mm - 2.7, 5.4, 5.4};
  fill_box(canvas, box, 0.0);
  text_in(canvas, box, letter, {12.0, true, Align::kCentre, 0.0, 1.0});
}

void draw_bends(Canvas& canvas, const planning::Plan& plan, const Box& bar, const Along& along) {
  for (const Step& step : plan.steps) {
    const double from_mm =
        step.side == MarkSide::kTowardsB ? step.mark_mm : step.mark_mm - step.arc_mm;
    Box bend{along(from_mm), bar.y_mm, along.scale_ratio * step.arc_mm, bar.height_mm};
    fill_box(canvas, bend, 0.8);
    frame(canvas, bend, kThin_mm);
  }
  for (const Step& step : plan.steps) {
    const double way = step.side == MarkSide::kTowardsB ? 1.0 : -1.0;
    const double mark_mm = along(step.mark_mm);
    const double arc_mm = along.scale_ratio * step.arc_mm;
    line(canvas, {mark_mm, bar.y_mm - 1.2}, {mark_mm, bar.bottom_mm() + 1.2}, 0.8);
    cross(canvas, {mark_mm + way * 1.7, bar.centre().y_mm}, 1.1, 0.5);
    // The bend's number stands in the bend where it has room beside the cross.
    const double room_mm = arc_mm - 3.2;
    const std::string number = std::to_string(step.bend);
    const Point middle{mark_mm + way * (arc_mm + 3.0) / 2.0, bar.centre().y_mm};
    if (room_mm > 5.8) canvas.circle(middle, 2.5, Pen{0.3}, 1.0);
    if (room_mm > canvas.measure(number, {kBody_pt, true}).width_mm + 0.6) {
      text_in(canvas, {middle.x_mm - 2.5, middle.y_mm - 2.5, 5.0, 5.0}, number,
              {kBody_pt, true, Align::kCentre});
    }
  }
}

// Names of the zones under the bar, each where it is or as near as the one before lets it.
void draw_zone_names(Canvas& canvas, const std::vector<Zone>& all, const Box& bar,
                     const Along& along, double left_mm, double right_mm) {
  const TextStyle style{kBody_pt};
  double used_mm = left_mm;
  std::vector<double> lefts_mm;
  std::vector<double> widths_mm;
  for (const Zone& zone : all) {
    const double width_mm = canvas.measure(zone.text, style).width_mm;
    const double middle_mm = along((zone.from_mm + zone.to_mm) / 2.0);
    lefts_mm.push_back(std::max(used_mm, middle_mm - width_mm / 2.0));
    widths_mm.push_back(width_mm);
    used_mm = lefts_mm.back() + width_mm + 2.0;
  }
  // Pushed back in from the right.
  double limit_mm = right_mm;
  for (std::size_t i = all.size(); i-- > 0;) {
    lefts_mm[i] = std::min(lefts_mm[i], limit_mm - widths_mm[i]);
    limit_mm = lefts_mm[i] - 2.0;
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    const double middle_mm = along((all[i].from_mm + all[i].to_mm) / 2.0);
    line(canvas, {middle_mm, bar.bottom_mm()},
         {std::clamp(middle_mm, lefts_mm[i], lefts_mm[i] + widths_mm[i]), bar.bottom_mm() + 2.0},
         kThin_mm);
    canvas.text({lefts_mm[i], bar.bottom_mm() + 1.8}, all[i].text, style);
  }
}

// What to cut, in words, left of the bar.
struct Panel {
  std::string cut, band, clamp, state;
  TextStyle state_style;
  double height_mm;
};

Panel panel_of(const Writer& writer) {
  const planning::Plan& plan = writer.plan;
  Panel panel;
  panel.cut = "CUT " + writer.wording.length_with_unit(plan.blank.cut.likely_mm);
  panel.band = "low – high " + writer.wording.band(plan.blank.cut);
  panel.clamp = fmt::format("clamp end {} first, {}", end_letter(plan.blank.front),
                            writer.wording.mass(plan.mass_kg));
  panel.state = plan.blank.proven ? "Length proven." : "UNPROVEN: cut long, prove with one bend.";
  panel.state_style = {kBody_pt, !plan.blank.proven, Align::kLeft, kPanel_mm - 2.4};
  panel.height_mm = kCutLine_mm + 2.0 * kPanelLine_mm +
                    writer.canvas.measure(panel.state, panel.state_style).height_mm + 1.2;
  return panel;
}

void draw_panel(Canvas& canvas, const Box& box, const Panel& panel) {
  const double x_mm = box.x_mm + 1.2;
  const double width_mm = box.width_mm - 2.4;
  const double spread_mm = (box.height_mm - panel.height_mm) / 2.0;
  double y_mm = box.y_mm + 0.4 + spread_mm;
  text_in(canvas, {x_mm, y_mm, width_mm, kCutLine_mm}, panel.cut, {16.0, true}, 11.0);
  y_mm += kCutLine_mm;
  text_in(canvas, {x_mm, y_mm, width_mm, kPanelLine_mm}, panel.band, {kBody_pt, true});
  y_mm += kPanelLine_mm;
  text_in(canvas, {x_mm, y_mm, width_mm, kPanelLine_mm}, panel.clamp, {kBody_pt});
  y_mm += kPanelLine_mm;
  canvas.text({x_mm, y_mm}, panel.state, panel.state_style);
  line(canvas, {box.right_mm(), box.y_mm}, {box.right_mm(), box.bottom_mm()}, kThin_mm);
}

}  // namespace

Block blank_block(const Writer& writer, double width_mm) {
  const planning::Plan& plan = writer.plan;
  if (!(plan.blank.cut.likely_mm > 0.0)) {
    return {7.0, [](Canvas& canvas, const Box& box) {
              frame(canvas, box, kRule_mm);
              text_in(canvas, box.inset(1.0), "No blank worked out: cut nothing.", {11.0, true});
            }};
  }
  const Along along0{kPanel_mm + kBarEnd_mm,
                     (width_mm - kPanel_mm - 2.0 * kBarEnd_mm) / plan.blank.cut.likely_mm};
  int num_levels = 0;
  auto labels = mark_labels(writer, along0, kPanel_mm + 1.0, width_mm - 1.0, num_levels);
  const auto all_zones = zones(plan.blank, writer.wording);
  const double above_mm = kLevel_mm * num_levels + 1.6;
  const double below_mm = all_zones.empty() ? 2.4 : 6.0;
  const double bar_mm = above_mm + kBar_mm + below_mm;
  const Panel panel = panel_of(writer);
  const double height_mm = std::max(bar_mm, panel.height_mm);
  return {height_mm, [&plan, labels = std::move(labels), all_zones, above_mm, bar_mm, along0,
                      panel](Canvas& canvas, const Box& box) {
            frame(canvas, box, kRule_mm);
            draw_panel(canvas, {box.x_mm, box.y_mm, kPanel_mm, box.height_mm}, panel);
            const Along along{box.x_mm + along0.left_mm, along0.scale_ratio};
            const Box bar{along(0.0), box.y_mm + above_mm + (box.height_mm - bar_mm) / 2.0,
                          along0.scale_ratio * plan.blank.cut.likely_mm, kBar_mm};
            for (const Zone& zone : all_zones) {
              hatch(canvas,
                    {along(zone.from_mm), bar.y_mm, along.scale_ratio * (zone.to_mm - zone.from_mm),
                     bar.height_mm},
                    !zone.grip);
            }
            draw_bends(canvas, plan, bar, along);
            frame(canvas, bar, 0.5);
            end_letter_box(canvas, {bar.x_mm - 4.4, bar.centre().y_mm}, "A");
            end_letter_box(canvas, {bar.right_mm() + 4.4, bar.centre().y_mm}, "B");
            for (const MarkLabel& label : labels) {
              const double x_mm = box.x_mm + label.at_mm;
              const double text_mm = bar.y_mm - 1.4 - kLevel_mm * (label.level + 1);
              line(canvas, {x_mm, text_mm + kLevel_mm - 0.6}, {x_mm, bar.y_mm - 1.0}, kThin_mm);
              canvas.text({box.x_mm + label.text_left_mm, text_mm}, label.text, {kBody_pt, true});
            }
            draw_zone_names(canvas, all_zones, bar, along, box.x_mm + kPanel_mm + 1.0,
                            box.right_mm() - 1.0);
          }};
}

}  // namespace bight::papers
