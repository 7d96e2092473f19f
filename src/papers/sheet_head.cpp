#include "papers/sheet_head.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "papers/ruled.h"

namespace bight::papers {

namespace {

using part::Hand;

constexpr double kField_mm = 9.0;
constexpr double kPad_mm = 1.3;

std::string_view hand_words(Hand hand) {
  switch (hand) {
    case Hand::kLeft:
      return "LEFT HAND";
    case Hand::kRight:
      return "RIGHT HAND";
    case Hand::kSingle:
      return "no other hand";
  }
  return {};
}

// In one plane: it lies as its own mirror image when it is turned over.
bool is_planar(const geometry::BendTable& table) {
  return std::all_of(table.rows().begin(), table.rows().end(), [&](const geometry::BendRow& row) {
    return &row == &table.rows().front() || std::abs(base::sin(row.rotation)) < 1e-9;
  });
}

std::string or_dash(const std::string& text) { return text.empty() ? "–" : text; }

// A cell with its name small above and what it says below.
void field(Canvas& canvas, const Box& box, std::string_view name, std::string_view text,
           double size_pt = 11.0, bool bold = true) {
  frame(canvas, box, kThin_mm);
  canvas.text({box.x_mm + kPad_mm, box.y_mm + 0.4}, name, {kSmall_pt});
  const double name_mm = 3.7;
  text_in(canvas,
          {box.x_mm + kPad_mm, box.y_mm + name_mm, box.width_mm - 2.0 * kPad_mm,
           box.height_mm - name_mm - 0.4},
          text, {size_pt, bold}, kBody_pt);
}

// Cells side by side; widths are shares of the whole.
struct Field {
  double share_ratio;
  std::string name, text;
};

Block field_row(const Writer& writer, std::vector<Field> fields, double width_mm) {
  double height_mm = kField_mm;
  for (const Field& f : fields) {
    const double inside_mm = width_mm * f.share_ratio - 2.0 * kPad_mm;
    TextStyle style{11.0, true};
    style.size_pt = fitting_pt(writer.canvas, f.text, style, inside_mm, kBody_pt);
    const double text_mm = text_height_mm(writer.canvas, f.text, style, inside_mm);
    height_mm = std::max(height_mm, 3.7 + text_mm + 0.8);
  }
  return {height_mm, [fields = std::move(fields)](Canvas& canvas, const Box& box) {
            double x_mm = box.x_mm;
            for (const Field& f : fields) {
              const double cell_mm = box.width_mm * f.share_ratio;
              field(canvas, {x_mm, box.y_mm, cell_mm, box.height_mm}, f.name, f.text);
              x_mm += cell_mm;
            }
          }};
}

std::string bender_words(const workshop::Bender& bender) {
  return fmt::format(
      "{}, {}, turns {}", bender.name, workshop::word(bender.kind),
      bender.direction == workshop::TurnDirection::kClockwise ? "clockwise" : "anticlockwise");
}

Block title_block(const Writer& writer, double width_mm) {
  constexpr double kHand_mm = 40.0;
  const part::Part& part = writer.plan.part;
  const double name_mm = width_mm - kHand_mm - 2.0 * kPad_mm;
  TextStyle style{19.0, true};
  style.size_pt = fitting_pt(writer.canvas, part.name, style, name_mm, 12.0);
  const double text_mm = text_height_mm(writer.canvas, part.name, style, name_mm);
  const double height_mm = std::max(12.8, 4.2 + text_mm + 0.2);
  return {height_mm, [&part, date = writer.date, style, name_mm](Canvas& canvas, const Box& box) {
            frame(canvas, box, kRule_mm);
            canvas.text({box.x_mm + kPad_mm, box.y_mm + 0.5},
                        "SET-UP SHEET" + (date.empty() ? "" : "   " + date), {kBody_pt, true});
            TextStyle name = style;
            name.wrap_mm = name_mm;
            canvas.text({box.x_mm + kPad_mm, box.y_mm + 4.2}, part.name, name);
            const Box hand{box.right_mm() - kHand_mm, box.y_mm, kHand_mm, box.height_mm};
            const bool handed = part.hand != Hand::kSingle;
            if (handed) {
              fill_box(canvas, hand, 0.0);
              const std::string letters = part::letters(part.hand);
              text_in(canvas, {hand.x_mm + 1.0, hand.y_mm, 17.0, hand.height_mm}, letters,
                      {26.0, true, Align::kCentre, 0.0, 1.0});
              text_in(canvas, {hand.x_mm + 18.0, hand.y_mm, 21.0, hand.height_mm},
                      hand_words(part.hand), {10.0, true, Align::kCentre, 0.0, 1.0}, kBody_pt);
            } else {
              frame(canvas, hand, kRule_mm);
              text_in(canvas, hand.inset(1.0),
                      is_planar(part.table) ? "no left or right hand" : "one hand only, as drawn",
                      {kBody_pt, false, Align::kCentre});
            }
          }};
}

// The section seen from end A with the seam's place on it.
void seam_clock(Canvas& canvas, Point middle, double radius_mm, const planning::Seam& seam,
                const stock::Section& section) {
  const double sine = base::sin(seam.clock);
  const double cosine = base::cos(seam.clock);
  double seam_mm = radius_mm;
  if (section.round()) {
    canvas.circle(middle, radius_mm, Pen{0.5}, std::nullopt);
  } else {
    const double larger_mm = std::max(section.height_mm(), section.width_mm());
    const double half_height_mm = radius_mm * section.height_mm() / larger_mm;
    const double half_width_mm = radius_mm * section.width_mm() / larger_mm;
    frame(canvas,
          {middle.x_mm - half_width_mm, middle.y_mm - half_height_mm, 2.0 * half_width_mm,
           2.0 * half_height_mm},
          0.5);
    seam_mm = std::min(half_width_mm / std::max(1e-6, std::abs(sine)),
                       half_height_mm / std::max(1e-6, std::abs(cosine)));
  }
  for (int hour = 0; hour < 12; ++hour) {
    const base::Angle a = base::Angle::degrees(30.0 * hour);
    const double inner_mm = radius_mm + 0.5;
    const double outer_mm = radius_mm + (hour == 0 ? 2.0 : 1.1);
    line(canvas, {middle.x_mm + inner_mm * base::sin(a), middle.y_mm - inner_mm * base::cos(a)},
         {middle.x_mm + outer_mm * base::sin(a), middle.y_mm - outer_mm * base::cos(a)},
         hour == 0 ? 0.6 : kThin_mm);
  }
  canvas.circle({middle.x_mm + seam_mm * sine, middle.y_mm - seam_mm * cosine}, 1.1, std::nullopt,
                0.0);
}

std::string seam_words(const planning::Plan& plan, const Wording& wording) {
  if (!plan.part.welded) return "no seam to place";
  if (!plan.seam) return "not worked out: place it off the inside and outside of every bend";
  return fmt::format(
      "{} seen along the tube from end A, outside of bend {} at 12. Off a bend's neutral side: {} "
      "at most.",
      plan.seam->text, plan.seam->bend, wording.angle(plan.seam->off_neutral));
}

Block tube_block(const Writer& writer, double width_mm) {
  const planning::Plan& plan = writer.plan;
  const part::Part& part = plan.part;
  std::string tube = part.tube_text;
  const std::string real = section_words(part.section, writer.wording);
  std::string material = part.material.name;
  if (!part.material.spec.empty()) material += ", " + part.material.spec;
  const std::string heat =
      part.material.heat.empty() ? "heat: ____________" : "heat " + part.material.heat;
  const std::string seam = seam_words(plan, writer.wording);
  // The seam is told in a sentence and needs the most room.
  const std::array<double, 3> cell_mm{0.31 * width_mm, 0.29 * width_mm, 0.40 * width_mm};
  const double clock_mm = plan.seam ? 15.5 : 0.0;
  const TextStyle bold{11.0, true};
  const TextStyle plain{kBody_pt};
  const auto height_of = [&](const std::string& text, const TextStyle& style, double width) {
    return text_height_mm(writer.canvas, text, style, width - 2.0 * kPad_mm);
  };
  const double lines_mm =
      std::max(height_of(or_dash(tube), bold, cell_mm[0]) + height_of(real, bold, cell_mm[0]),
               height_of(or_dash(material), bold, cell_mm[1]) + height_of(heat, bold, cell_mm[1]));
  const double seam_mm = height_of(seam, plain, cell_mm[2] - clock_mm);
  const double height_mm = 3.9 + std::max({lines_mm, seam_mm, plan.seam ? 9.6 : 0.0}) + 0.6;
  return {height_mm, [=, &plan](Canvas& canvas, const Box& box) {
            const auto two_lines = [&](const Box& cell, std::string_view name,
                                       const std::string& first, const std::string& second) {
              frame(canvas, cell, kThin_mm);
              canvas.text({cell.x_mm + kPad_mm, cell.y_mm + 0.4}, name, {kSmall_pt});
              TextStyle style{11.0, true, Align::kLeft, cell.width_mm - 2.0 * kPad_mm};
              const double y_mm = cell.y_mm + 3.9;
              canvas.text({cell.x_mm + kPad_mm, y_mm}, or_dash(first), style);
              canvas.text(
                  {cell.x_mm + kPad_mm, y_mm + canvas.measure(or_dash(first), style).height_mm},
                  second, style);
            };
            Box cell{box.x_mm, box.y_mm, cell_mm[0], box.height_mm};
            two_lines(cell, "Tube: name, true size", tube, real);
            cell.x_mm += cell_mm[0];
            cell.width_mm = cell_mm[1];
            two_lines(cell, "Material and heat", material, heat);
            cell.x_mm += cell_mm[1];
            cell.width_mm = cell_mm[2];
            frame(canvas, cell, kThin_mm);
            canvas.text({cell.x_mm + kPad_mm, cell.y_mm + 0.4}, "Weld seam", {kSmall_pt});
            if (plan.seam) {
              seam_clock(canvas, {cell.right_mm() - 7.6, cell.centre().y_mm + 0.4}, 4.3, *plan.seam,
                         plan.part.section);
            }
            TextStyle style = plain;
            style.wrap_mm = cell.width_mm - 2.0 * kPad_mm - clock_mm;
            canvas.text({cell.x_mm + kPad_mm, cell.y_mm + 3.9}, seam, style);
          }};
}

std::string ends_words(const part::Part& part, const Wording& wording) {
  std::string text;
  const auto add = [&](std::string_view letter, const part::PartEnd& end) {
    std::string words = end.detail;
    if (end.trim_mm > 0.0) {
      if (!words.empty()) words += ", ";
      words += "trim " + wording.length_with_unit(end.trim_mm) + " after bending";
    }
    if (words.empty()) return;
    if (!text.empty()) text += "   ";
    text += fmt::format("End {}: {}.", letter, words);
  };
  add("A", part.end_a);
  add("B", part.end_b);
  return text;
}

// Everything that must not be read two ways.
Block conventions_block(const Writer& writer, double width_mm) {
  const planning::Plan& plan = writer.plan;
  std::string text = fmt::format(
      "Datum: end A, all marks from it. Lengths in {}, {}. Bend angle = change of direction, "
      "0° = straight. Turn: from the plane of the bend made before, by this bender's sign. "
      "Straight: ahead of the bend.",
      writer.wording.unit() == "mm" ? "millimetres" : "inches", writer.wording.rounding());
  if (std::any_of(plan.steps.begin(), plan.steps.end(),
                  [](const planning::Step& step) { return step.die_mark_mm.has_value(); })) {
    text += " Mark: at the die's tangent point. Die line: the same, at the line cut into the die.";
  }
  const std::string ends = ends_words(plan.part, writer.wording);
  if (!ends.empty()) text += "\n" + ends;
  if (!plan.part.rules.empty()) {
    text += "\nMust meet:";
    for (const std::string& rule : plan.part.rules) text += " " + rule + ";";
    text.back() = '.';
  }
  if (!plan.part.note.empty()) text += "\nDrawing note: " + plan.part.note;
  const TextStyle style{kBody_pt};
  const double inside_mm = width_mm - 2.0 * kPad_mm;
  const double height_mm = text_height_mm(writer.canvas, text, style, inside_mm) + 1.4;
  return {height_mm, [text, style, inside_mm](Canvas& canvas, const Box& box) {
            frame(canvas, box, kThin_mm);
            TextStyle wrapped = style;
            wrapped.wrap_mm = inside_mm;
            canvas.text({box.x_mm + kPad_mm, box.y_mm + 0.6}, text, wrapped);
          }};
}

// What the springback rests on, less a "not proven" that the sheet says itself.
std::string basis_words(std::string basis) {
  static constexpr std::string_view kSaid = "not proven: ";
  if (basis.starts_with(kSaid)) basis.erase(0, kSaid.size());
  return basis;
}

std::string die_words(const planning::UsedDie& used, const Wording& wording) {
  const workshop::DieSet& die = used.die;
  std::string extras;
  if (die.mandrel) extras += ", mandrel";
  if (die.wiper) extras += ", wiper";
  if (die.level > 1) extras += fmt::format(", level {} of the stack", die.level);
  return fmt::format(
      "{}: die R {}, part R {} after release; clamp {}{}. Springback {} + {:.3g} × set angle, {}{}",
      die.name, wording.size(die.radius_mm), wording.size(used.radius_after_release_mm),
      wording.size(die.clamp_mm), extras, wording.fine_angle(used.law.constant),
      used.law.proportional_ratio, used.law.proven ? "PROVEN" : "NOT PROVEN",
      used.law.basis.empty() ? "." : ": " + basis_words(used.law.basis));
}

}  // namespace

std::vector<Block> head_blocks(const Writer& writer, double width_mm) {
  const part::Part& part = writer.plan.part;
  return {title_block(writer, width_mm),
          field_row(writer,
                    {{0.19, "Drawing", or_dash(part.drawing)},
                     {0.08, "Revision", or_dash(part.revision)},
                     {0.26, "Customer", or_dash(part.customer)},
                     {0.08, "Quantity", std::to_string(part.quantity)},
                     {0.39, "Bender",
                      writer.plan.bender ? bender_words(*writer.plan.bender) : "none chosen"}},
                    width_mm),
          tube_block(writer, width_mm), conventions_block(writer, width_mm)};
}

Block tools_block(const Writer& writer, double width_mm) {
  struct Line {
    std::string key, text;
    double height_mm;
  };
  constexpr double kKey_mm = 16.0;
  const planning::Plan& plan = writer.plan;
  const double inside_mm = width_mm - kKey_mm - 2.0 * kPad_mm;
  std::vector<Line> lines;
  const auto add = [&](std::string key, std::string text) {
    const double height_mm =
        std::max(5.2, text_height_mm(writer.canvas, text, {kBody_pt}, inside_mm) + 0.9);
    lines.push_back({std::move(key), std::move(text), height_mm});
  };
  if (plan.dies.empty()) add("Die", "none chosen");
  for (std::size_t i = 0; i < plan.dies.size(); ++i) {
    add("Die D" + std::to_string(i + 1), die_words(plan.dies[i], writer.wording));
  }
  double height_mm = 0.0;
  for (const Line& l : lines) height_mm += l.height_mm;
  return {height_mm, [lines](Canvas& canvas, const Box& box) {
            double y_mm = box.y_mm;
            for (const Line& l : lines) {
              frame(canvas, {box.x_mm, y_mm, box.width_mm, l.height_mm}, kThin_mm);
              line(canvas, {box.x_mm + kKey_mm, y_mm}, {box.x_mm + kKey_mm, y_mm + l.height_mm},
                   kThin_mm);
              text_in(canvas, {box.x_mm + kPad_mm, y_mm, kKey_mm - kPad_mm, l.height_mm}, l.key,
                      {kBody_pt, true});
              text_in(canvas,
                      {box.x_mm + kKey_mm + kPad_mm, y_mm, box.width_mm - kKey_mm - 2.0 * kPad_mm,
                       l.height_mm},
                      l.text, {kBody_pt}, kBody_pt);
              y_mm += l.height_mm;
            }
          }};
}

Block short_head_block(const Writer& writer, double width_mm) {
  constexpr double kTitle_mm = 34.0;
  const double inside_mm = width_mm - kTitle_mm - kPad_mm;
  return {8.0, [text = part_line(writer.plan.part, writer.canvas, 12.0, inside_mm), inside_mm](
                   Canvas& canvas, const Box& box) {
            frame(canvas, box, kRule_mm);
            text_in(canvas, {box.x_mm + kPad_mm, box.y_mm, kTitle_mm - kPad_mm, box.height_mm},
                    "SET-UP SHEET", {kBody_pt, true});
            text_in(canvas, {box.x_mm + kTitle_mm, box.y_mm, inside_mm, box.height_mm}, text,
                    {12.0, true}, kSmall_pt);
          }};
}

std::optional<Block> stop_banner(const Writer& writer, double width_mm) {
  constexpr std::size_t kMostTold = 3;
  std::vector<part::Finding> findings = writer.plan.findings;
  part::sort_by_weight(findings);
  std::string text;
  std::size_t num_stops = 0;
  for (const part::Finding& finding : findings) {
    if (finding.severity != part::Severity::kStop) break;
    if (++num_stops > kMostTold) continue;
    if (finding.bend) text += fmt::format("Bend {}: ", *finding.bend);
    text += finding.message + "\n";
  }
  if (num_stops == 0) return std::nullopt;
  if (num_stops > kMostTold) text += fmt::format("And {} more. ", num_stops - kMostTold);
  text += "Clear every stop finding, then print a new sheet.";
  const TextStyle style{10.0, true, Align::kCentre, width_mm - 6.0, 1.0};
  const double height_mm = 10.0 + writer.canvas.measure(text, style).height_mm + 1.2;
  return Block{height_mm, [text, style](Canvas& canvas, const Box& box) {
                 fill_box(canvas, box, 0.0);
                 text_in(canvas, {box.x_mm + 2.0, box.y_mm + 0.6, box.width_mm - 4.0, 9.0},
                         "DO NOT BEND FROM THIS SHEET", {22.0, true, Align::kCentre, 0.0, 1.0});
                 canvas.text({box.centre().x_mm, box.y_mm + 9.8}, text, style);
               }};
}

}  // namespace bight::papers
