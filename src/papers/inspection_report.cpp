#include "papers/inspection_report.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <memory>

#include "geometry/centreline.h"
#include "inspection/agreed.h"
#include "papers/deviation_figure.h"
#include "papers/drawing.h"
#include "papers/report_rows.h"
#include "papers/ruled.h"

namespace bight::papers {

using inspection::Laid;
using inspection::Verdict;

namespace {

constexpr double kReportMarginX_mm = 9.0;
constexpr double kReportMarginY_mm = 7.0;
constexpr double kReportFooter_mm = 5.0;
constexpr double kReportGap_mm = 1.6;
constexpr double kFigure_mm = 78.0;
constexpr double kViews_mm = 62.0;
constexpr double kSignOff_mm = 11.0;

struct PlacedBlock {
  Block block;
  Box box;
};
using ReportPage = std::vector<PlacedBlock>;

// Blocks one below the other; pages turn between rows.
class Flow {
 public:
  explicit Flow(const Box& inside) : inside_(inside), y_mm_(inside.y_mm) { pages_.emplace_back(); }

  double left_mm() const { return inside_.bottom_mm() - y_mm_; }

  void put(const Block& block, double gap_mm = kReportGap_mm) {
    if (block.height_mm > left_mm() + 1e-6 && !pages_.back().empty()) turn_page();
    pages_.back().push_back({block, {inside_.x_mm, y_mm_, inside_.width_mm, block.height_mm}});
    y_mm_ += block.height_mm + gap_mm;
  }

  void put(const Group& group) {
    if (group.rows.empty()) return;
    const double least_mm = kTitleBar_mm + group.rows[0].height_mm +
                            (group.rows.size() > 1 ? group.rows[1].height_mm : 0.0);
    if (least_mm > left_mm()) turn_page();
    put_title(group.title);
    for (const Block& row : group.rows) {
      if (row.height_mm > left_mm() + 1e-6) {
        turn_page();
        put_title(group.title + ", continued");
      }
      put(row, 0.0);
    }
    y_mm_ += kReportGap_mm;
  }

  // At the foot of the last page.
  void put_at_foot(const Block& block) {
    if (block.height_mm > left_mm() + 1e-6) turn_page();
    pages_.back().push_back(
        {block,
         {inside_.x_mm, inside_.bottom_mm() - block.height_mm, inside_.width_mm, block.height_mm}});
  }

  const std::vector<ReportPage>& pages() const { return pages_; }

 private:
  void turn_page() {
    pages_.emplace_back();
    y_mm_ = inside_.y_mm;
  }
  void put_title(const std::string& title) {
    put({kTitleBar_mm, [title](Canvas& canvas, const Box& box) { title_bar(canvas, box, title); }},
        0.0);
  }

  Box inside_;
  double y_mm_ = 0.0;
  std::vector<ReportPage> pages_;
};

part::Severity sign_of(Verdict verdict) {
  if (verdict == Verdict::kOutside) return part::Severity::kStop;
  return verdict == Verdict::kWithin ? part::Severity::kNote : part::Severity::kCaution;
}

// In words nobody can take for another at arm's length.
std::string verdict_words(Verdict verdict) {
  switch (verdict) {
    case Verdict::kWithin:
      return "WITHIN WHAT WAS AGREED";
    case Verdict::kOutside:
      return "OUTSIDE WHAT WAS AGREED";
    case Verdict::kUndecided:
      return "UNDECIDED: THE READINGS ARE TOO ROUGH";
    case Verdict::kNotJudged:
      return "NOT JUDGED: NO TOLERANCE WAS AGREED";
  }
  return "";
}

Block verdict_block(Verdict verdict) {
  return {11.0, [verdict](Canvas& canvas, const Box& box) {
            frame(canvas, box, kHeavy_mm);
            severity_sign(canvas, {box.x_mm + 7.0, box.centre().y_mm}, 7.0, sign_of(verdict));
            text_in(canvas, {box.x_mm + 14.0, box.y_mm, box.width_mm - 70.0, box.height_mm},
                    verdict_words(verdict), {14.0, true}, 10.0);
            text_in(canvas, {box.right_mm() - 55.0, box.y_mm, 53.0, box.height_mm},
                    "INSPECTION REPORT", {12.0, true, Align::kRight}, 9.0);
          }};
}

// Names and values, two pairs a row.
std::vector<Block> facts(const std::vector<std::pair<std::string, std::string>>& all) {
  std::vector<std::pair<std::string, std::string>> given;
  for (const auto& fact : all) {
    if (!fact.second.empty()) given.push_back(fact);
  }
  std::vector<Block> out;
  for (std::size_t i = 0; i < given.size(); i += 2) {
    out.push_back({5.4, [given, i](Canvas& canvas, const Box& box) {
                     const double half_mm = box.width_mm / 2.0;
                     for (std::size_t k = 0; k < 2 && i + k < given.size(); ++k) {
                       const Box cell{box.x_mm + half_mm * static_cast<double>(k), box.y_mm,
                                      half_mm, box.height_mm};
                       frame(canvas, cell, kThin_mm);
                       text_in(canvas, {cell.x_mm + 1.0, cell.y_mm, 22.0, cell.height_mm},
                               given[i + k].first, {kSmall_pt}, 7.0);
                       text_in(canvas,
                               {cell.x_mm + 24.0, cell.y_mm, cell.width_mm - 25.0, cell.height_mm},
                               given[i + k].second, {kBody_pt, true}, 7.0);
                     }
                   }});
  }
  return out;
}

class Report {
 public:
  Report(const ReportInput& input, const SheetOptions& options, const Canvas& canvas)
      : input_(input), date_(options.date), wording_(options.length), canvas_(canvas) {}

  const ReportWording& wording() const { return wording_; }

  std::vector<ReportPage> pages(const Box& inside) const {
    Flow flow(inside);
    flow.put(verdict_block(input_.inspection.verdict));
    for (const Block& block : facts(head_facts())) flow.put(block, 0.0);
    flow.put(agreed_block(inside.width_mm));
    flow.put(figure_block());
    if (!input_.inspection.readings.empty()) flow.put(readings_group(input_, wording_));
    for (std::size_t i = 0; i < input_.inspection.laid.size(); ++i) {
      if (i > 0 && &input_.inspection.laid[i] != other()) continue;
      flow.put(laid_group(input_.inspection.laid[i], agreed(input_.inspection.laid[i]), wording_));
    }
    flow.put(sections_group(input_, canvas_, inside.width_mm));
    flow.put(report_findings_group(input_, canvas_, inside.width_mm));
    if (!input_.plan.checks.empty()) flow.put(tape_group(input_, wording_));
    flow.put(nothing_block(inside.width_mm));
    flow.put_at_foot(sign_block());
    return flow.pages();
  }

 private:
  bool agreed(const Laid& laid) const { return laid.deviation.by == input_.agreement.align; }

  // The way of laying over that judges the piece otherwise, the best fit before others; else, where
  // the agreed way is no best fit, the best fit, which shows how good the shape itself is.
  const Laid* other() const {
    const std::vector<Laid>& laid = input_.inspection.laid;
    const Laid* best_fit = nullptr;
    const Laid* otherwise = nullptr;
    for (std::size_t i = 1; i < laid.size(); ++i) {
      if (laid[i].deviation.by == inspection::AlignBy::kBestFit) best_fit = &laid[i];
      if (laid[i].verdict != laid.front().verdict && otherwise == nullptr) otherwise = &laid[i];
    }
    const bool fit_differs = best_fit != nullptr && best_fit->verdict != laid.front().verdict;
    return otherwise == nullptr || fit_differs ? best_fit : otherwise;
  }

  std::vector<std::pair<std::string, std::string>> head_facts() const {
    const part::Part& part = input_.plan.part;
    std::string name = part.name;
    if (part.hand != part::Hand::kSingle) name += "  ·  " + part::letters(part.hand);
    const std::string heat = input_.heat.empty() ? part.material.heat : input_.heat;
    return {{"part", name},
            {"piece", input_.measured.name},
            {"drawing", part.drawing + (part.revision.empty() ? "" : "  rev " + part.revision)},
            {"customer", part.customer},
            {"tube", section_words(part.section, wording_.plain())},
            {"metal", part.material.name + (heat.empty() ? "" : ", heat " + heat)},
            {"measured", input_.measured_on},
            {"by", input_.measured_by},
            {"with", input_.gauge},
            {"printed", date_}};
  }

  std::string agreed_words() const {
    const inspection::Agreement& a = input_.agreement;
    std::string text = fmt::format("Laid over by {}", words(a.align));
    if (a.align == inspection::AlignBy::kDatumPoints) {
      const std::size_t num = geometry::corner_points_mm(input_.plan.bent_table).size();
      std::vector<std::string> names;
      for (const std::size_t point : a.datum_points) {
        names.push_back(inspection::point_name(point, num));
      }
      text += fmt::format(" ({})", fmt::join(names, ", "));
    }
    text += ". Allowed: ";
    std::vector<std::string> limits;
    const auto length = [&](const std::optional<double>& limit_mm, const char* what) {
      if (!limit_mm) return;
      limits.push_back(
          fmt::format("{}{} {}", what, wording_.value(*limit_mm, "mm"), wording_.plain().unit()));
    };
    length(a.length_mm, "straights ±");
    if (a.angle) limits.push_back("bends and rotations ±" + wording_.value(a.angle->deg(), "deg"));
    length(a.corner_mm, "corners within ");
    length(a.end_mm, "ends within ");
    length(a.zone_radius_mm, "centreline within a tube of radius ");
    text += limits.empty() ? "nothing was agreed" : fmt::format("{}", fmt::join(limits, "; "));
    if (!a.rules.empty()) text += fmt::format("; rules {}", fmt::join(a.rules, ", "));
    text += ". ";
    text += a.guard_band
                ? "A reading's error counts: within means inside by the error, outside means "
                  "outside by it (after ISO 14253-1, unconfirmed)."
                : "Readings are judged as read.";
    const inspection::ReadingError& e = input_.measured.error;
    text += fmt::format(
        " Readings are good to (95 of 100): angles ±{}, rotations ±{}, straights ±{} {}, places "
        "±{} {}.",
        wording_.value(e.angle.deg(), "deg"), wording_.value(e.rotation.deg(), "deg"),
        wording_.value(e.straight_mm, "mm"), wording_.plain().unit(),
        wording_.value(e.point_mm, "mm"), wording_.plain().unit());
    return text;
  }

  Block agreed_block(double width_mm) const {
    const std::string text = agreed_words();
    const TextStyle style{kBody_pt, false, Align::kLeft, width_mm - 3.0};
    const double height_mm = canvas_.measure(text, style).height_mm + 2.0;
    return {height_mm, [text, style](Canvas& canvas, const Box& box) {
              frame(canvas, box, kRule_mm);
              canvas.text({box.x_mm + 1.5, box.y_mm + 0.8}, text, style);
            }};
  }

  // Deviation of the agreed way, and beside it of the other; without any, the part itself.
  Block figure_block() const {
    const std::vector<Laid>& laid = input_.inspection.laid;
    if (laid.empty()) {
      return {kViews_mm, [this](Canvas& canvas, const Box& box) {
                draw_views(canvas, box, input_.plan.bent_table, input_.plan.part.section,
                           wording_.plain());
                frame(canvas, box, kRule_mm);
              }};
    }
    return {kFigure_mm, [this, &laid](Canvas& canvas, const Box& box) {
              const Laid* second = other();
              const double width_mm = second == nullptr ? box.width_mm : box.width_mm / 2.0;
              draw_one(canvas, {box.x_mm, box.y_mm, width_mm, box.height_mm}, laid.front());
              if (second == nullptr) return;
              draw_one(canvas, {box.x_mm + width_mm, box.y_mm, width_mm, box.height_mm}, *second);
            }};
  }

  void draw_one(Canvas& canvas, const Box& box, const Laid& laid) const {
    const std::string title = fmt::format("{}{}: {}", words(laid.deviation.by),
                                          agreed(laid) ? " (agreed)" : "", word(laid.verdict));
    text_in(canvas, {box.x_mm + 1.0, box.y_mm, box.width_mm - 2.0, 5.0}, title, {kBody_pt, true},
            7.0);
    const std::vector<geometry::Vec3> corners_mm =
        geometry::corner_points_mm(input_.plan.bent_table, input_.plan.part.start);
    draw_deviation(canvas, {box.x_mm, box.y_mm + 5.0, box.width_mm, box.height_mm - 5.0},
                   corners_mm, laid.deviation, wording_.fine());
    frame(canvas, box, kRule_mm);
  }

  Block nothing_block(double width_mm) const {
    static constexpr const char* kText =
        "Bight certifies nothing. It compares what was measured with what was drawn and agreed; "
        "contract, drawing, the standard's own text and the people who sign decide. Deviations are "
        "in the drawing's axes; a corner is where two straights meet.";
    const TextStyle style{kSmall_pt, false, Align::kLeft, width_mm - 2.0};
    const double height_mm = canvas_.measure(kText, style).height_mm + 1.0;
    return {height_mm, [style](Canvas& canvas, const Box& box) {
              canvas.text({box.x_mm + 1.0, box.y_mm + 0.4}, kText, style);
            }};
  }

  static Block sign_block() {
    return {kSignOff_mm, [](Canvas& canvas, const Box& box) {
              static constexpr const char* kNames[] = {"Measured by", "Checked by",
                                                       "Accepted for the customer by"};
              const double cell_mm = box.width_mm / 3.0;
              for (std::size_t i = 0; i < 3; ++i) {
                const Box cell{box.x_mm + cell_mm * static_cast<double>(i), box.y_mm, cell_mm,
                               box.height_mm};
                frame(canvas, cell, kRule_mm);
                canvas.text({cell.x_mm + 1.2, cell.y_mm + 0.5}, kNames[i], {kSmall_pt, true});
                line(canvas, {cell.x_mm + 1.2, cell.bottom_mm() - 1.6},
                     {cell.x_mm + cell_mm * 0.64, cell.bottom_mm() - 1.6}, kThin_mm);
                line(canvas, {cell.x_mm + cell_mm * 0.7, cell.bottom_mm() - 1.6},
                     {cell.right_mm() - 1.2, cell.bottom_mm() - 1.6}, kThin_mm);
                canvas.text({cell.x_mm + cell_mm * 0.78, cell.y_mm + 0.5}, "date", {kSmall_pt});
              }
            }};
  }

  const ReportInput& input_;
  std::string date_;
  ReportWording wording_;
  const Canvas& canvas_;
};

void draw_report_footer(Canvas& canvas, const Box& box, const ReportInput& input, std::size_t page,
                        std::size_t num_pages) {
  line(canvas, {box.x_mm, box.y_mm}, {box.right_mm(), box.y_mm}, kHeavy_mm);
  const std::string piece = input.measured.name.empty() ? "" : "  ·  " + input.measured.name;
  text_in(canvas, {box.x_mm, box.y_mm + 0.4, box.width_mm - 32.0, box.height_mm},
          part_line(input.plan.part, canvas, kBody_pt, 110.0) + piece, {kBody_pt}, 7.0);
  text_in(canvas, {box.right_mm() - 30.0, box.y_mm + 0.4, 30.0, box.height_mm},
          fmt::format("page {} of {}", page, num_pages), {kBody_pt, true, Align::kRight});
}

}  // namespace

void draw_report(const ReportInput& input, const SheetOptions& options, Canvas& canvas) {
  const Box inside{kReportMarginX_mm, kReportMarginY_mm,
                   canvas.width_mm() - 2.0 * kReportMarginX_mm,
                   canvas.height_mm() - 2.0 * kReportMarginY_mm - kReportFooter_mm - kReportGap_mm};
  const Report report(input, options, canvas);
  const std::vector<ReportPage> pages = report.pages(inside);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    if (i > 0) canvas.next_page();
    for (const PlacedBlock& placed : pages[i]) placed.block.draw(canvas, placed.box);
    draw_report_footer(canvas,
                       {inside.x_mm, canvas.height_mm() - kReportMarginY_mm - kReportFooter_mm,
                        inside.width_mm, kReportFooter_mm},
                       input, i + 1, pages.size());
  }
}

base::Result<std::vector<std::string>> report_files(const ReportInput& input,
                                                    const SheetOptions& options, Format format) {
  CanvasOptions paper;
  paper.format = format;
  paper.width_mm = paper_width_mm(options.paper);
  paper.height_mm = paper_height_mm(options.paper);
  paper.title = "Inspection report: " + input.plan.part.name;
  BIGHT_TRY(const std::unique_ptr<Canvas> canvas, open_canvas(paper));
  draw_report(input, options, *canvas);
  return canvas->finish();
}

}  // namespace bight::papers
