#include "papers/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <memory>
#include <utility>

#include "papers/blank_figure.h"
#include "papers/block.h"
#include "papers/drawing.h"
#include "papers/ruled.h"
#include "papers/sheet_after.h"
#include "papers/sheet_head.h"
#include "papers/sheet_lists.h"
#include "papers/sheet_steps.h"

namespace bight::papers {

namespace {

constexpr double kMarginX_mm = 9.0;
constexpr double kMarginY_mm = 7.0;
constexpr double kFooter_mm = 8.6;
constexpr double kGap_mm = 1.5;
constexpr double kColumnGap_mm = 2.5;
constexpr double kViewsLeast_mm = 32.0;
constexpr double kViewsFair_mm = 58.0;
// Heights that were summed in another order must not turn a page.
constexpr double kSlack_mm = 0.01;

// A block whose place is settled. Pages are settled before anything is drawn, because each footer
// says how many there are.
struct Placed {
  Block block;
  Box box;
};
using Page = std::vector<Placed>;

double total_mm(const std::vector<Block>& blocks) {
  double sum_mm = 0.0;
  for (const Block& block : blocks) sum_mm += block.height_mm;
  return sum_mm;
}

Block title_row(const Group& group) {
  return {kTitleBar_mm,
          [title = group.title, on_title = group.on_title](Canvas& canvas, const Box& box) {
            title_bar(canvas, box, title);
            if (on_title) on_title(canvas, box);
          }};
}

constexpr double kAnnounce_mm = 5.4;

Block announcement(std::size_t first_step, std::size_t last_step) {
  const std::string steps = first_step == last_step
                                ? fmt::format("Step {}", first_step)
                                : fmt::format("Steps {} to {}", first_step, last_step);
  return {kAnnounce_mm, [steps](Canvas& canvas, const Box& box) {
            fill_box(canvas, box, 0.0);
            text_in(canvas, box.inset(0.4), steps + " on the next page",
                    {10.0, true, Align::kCentre, 0.0, 1.0}, kBody_pt);
          }};
}

using Column = std::vector<Group>;

double column_mm(const Column& column) {
  double sum_mm = 0.0;
  for (const Group& group : column) sum_mm += group.height_mm() + kGap_mm;
  return sum_mm;
}

// "FINDINGS, continued": the first word of the title, whatever stood after it.
std::string continued(const std::string& title) {
  return title.substr(0, title.find_first_of(" ,")) + ", continued";
}

// Findings left, lengths to measure right; the last findings go below those when that is shorter.
std::array<Column, 2> columns_of(Group findings, Group checks) {
  Group rest{continued(findings.title), {}, {}};
  const double checks_mm = checks.height_mm() + kGap_mm;
  while (findings.rows.size() > 1 && findings.height_mm() > checks_mm + rest.height_mm() + kGap_mm +
                                                                findings.rows.back().height_mm) {
    rest.rows.insert(rest.rows.begin(), findings.rows.back());
    findings.rows.pop_back();
  }
  std::array<Column, 2> columns{Column{std::move(findings)}, Column{std::move(checks)}};
  if (!rest.rows.empty()) columns[1].push_back(std::move(rest));
  return columns;
}

// Said on the first page when the findings are on the next.
Block findings_pointer(const planning::Plan& plan) {
  const std::array<std::size_t, 3> counts = told_counts(plan.findings);
  const auto said = [&](part::Severity severity) {
    const std::size_t count = counts[static_cast<std::size_t>(severity)];
    return fmt::format("{} {}{}", count, part::word(severity), count == 1 ? "" : "s");
  };
  const std::string text = fmt::format(
      "On the next page: {}, {}, {}; lengths to measure; signatures", said(part::Severity::kStop),
      said(part::Severity::kCaution), said(part::Severity::kNote));
  return {5.4, [text](Canvas& canvas, const Box& box) {
            frame(canvas, box, kRule_mm);
            text_in(canvas, box.inset(0.4), text, {10.0, true, Align::kCentre}, kBody_pt);
          }};
}

class Composer {
 public:
  Composer(const Writer& writer, const Box& inside) : writer_(writer), inside_(inside) {}

  std::vector<Page> compose();

 private:
  struct Content {
    Block tools, blank;
    std::array<Column, 2> columns;
    std::vector<Block> safety;
    Block sign_off;
    Group after;            // pictures after each step, as many rows as there are
    double upper_mm = 0.0;  // tools, blank and steps with the gaps around them
    double columns_mm = 0.0;
    double safety_mm = 0.0;
  };
  struct Share {
    double views_mm;
    bool columns_in_front, safety_in_front;  // on the first page
  };
  Content content() const;
  Share share(const Content& content) const;
  void put_end(const Block& sign_off, const std::vector<Block>& safety, double views_mm);

  double left_mm() const { return inside_.bottom_mm() + kSlack_mm - y_mm_; }

  void put(const Block& block, double gap_mm = kGap_mm) {
    pages_.back().push_back({block, {inside_.x_mm, y_mm_, inside_.width_mm, block.height_mm}});
    y_mm_ += block.height_mm + gap_mm;
  }

  void put_all(const std::vector<Block>& blocks) {
    for (const Block& block : blocks) put(block, 0.0);
    y_mm_ += kGap_mm;
  }

  void turn_page() {
    pages_.emplace_back();
    y_mm_ = inside_.y_mm;
    put(short_head_block(writer_, inside_.width_mm));
    if (const auto banner = stop_banner(writer_, inside_.width_mm)) put(*banner);
  }

  Block views_block(double height_mm) const {
    const planning::Plan& plan = writer_.plan;
    return {height_mm, [&plan, &wording = writer_.wording](Canvas& canvas, const Box& box) {
              draw_views(canvas, box, plan.bent_table, plan.part.section, wording);
              frame(canvas, box, kRule_mm);
            }};
  }

  void put_steps(const std::vector<Block>& rows);
  void put_columns(std::array<Column, 2> columns);
  void put_group(Group group);
  // Fills one column from y to the bottom of the page; what did not fit stays in the column.
  double fill_column(Column& column, double x_mm, double width_mm);

  const Writer& writer_;
  Box inside_;
  double y_mm_ = 0.0;
  std::vector<Page> pages_;
};

void Composer::put_steps(const std::vector<Block>& rows) {
  const Block heading = steps_heading(writer_);
  const auto note = steps_note(writer_, inside_.width_mm);
  if (!writer_.plan.steps.empty()) put(heading, 0.0);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    // Rows that go on overleaf are announced: a last row alone on page 2 is easily missed.
    const double announced_mm = i + 1 < rows.size() ? kAnnounce_mm : 0.0;
    if (rows[i].height_mm + announced_mm > left_mm()) {
      put(announcement(i + 1, rows.size()), 0.0);
      turn_page();
      put(heading, 0.0);
    }
    put(rows[i], 0.0);
  }
  if (note) {
    if (note->height_mm > left_mm()) turn_page();
    put(*note, 0.0);
  }
  y_mm_ += kGap_mm;
}

double Composer::fill_column(Column& column, double x_mm, double width_mm) {
  double y_mm = y_mm_;
  const auto put_at = [&](const Block& block) {
    pages_.back().push_back({block, {x_mm, y_mm, width_mm, block.height_mm}});
    y_mm += block.height_mm;
  };
  while (!column.empty()) {
    Group& group = column.front();
    // A row taller than a whole page is set at the top of one all the same.
    const bool fresh = y_mm == y_mm_;
    if (!fresh &&
        y_mm + kTitleBar_mm + group.rows.front().height_mm > inside_.bottom_mm() + kSlack_mm) {
      return y_mm;
    }
    put_at(title_row(group));
    std::size_t num_done = 0;
    while (num_done < group.rows.size() &&
           (y_mm + group.rows[num_done].height_mm <= inside_.bottom_mm() + kSlack_mm ||
            (fresh && num_done == 0))) {
      put_at(group.rows[num_done++]);
    }
    if (num_done < group.rows.size()) {
      group.rows.erase(group.rows.begin(), group.rows.begin() + static_cast<long>(num_done));
      group.title = continued(group.title);
      return y_mm;
    }
    column.erase(column.begin());
    y_mm += kGap_mm;
  }
  return y_mm;
}

void Composer::put_columns(std::array<Column, 2> columns) {
  const double width_mm = (inside_.width_mm - kColumnGap_mm) / 2.0;
  while (true) {
    const double first_mm = fill_column(columns[0], inside_.x_mm, width_mm);
    const double second_mm =
        fill_column(columns[1], inside_.x_mm + width_mm + kColumnGap_mm, width_mm);
    y_mm_ = std::max(first_mm, second_mm);
    if (columns[0].empty() && columns[1].empty()) return;
    turn_page();
  }
}

void Composer::put_group(Group group) {
  while (!group.rows.empty()) {
    if (kTitleBar_mm + group.rows.front().height_mm > left_mm()) turn_page();
    put(title_row(group), 0.0);
    while (!group.rows.empty() && group.rows.front().height_mm <= left_mm()) {
      put(group.rows.front(), 0.0);
      group.rows.erase(group.rows.begin());
    }
    group.title = continued(group.title);
    y_mm_ += kGap_mm;
  }
}

// What the page is made of, measured.
Composer::Content Composer::content() const {
  const double half_mm = (inside_.width_mm - kColumnGap_mm) / 2.0;
  Content content{
      tools_block(writer_, inside_.width_mm),
      blank_block(writer_, inside_.width_mm),
      columns_of(findings_group(writer_, half_mm), checks_group(writer_, half_mm)),
      {checklist_block(writer_), cautions_block(writer_, inside_.width_mm)},
      sign_off_block(writer_),
      {"PICTURES after each step, and two lengths to check it there", after_rows(writer_), {}}};
  const auto note = steps_note(writer_, inside_.width_mm);
  content.upper_mm = content.tools.height_mm + content.blank.height_mm +
                     total_mm(step_rows(writer_)) +
                     (writer_.plan.steps.empty() ? 0.0 : steps_heading(writer_).height_mm) +
                     (note ? note->height_mm : 0.0) + 4.0 * kGap_mm;
  content.columns_mm = std::max(column_mm(content.columns[0]), column_mm(content.columns[1]));
  content.safety_mm = total_mm(content.safety) + 2.0 * kGap_mm;
  return content;
}

// The ways to share out the sheet, the first that leaves the views enough: all on one page;
// findings and checks in front and the rest overleaf; what must be seen to and beware of in front
// and the findings announced; only the steps in front.
Composer::Share Composer::share(const Content& content) const {
  const double free_mm = left_mm() - kSlack_mm - content.upper_mm;
  const double all_mm =
      free_mm - content.columns_mm - content.safety_mm - content.sign_off.height_mm;
  if (all_mm >= kViewsLeast_mm) return {all_mm, true, true};
  const double most_mm = 0.45 * inside_.height_mm;
  const double safety_mm =
      free_mm - content.safety_mm - findings_pointer(writer_.plan).height_mm - kGap_mm;
  const double columns_mm = free_mm - content.columns_mm;
  if (columns_mm >= kViewsFair_mm) return {std::min(columns_mm, most_mm), true, false};
  if (safety_mm >= kViewsLeast_mm) return {std::min(safety_mm, most_mm), false, true};
  return {std::clamp(free_mm, kViewsLeast_mm, most_mm), false, false};
}

void Composer::put_end(const Block& sign_off, const std::vector<Block>& safety, double views_mm) {
  const double last_mm =
      total_mm(safety) + kGap_mm * static_cast<double>(safety.size()) + sign_off.height_mm;
  if (last_mm > left_mm()) turn_page();
  // What is signed stands at the foot of the last page; room between is for writing.
  double free_mm = left_mm() - last_mm - kGap_mm;
  if (views_mm < kViewsFair_mm && free_mm > 90.0) {
    // Many bends left little room for the views: here they are once more, large enough to read.
    const double large_mm = std::min(120.0, free_mm - 30.0);
    put(views_block(large_mm));
    free_mm -= large_mm + kGap_mm;
  }
  if (free_mm > 24.0) {
    put({free_mm, [](Canvas& canvas, const Box& box) { draw_notes(canvas, box); }});
  }
  y_mm_ = inside_.bottom_mm() - last_mm;
  for (const Block& block : safety) put(block);
  put(sign_off);
}

std::vector<Page> Composer::compose() {
  pages_.assign(1, {});
  y_mm_ = inside_.y_mm;
  if (const auto banner = stop_banner(writer_, inside_.width_mm)) put(*banner);
  put_all(head_blocks(writer_, inside_.width_mm));
  Content content = this->content();
  Share share = this->share(content);
  const bool one_page = share.columns_in_front && share.safety_in_front;
  // Pictures stand in front where the views keep their room, else overleaf.
  const double after_mm =
      content.after.rows.empty() ? 0.0 : content.after.height_mm() + 2.0 * kGap_mm;
  const bool after_in_front = one_page && share.views_mm - after_mm >= kViewsFair_mm;
  if (after_in_front) share.views_mm -= after_mm;
  const bool overleaf = one_page && !after_in_front && after_mm > 0.0;
  double stretch_mm = 0.0;
  if (one_page && !writer_.plan.steps.empty()) {
    // Rows grow a little before the views grow a lot.
    const double num_steps = static_cast<double>(writer_.plan.steps.size());
    stretch_mm = std::clamp((share.views_mm - kViewsFair_mm) / num_steps, 0.0, 2.0);
    share.views_mm -= stretch_mm * num_steps;
  }
  put(views_block(share.views_mm));
  put(content.tools);
  put(content.blank);
  put_steps(step_rows(writer_, stretch_mm));
  const bool announced = share.safety_in_front && !one_page;
  if (announced) {
    for (const Block& block : content.safety) put(block);
    content.safety.clear();
    put(findings_pointer(writer_.plan));
  }
  if (announced || content.columns_mm > left_mm()) turn_page();
  put_columns(content.columns);
  if (!overleaf) put_group(std::move(content.after));
  put_end(content.sign_off, content.safety, share.views_mm);
  if (overleaf) {
    turn_page();
    put_group(std::move(content.after));
  }
  return pages_;
}

double straights_mm(const geometry::BendTable& table) {
  double sum_mm = 0.0;
  for (std::size_t i = 0; i <= table.num_bends(); ++i) sum_mm += table.straight_mm(i);
  return sum_mm;
}

void draw_footer(Canvas& canvas, const Box& box, const Writer& writer, std::size_t page,
                 std::size_t num_pages) {
  const planning::Plan& plan = writer.plan;
  // What is printed is added, so that whoever adds it up finds the same.
  const auto printed = [](base::Angle angle, int decimals) {
    const double steps = std::pow(10.0, decimals);
    return base::Angle::degrees(std::round(angle.deg() * steps) / steps);
  };
  base::Angle set;
  base::Angle wanted;
  for (const planning::Step& step : plan.steps)
    set = set + printed(step.set_angle.likely, writer.wording.set_decimals());
  for (const geometry::BendRow& row : plan.bent_table.rows())
    wanted = wanted + printed(row.angle, 1);
  line(canvas, {box.x_mm, box.y_mm}, {box.right_mm(), box.y_mm}, kHeavy_mm);
  const double half_mm = box.height_mm / 2.0;
  std::string totals = fmt::format(
      "Check totals:  {} straights {} {}  ·  {} bend angles {} wanted",
      plan.bent_table.num_bends() + 1, writer.wording.length(straights_mm(plan.bent_table)),
      writer.wording.unit(), plan.bent_table.num_bends(), writer.wording.angle(wanted));
  if (!plan.steps.empty()) totals += ", " + writer.wording.set_angle(set) + " set";
  text_in(canvas, {box.x_mm, box.y_mm + 0.6, box.width_mm, half_mm}, totals, {kBody_pt, true});
  text_in(canvas, {box.x_mm, box.y_mm + half_mm, box.width_mm - 30.0, half_mm},
          part_line(plan.part, canvas, kBody_pt, box.width_mm - 30.0), {kBody_pt});
  text_in(canvas, {box.right_mm() - 30.0, box.y_mm + half_mm, 30.0, half_mm},
          fmt::format("page {} of {}", page, num_pages), {kBody_pt, true, Align::kRight});
}

// The plan with its notes gathered into one line: stops and cautions stand, notes are background
// that the plan itself still holds.
planning::Plan with_notes_gathered(const planning::Plan& plan) {
  planning::Plan shorter = plan;
  const auto is_note = [](const part::Finding& f) { return f.severity == part::Severity::kNote; };
  const auto num_notes = std::count_if(shorter.findings.begin(), shorter.findings.end(), is_note);
  std::erase_if(shorter.findings, is_note);
  if (num_notes > 0) {
    shorter.findings.push_back(
        {part::Severity::kNote,
         "papers.notes",
         std::nullopt,
         fmt::format("{} note{} on stock and setting stand{} in the plan, "
                     "not on this sheet",
                     num_notes, num_notes == 1 ? "" : "s", num_notes == 1 ? "s" : ""),
         "",
         "",
         {}});
  }
  return shorter;
}

base::Failure write_failure(const std::string& path) {
  return {"papers.write", path, "the sheet could not be written", "a folder that can be written"};
}

}  // namespace

double paper_width_mm(Paper paper) { return paper == Paper::kA4 ? 210.0 : 215.9; }
double paper_height_mm(Paper paper) { return paper == Paper::kA4 ? 297.0 : 279.4; }

void draw_sheet(const planning::Plan& plan, const SheetOptions& options, Canvas& canvas) {
  const Wording wording(options.length,
                        plan.bender ? plan.bender->angle_step : base::Angle::degrees(0.1));
  const planning::Plan shorter = with_notes_gathered(plan);
  const Writer whole_writer{plan, wording, canvas, options.date};
  const Writer short_writer{shorter, wording, canvas, options.date};
  const Box inside{kMarginX_mm, kMarginY_mm, canvas.width_mm() - 2.0 * kMarginX_mm,
                   canvas.height_mm() - 2.0 * kMarginY_mm - kFooter_mm - kGap_mm};
  std::vector<Page> pages = Composer(whole_writer, inside).compose();
  const Writer* used = &whole_writer;
  if (pages.size() > 1) {
    // Notes give way before a second page does.
    std::vector<Page> fewer = Composer(short_writer, inside).compose();
    if (fewer.size() < pages.size()) {
      pages = std::move(fewer);
      used = &short_writer;
    }
  }
  const Writer& writer = *used;
  for (std::size_t i = 0; i < pages.size(); ++i) {
    if (i > 0) canvas.next_page();
    for (const Placed& placed : pages[i]) placed.block.draw(canvas, placed.box);
    draw_footer(
        canvas,
        {inside.x_mm, canvas.height_mm() - kMarginY_mm - kFooter_mm, inside.width_mm, kFooter_mm},
        writer, i + 1, pages.size());
  }
}

base::Result<std::vector<std::string>> sheet_files(const planning::Plan& plan,
                                                   const SheetOptions& options, Format format) {
  CanvasOptions paper;
  paper.format = format;
  paper.width_mm = paper_width_mm(options.paper);
  paper.height_mm = paper_height_mm(options.paper);
  paper.title = "Set-up sheet: " + plan.part.name;
  BIGHT_TRY(const std::unique_ptr<Canvas> canvas, open_canvas(paper));
  draw_sheet(plan, options, *canvas);
  return canvas->finish();
}

base::Status write_sheet(const planning::Plan& plan, const SheetOptions& options,
                         const std::string& path) {
  const std::size_t dot = path.rfind('.');
  const std::string stem = path.substr(0, dot);
  const std::string ending = dot == std::string::npos ? "" : path.substr(dot);
  Format format{};
  if (ending == ".pdf") {
    format = Format::kPdf;
  } else if (ending == ".svg") {
    format = Format::kSvg;
  } else if (ending == ".png") {
    format = Format::kPng;
  } else {
    return base::Failure{"papers.format", path,
                         fmt::format("a sheet cannot be written as \"{}\"", ending),
                         "a name that ends in .pdf, .svg or .png"};
  }
  BIGHT_TRY(const std::vector<std::string> files, sheet_files(plan, options, format));
  for (std::size_t i = 0; i < files.size(); ++i) {
    const std::string name = i == 0 ? path : fmt::format("{}-{}{}", stem, i + 1, ending);
    std::ofstream out(name, std::ios::binary);
    out << files[i];
    out.close();
    if (!out) return write_failure(name);
  }
  return base::Done{};
}

}  // namespace bight::papers
