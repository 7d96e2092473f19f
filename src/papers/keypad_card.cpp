#include "papers/keypad_card.h"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "papers/block.h"
#include "papers/ruled.h"
#include "papers/wording.h"

namespace bight::papers {

namespace {

using planning::Checklist;
using planning::KeypadRow;
using planning::KeypadTable;
using planning::Plan;

constexpr double kMargin_mm = 10.0;
constexpr double kHead_mm = 21.0;
constexpr double kColumnHead_mm = 8.0;
constexpr double kRow_mm = 10.0;
constexpr double kTick_mm = 5.0;
constexpr double kStep_mm = 13.0;   // the column of step and bend
constexpr double kTicks_mm = 34.0;  // both columns of boxes
constexpr double kFoot_mm = 7.0;

class Card {
 public:
  Card(const Plan& plan, const KeypadTable& table, const Checklist& list,
       const SheetOptions& options, Canvas& canvas)
      : plan_(plan),
        table_(table),
        list_(list),
        options_(options),
        canvas_(canvas),
        wording_(options.length, plan.bender ? plan.bender->angle_step : base::Angle::degrees(0.1)),
        inside_(Box{0, 0, canvas.width_mm(), canvas.height_mm()}.inset(kMargin_mm)) {}

  void draw() {
    begin_page("KEYPAD CARD");
    draw_findings();
    column_heads();
    for (std::size_t i = 0; i < table_.rows.size(); ++i) {
      if (y_mm_ + kRow_mm + (i + 1 == table_.rows.size() ? 2.0 * kRow_mm + 30.0 : 0.0) >
          bottom_mm()) {
        canvas_.next_page();
        begin_page("KEYPAD CARD, continued");
        column_heads();
      }
      draw_row(table_.rows[i]);
    }
    draw_totals();
    draw_read_back();
    canvas_.next_page();
    begin_page("BEFORE THE FIRST PIECE");
    draw_checklist();
  }

 private:
  double bottom_mm() const { return inside_.bottom_mm() - kFoot_mm; }

  void begin_page(const std::string& title) {
    y_mm_ = inside_.y_mm;
    title_bar(canvas_, {inside_.x_mm, y_mm_, inside_.width_mm, kTitleBar_mm}, title);
    y_mm_ += kTitleBar_mm + 1.5;
    const Box head{inside_.x_mm, y_mm_, inside_.width_mm, kHead_mm - kTitleBar_mm - 2.5};
    const double half_mm = head.height_mm / 2.0;
    const double right_mm = 62.0;
    text_in(canvas_, {head.x_mm, head.y_mm, head.width_mm - right_mm, half_mm},
            part_line(plan_.part, canvas_, 13.0, head.width_mm - right_mm), {13.0, true}, kBody_pt);
    text_in(canvas_, {head.right_mm() - right_mm, head.y_mm, right_mm, half_mm},
            plan_.bender ? plan_.bender->name : "", {13.0, true, Align::kRight}, kBody_pt);
    text_in(canvas_, {head.x_mm, head.y_mm + half_mm, head.width_mm - right_mm, half_mm},
            tube_words(), {kBody_pt});
    text_in(canvas_, {head.right_mm() - right_mm, head.y_mm + half_mm, right_mm, half_mm},
            options_.date, {kBody_pt, false, Align::kRight});
    y_mm_ = inside_.y_mm + kHead_mm;
    foot();
  }

  std::string tube_words() const {
    std::string words = section_words(plan_.part.section, wording_) + "  ·  " +
                        plan_.part.material.name + "  ·  cut " +
                        wording_.length_with_unit(plan_.blank.cut.likely_mm) + ", clamp end " +
                        std::string(end_letter(plan_.blank.front)) + " first";
    for (const planning::UsedDie& used : plan_.dies) words += "  ·  die " + used.die.name;
    return words;
  }

  void foot() {
    const Box box{inside_.x_mm, inside_.bottom_mm() - kFoot_mm + 1.0, inside_.width_mm,
                  kFoot_mm - 1.0};
    line(canvas_, {box.x_mm, box.y_mm}, {box.right_mm(), box.y_mm}, kThin_mm);
    text_in(canvas_, box,
            "Local codes, the machine's manual and trained people come first. Keep clear of die, "
            "clamp and the swinging tube.",
            {kSmall_pt}, 7.0);
  }

  void draw_findings() {
    for (const part::Finding& finding : table_.findings) {
      const std::string text =
          finding.message + (finding.remedy.empty() ? "" : ": " + finding.remedy);
      const TextStyle style{kBody_pt, finding.severity == part::Severity::kStop};
      const double height_mm =
          std::max(6.0, text_height_mm(canvas_, text, style, inside_.width_mm - 8.0));
      severity_sign(canvas_, {inside_.x_mm + 3.0, y_mm_ + 3.0}, 4.6, finding.severity);
      TextStyle wrapped = style;
      wrapped.wrap_mm = inside_.width_mm - 8.0;
      canvas_.text({inside_.x_mm + 8.0, y_mm_ + 0.8}, text, wrapped);
      y_mm_ += height_mm + 0.8;
    }
    y_mm_ += 1.0;
  }

  double column_mm() const {
    const double count = static_cast<double>(std::max<std::size_t>(1, table_.heads.size()));
    return (inside_.width_mm - kStep_mm - kTicks_mm) / count;
  }
  Box cell(std::size_t index, double height_mm) const {
    return {inside_.x_mm + kStep_mm + column_mm() * static_cast<double>(index), y_mm_, column_mm(),
            height_mm};
  }
  Box tick_column(int index, double height_mm) const {
    const double half_mm = kTicks_mm / 2.0;
    return {inside_.right_mm() - kTicks_mm + half_mm * index, y_mm_, half_mm, height_mm};
  }

  void column_heads() {
    const Box all{inside_.x_mm, y_mm_, inside_.width_mm, kColumnHead_mm};
    fill_box(canvas_, all, 0.88);
    frame(canvas_, all, kRule_mm);
    text_in(canvas_, Box{all.x_mm, y_mm_, kStep_mm, kColumnHead_mm}.inset(0.5), "bend",
            {kBody_pt, true, Align::kCentre}, 7.0);
    for (std::size_t i = 0; i < table_.heads.size(); ++i) {
      text_in(canvas_, cell(i, kColumnHead_mm).inset(0.5), table_.heads[i],
              {11.0, true, Align::kCentre}, 7.0);
    }
    text_in(canvas_, tick_column(0, kColumnHead_mm).inset(0.5), "typed",
            {kBody_pt, true, Align::kCentre}, 7.0);
    text_in(canvas_, tick_column(1, kColumnHead_mm).inset(0.5), "read back",
            {kBody_pt, true, Align::kCentre}, 7.0);
    y_mm_ += kColumnHead_mm;
  }

  void draw_row(const KeypadRow& row) {
    const Box all{inside_.x_mm, y_mm_, inside_.width_mm, kRow_mm};
    frame(canvas_, all, kThin_mm);
    const std::string number = row.step == row.bend
                                   ? std::to_string(row.step)
                                   : fmt::format("{} (bend {})", row.step, row.bend);
    text_in(canvas_, Box{all.x_mm, y_mm_, kStep_mm, kRow_mm}.inset(0.5), number,
            {11.0, true, Align::kCentre}, 7.0);
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      const Box box = cell(i, kRow_mm);
      line(canvas_, {box.x_mm, box.y_mm}, {box.x_mm, box.bottom_mm()}, kThin_mm);
      text_in(canvas_, box.inset(0.8), row.cells[i].text, {16.0, true, Align::kCentre}, 8.0);
    }
    ticks(kRow_mm);
    y_mm_ += kRow_mm;
  }

  void ticks(double height_mm) {
    for (const int index : {0, 1}) {
      const Box box = tick_column(index, height_mm);
      line(canvas_, {box.x_mm, box.y_mm}, {box.x_mm, box.bottom_mm()}, kThin_mm);
      tick_box(canvas_, {box.centre().x_mm - kTick_mm / 2.0, box.centre().y_mm - kTick_mm / 2.0},
               kTick_mm);
    }
  }

  void draw_totals() {
    const Box all{inside_.x_mm, y_mm_, inside_.width_mm, kRow_mm};
    fill_box(canvas_, all, 0.94);
    frame(canvas_, all, kHeavy_mm);
    text_in(canvas_, Box{all.x_mm, y_mm_, kStep_mm, kRow_mm}.inset(0.5), "total",
            {kBody_pt, true, Align::kCentre}, 7.0);
    for (std::size_t i = 0; i < table_.totals.size(); ++i) {
      text_in(canvas_, cell(i, kRow_mm).inset(0.8), table_.totals[i], {13.0, true, Align::kCentre},
              8.0);
    }
    ticks(kRow_mm);
    y_mm_ += kRow_mm + 2.0;
  }

  void paragraph(const std::string& text, double size_pt = 10.0) {
    TextStyle style{size_pt};
    style.wrap_mm = inside_.width_mm;
    canvas_.text({inside_.x_mm, y_mm_}, text, style);
    y_mm_ += text_height_mm(canvas_, text, style, inside_.width_mm) + 1.5;
  }

  void draw_read_back() {
    if (table_.last_straight_mm && table_.arcs_mm) {
      paragraph(fmt::format("Feeds, {} of last straight and {} of arcs make the cut length {}.",
                            wording_.length_with_unit(*table_.last_straight_mm),
                            wording_.length_with_unit(*table_.arcs_mm),
                            wording_.length_with_unit(plan_.blank.cut.likely_mm)));
    }
    paragraph(
        "Read the program back from the keypad aloud, line by line, signs too; add the "
        "columns up again and hold them against the totals. A line that differs is typed "
        "anew and both boxes start over.");
    if (!table_.profile.note.empty()) paragraph("This keypad: " + table_.profile.note);
    const double third_mm = inside_.width_mm / 3.0;
    y_mm_ += 3.0;
    const char* labels[] = {"typed by", "read back by", "date, time"};
    for (int i = 0; i < 3; ++i) {
      const double x_mm = inside_.x_mm + third_mm * i;
      line(canvas_, {x_mm, y_mm_ + 8.0}, {x_mm + third_mm - 4.0, y_mm_ + 8.0}, kRule_mm);
      canvas_.text({x_mm, y_mm_ + 8.6}, labels[i], {kSmall_pt});
    }
    y_mm_ += 14.0;
  }

  void draw_checklist() {
    const double text_mm = inside_.width_mm - 10.0;
    for (const planning::ChecklistItem& item : list_.items) {
      TextStyle style{10.5, item.safety};
      style.wrap_mm = text_mm;
      const double height_mm =
          std::max(7.4, text_height_mm(canvas_, item.text, style, text_mm) + 2.4);
      if (y_mm_ + height_mm > bottom_mm()) {
        canvas_.next_page();
        begin_page("BEFORE THE FIRST PIECE, continued");
      }
      tick_box(canvas_, {inside_.x_mm + 1.0, y_mm_ + 0.6}, kTick_mm);
      canvas_.text({inside_.x_mm + 10.0, y_mm_ + 1.0}, item.text, style);
      y_mm_ += height_mm;
      line(canvas_, {inside_.x_mm, y_mm_ - 0.6}, {inside_.right_mm(), y_mm_ - 0.6}, kThin_mm);
    }
    y_mm_ += 2.0;
    for (const std::string& caution : list_.cautions) {
      TextStyle style{kBody_pt};
      style.wrap_mm = text_mm;
      const double height_mm = text_height_mm(canvas_, caution, style, text_mm) + 1.6;
      if (y_mm_ + height_mm > bottom_mm()) {
        canvas_.next_page();
        begin_page("BEFORE THE FIRST PIECE, continued");
      }
      severity_sign(canvas_, {inside_.x_mm + 3.5, y_mm_ + 2.2}, 4.2, part::Severity::kCaution);
      canvas_.text({inside_.x_mm + 10.0, y_mm_}, caution, style);
      y_mm_ += std::max(5.0, height_mm);
    }
  }

  const Plan& plan_;
  const KeypadTable& table_;
  const Checklist& list_;
  const SheetOptions& options_;
  Canvas& canvas_;
  Wording wording_;
  Box inside_;
  double y_mm_ = 0.0;
};

}  // namespace

void draw_keypad_card(const Plan& plan, const KeypadTable& table, const Checklist& list,
                      const SheetOptions& options, Canvas& canvas) {
  Card(plan, table, list, options, canvas).draw();
}

base::Result<std::vector<std::string>> keypad_card_files(const Plan& plan, const KeypadTable& table,
                                                         const Checklist& list,
                                                         const SheetOptions& options,
                                                         Format format) {
  CanvasOptions paper;
  paper.format = format;
  paper.width_mm = paper_width_mm(options.paper);
  paper.height_mm = paper_height_mm(options.paper);
  paper.title = "Keypad card: " + plan.part.name;
  BIGHT_TRY(const std::unique_ptr<Canvas> canvas, open_canvas(paper));
  draw_keypad_card(plan, table, list, options, *canvas);
  return canvas->finish();
}

}  // namespace bight::papers
