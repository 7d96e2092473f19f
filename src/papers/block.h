// Pieces the sheet is laid out from: measured first, drawn once their place is known.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "papers/canvas.h"
#include "papers/wording.h"
#include "planning/plan.h"

namespace bight::papers {

struct Block {
  double height_mm = 0.0;
  std::function<void(Canvas&, const Box&)> draw;
};

// Rows under one title bar; may go on to the next page between two rows.
struct Group {
  std::string title;
  std::vector<Block> rows;
  std::function<void(Canvas&, const Box&)> on_title;  // more on the title bar, at its right

  double height_mm() const;  // with the title bar
};

// What every block needs to know. The plan outlives the blocks; the canvas is only measured on.
struct Writer {
  const planning::Plan& plan;
  const Wording& wording;
  const Canvas& canvas;
  std::string date;
};

// "D1" for the first die used, "?" for a die the plan does not list.
std::string die_key(const planning::Plan& plan, const std::string& die);

// "Handrail  ·  rev C  ·  LH": what ties loose pages together. A name too long for the width loses
// its end, never the revision or the hand.
std::string part_line(const part::Part& part, const Canvas& canvas, double size_pt,
                      double width_mm);

}  // namespace bight::papers
