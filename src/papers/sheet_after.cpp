#include "papers/sheet_after.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>

#include "papers/drawing.h"
#include "papers/ruled.h"
#include "planning/after_steps.h"

namespace bight::papers {

namespace {

constexpr std::size_t kAcross = 3;
constexpr double kName_mm = 5.0;
constexpr double kPicture_mm = 27.0;
constexpr double kLine_mm = 3.9;
constexpr double kCheck_mm = 2.0 * kLine_mm + 0.6;  // two lines of text

struct Picture {
  std::string name;
  planning::AfterStep after;
};

// What is measured left, its length right in bold.
void draw_check(Canvas& canvas, const Box& box, const planning::CheckDimension& check,
                const Wording& wording) {
  constexpr double kNumber_mm = 17.0;
  line(canvas, {box.x_mm, box.y_mm}, {box.right_mm(), box.y_mm}, kThin_mm);
  text_in(canvas, {box.x_mm + 1.0, box.y_mm, box.width_mm - kNumber_mm - 1.5, box.height_mm},
          check.label, {kBody_pt, false}, kSmall_pt);
  text_in(canvas, {box.right_mm() - kNumber_mm - 0.8, box.y_mm, kNumber_mm, box.height_mm},
          wording.length(check.value_mm), {11.0, true, Align::kRight}, kBody_pt);
}

void draw_cell(Canvas& canvas, const Box& cell, const Picture& picture, const Writer& writer) {
  frame(canvas, cell, kThin_mm);
  const Box name{cell.x_mm, cell.y_mm, cell.width_mm, kName_mm};
  fill_box(canvas, name.inset(0.1), 0.88);
  text_in(canvas, name.inset(0.6), picture.name, {kBody_pt, true}, kSmall_pt);
  const Box view{cell.x_mm, name.bottom_mm(), cell.width_mm, kPicture_mm};
  draw_made(canvas, view.inset(0.4), picture.after.table, writer.plan.part.section,
            picture.after.bends);
  double y_mm = view.bottom_mm();
  for (const planning::CheckDimension& check : picture.after.checks) {
    draw_check(canvas, {cell.x_mm, y_mm, cell.width_mm, kCheck_mm}, check, writer.wording);
    y_mm += kCheck_mm;
  }
}

}  // namespace

std::vector<Block> after_rows(const Writer& writer) {
  const planning::Plan& plan = writer.plan;
  if (plan.order.bends.size() != plan.steps.size()) return {};
  std::vector<planning::AfterStep> all = planning::after_steps(plan, writer.wording.style());
  auto pictures = std::make_shared<std::vector<Picture>>();
  for (std::size_t i = 0; i + 1 < all.size(); ++i) {
    pictures->push_back({fmt::format("After step {}, bend{} {}", i + 1, i == 0 ? "" : "s",
                                     fmt::join(all[i].bends, ", ")),
                         std::move(all[i])});
  }
  std::vector<Block> rows;
  for (std::size_t first = 0; first < pictures->size(); first += kAcross) {
    rows.push_back({kName_mm + kPicture_mm + 2.0 * kCheck_mm,
                    [pictures, first, &writer](Canvas& canvas, const Box& box) {
                      const double width_mm = box.width_mm / static_cast<double>(kAcross);
                      for (std::size_t k = 0; k < kAcross; ++k) {
                        if (first + k >= pictures->size()) break;
                        draw_cell(canvas,
                                  {box.x_mm + width_mm * static_cast<double>(k), box.y_mm, width_mm,
                                   box.height_mm},
                                  (*pictures)[first + k], writer);
                      }
                    }});
  }
  return rows;
}

}  // namespace bight::papers
