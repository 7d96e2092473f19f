// Finds room for small labels around a drawing so that none covers the tube or another label.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "papers/canvas.h"

namespace bight::papers {

struct LabelWish {
  Point target;                     // what the label names
  double direction_x_ratio = 0.0;   // where it would best stand, seen from the target
  double direction_y_ratio = -1.0;  // y downwards, as on paper; any length
  double half_width_mm = 2.6;
  double half_height_mm = 2.6;
  double nearest_mm = 4.0;  // from the target to the label's middle
  double farthest_mm = 20.0;
};

class LabelRoom {
 public:
  explicit LabelRoom(const Box& bounds) : bounds_(bounds) {}

  // A thick line no label may cover.
  void keep_clear(const std::vector<Point>& line, double half_thickness_mm);
  void keep_clear(const Box& box) { taken_.push_back(box); }

  // The middle of the nearest free place, preferring the wished direction, that a straight leader
  // from the target reaches without crossing what is taken; it is taken from then on. Nothing when
  // there is none.
  std::optional<Point> place(const LabelWish& wish);

 private:
  struct Disc {
    Point centre;
    double radius_mm;
  };
  bool free(const Box& box) const;
  bool leader_free(Point from, Point to) const;

  Box bounds_;
  std::vector<Disc> discs_;
  std::vector<Box> taken_;
};

}  // namespace bight::papers
