// What an eye sees of the bent tube: outlines without what is hidden, in part millimetres.
#pragma once

#include <array>
#include <vector>

#include "geometry/centreline.h"
#include "papers/canvas.h"
#include "stock/section.h"

namespace bight::papers {

// A point of the view: x to the viewer's right, y upwards, part millimetres.
using ViewPoint = Point;

// Parallel projection. right x up = toward, all unit; toward points from the part to the eye.
struct Eye {
  geometry::Vec3 right = geometry::Vec3::UnitX();
  geometry::Vec3 up = geometry::Vec3::UnitY();
  geometry::Vec3 toward = geometry::Vec3::UnitZ();

  ViewPoint seen(const geometry::Vec3& p_mm) const { return {p_mm.dot(right), p_mm.dot(up)}; }
};

// The eye that sees along minus `toward`, with `up` as nearly upright as can be. The two must not
// be parallel.
Eye eye_from(const geometry::Vec3& toward, const geometry::Vec3& up);

// How far the tube reaches along a unit direction, [least, most]; exact for round sections, for
// square ones with rounded corners, and for straights and arcs of either.
struct Reach {
  double least_mm = 0.0;
  double most_mm = 0.0;
  double size_mm() const { return most_mm - least_mm; }
};

// One body of the tube, cut along its centreline into short pieces. The section keeps its place
// on the metal: a flat of square tube stays the same flat all along.
class Tube {
 public:
  // Cross-section somewhere along: u and v are the directions of the section's height and width.
  struct Station {
    geometry::Vec3 p_mm, ahead, u, v;
    bool arc_before = false;  // the piece that ends here is part of an arc
  };

  // `finest` is the largest turn between neighbouring stations of an arc.
  Tube(const geometry::Centreline& line, const stock::Section& section,
       base::Angle finest = base::Angle::degrees(2));

  const geometry::Centreline& line() const { return line_; }
  const std::vector<Station>& stations() const { return stations_; }
  // Half the largest outside size of the section.
  double half_size_mm() const;
  Reach reach(const geometry::Vec3& direction) const;

  // True when the metal lies between the point and an eye in the direction, disregarding the
  // skin the point itself lies on.
  bool hides(const geometry::Vec3& p_mm, const geometry::Vec3& toward) const;

  const stock::Section& section() const { return section_; }

 private:
  double support_mm(const Station& at, const geometry::Vec3& direction) const;

  geometry::Centreline line_;
  stock::Section section_;
  std::vector<Station> stations_;
};

// Lines of one view. Each polyline is visible along its whole length.
struct TubeLines {
  std::vector<std::vector<ViewPoint>> outlines;
  std::vector<std::vector<ViewPoint>> bores;       // the hole seen at an end
  std::vector<std::vector<ViewPoint>> centreline;  // where the tube's own body does not cover it
  double hidden_ratio = 0.0;                       // share of the outlines that cannot be seen
};

// `step_mm` is the length, in part millimetres, at which visibility is decided.
TubeLines seen_lines(const Tube& tube, const Eye& eye, double step_mm);

}  // namespace bight::papers
