#include "exchange/dxf_write.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "exchange/dxf_document.h"
#include "geometry/centreline.h"

namespace bight::exchange {

using Eigen::Vector2d;
using geometry::Segment;

std::string dxf_centreline(const geometry::BendTable& table, const geometry::Frame& start) {
  DxfDocument document({{"CENTRELINE", 1, true}});
  for (const Segment& s : geometry::lay_out(table, start).segments) {
    if (s.length_mm <= 1e-9) continue;
    if (s.is_arc()) {
      document.arc("CENTRELINE", s.centre_mm(), s.start.normal, s.start.origin_mm, s.angle);
    } else {
      document.line("CENTRELINE", s.start.origin_mm, s.at(s.length_mm).origin_mm);
    }
  }
  return document.bytes();
}

namespace {

struct Extent {
  Vector2d low = Vector2d::Constant(std::numeric_limits<double>::infinity());
  Vector2d high = -low;

  void take(const std::vector<std::vector<Vector2d>>& lines) {
    for (const auto& line : lines) {
      for (const Vector2d& p_mm : line) {
        low = low.cwiseMin(p_mm);
        high = high.cwiseMax(p_mm);
      }
    }
  }
};

void add_lines(DxfDocument& document, const char* layer,
               const std::vector<std::vector<Vector2d>>& lines, const Vector2d& shift_mm) {
  for (const std::vector<Vector2d>& line : lines) {
    if (line.size() < 2) continue;
    std::vector<Vector2d> shifted;
    for (const Vector2d& p_mm : line) shifted.push_back(p_mm + shift_mm);
    document.polyline(layer, shifted, false);
  }
}

}  // namespace

std::string dxf_views(const std::vector<FlatView>& views) {
  DxfDocument document({{"OUTLINE", 7, false}, {"CENTRELINE", 1, true}, {"TEXT", 3, false}});
  double at_mm = 0.0;
  for (const FlatView& view : views) {
    Extent extent;
    extent.take(view.outlines_mm);
    extent.take(view.centrelines_mm);
    if (!(extent.high.x() >= extent.low.x())) continue;
    const Vector2d size_mm = extent.high - extent.low;
    const Vector2d shift_mm = Vector2d(at_mm, 0.0) - extent.low;
    add_lines(document, "OUTLINE", view.outlines_mm, shift_mm);
    add_lines(document, "CENTRELINE", view.centrelines_mm, shift_mm);
    // Letters a fiftieth of the view, but readable.
    const double letter_mm = std::clamp(size_mm.maxCoeff() / 50.0, 2.5, 50.0);
    document.text("TEXT", {at_mm, -2.0 * letter_mm}, letter_mm, view.title);
    at_mm += size_mm.x() + std::max(20.0, 0.1 * size_mm.maxCoeff());
  }
  return document.bytes();
}

std::string dxf_strip(const planning::Plan& plan) {
  DxfDocument document(
      {{"BLANK", 7, false}, {"MARKS", 1, false}, {"BENDS", 5, false}, {"TEXT", 3, false}});
  const double length_mm = plan.blank.cut.likely_mm > 0.0 ? plan.blank.cut.likely_mm
                                                          : plan.part.table.developed_length_mm();
  const double perimeter_mm = plan.part.section.outer_perimeter_mm();
  document.polyline("BLANK", {{0, 0}, {length_mm, 0}, {length_mm, perimeter_mm}, {0, perimeter_mm}},
                    true);
  const double letter_mm = std::clamp(perimeter_mm / 20.0, 2.0, 10.0);
  document.text(
      "TEXT", {0.0, perimeter_mm + letter_mm}, letter_mm,
      fmt::format("A   {} {}   cut {:.1f} mm", plan.part.name, plan.part.tube_text, length_mm));
  const std::vector<base::Angle> turned = plan.part.table.absolute_rotations();
  for (const planning::Step& step : plan.steps) {
    document.line("MARKS", {step.mark_mm, 0, 0}, {step.mark_mm, perimeter_mm, 0});
    const double way = step.side == planning::MarkSide::kTowardsB ? 1.0 : -1.0;
    const double far_mm = step.mark_mm + way * step.arc_mm;
    const double share = turned.at(step.bend - 1).deg() / 360.0;
    const double inside_mm = perimeter_mm * (1.0 - share);
    document.line("BENDS", {step.mark_mm, inside_mm, 0}, {far_mm, inside_mm, 0});
    document.line("BENDS", {far_mm, inside_mm - letter_mm, 0}, {far_mm, inside_mm + letter_mm, 0});
    document.text("TEXT", {std::min(step.mark_mm, far_mm) + letter_mm, inside_mm + 0.5 * letter_mm},
                  letter_mm,
                  fmt::format("bend {}: {:.1f} deg, set {:.1f} deg, mark {:.1f} mm", step.bend,
                              step.angle.deg(), step.set_angle.likely.deg(), step.mark_mm));
  }
  return document.bytes();
}

}  // namespace bight::exchange
