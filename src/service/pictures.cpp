#include "service/pictures.h"

#include "papers/cairo_canvas.h"
#include "papers/drawing.h"
#include "papers/tube_view.h"

namespace bight::service {

using geometry::Vec3;

namespace {

std::vector<std::vector<Eigen::Vector2d>> as_vectors(
    const std::vector<std::vector<papers::ViewPoint>>& lines) {
  std::vector<std::vector<Eigen::Vector2d>> out;
  for (const std::vector<papers::ViewPoint>& line : lines) {
    std::vector<Eigen::Vector2d>& points_mm = out.emplace_back();
    for (const papers::ViewPoint& p : line) points_mm.emplace_back(p.x_mm, p.y_mm);
  }
  return out;
}

}  // namespace

std::vector<exchange::FlatView> flat_views(const geometry::BendTable& table,
                                           const geometry::Frame& start,
                                           const stock::Section& section) {
  const papers::Tube tube(geometry::lay_out(table, start), section);
  // Fine enough that a hidden edge ends within a fiftieth of the tube's size.
  const double step_mm = tube.half_size_mm() / 25.0;
  std::vector<exchange::FlatView> views;
  const struct {
    const char* title;
    Vec3 toward, up;
  } eyes[] = {{"from above", Vec3::UnitZ(), Vec3::UnitY()},
              {"from the front", -Vec3::UnitY(), Vec3::UnitZ()},
              {"from the right", Vec3::UnitX(), Vec3::UnitZ()}};
  for (const auto& eye : eyes) {
    const papers::TubeLines seen =
        papers::seen_lines(tube, papers::eye_from(eye.toward, eye.up), step_mm);
    exchange::FlatView& view = views.emplace_back();
    view.title = eye.title;
    view.outlines_mm = as_vectors(seen.outlines);
    for (auto& bore : as_vectors(seen.bores)) view.outlines_mm.push_back(std::move(bore));
    view.centrelines_mm = as_vectors(seen.centreline);
  }
  return views;
}

base::Result<std::string> views_svg(const geometry::BendTable& table, const stock::Section& section,
                                    const base::LengthStyle& style) {
  BIGHT_TRY(const auto canvas,
            papers::open_canvas({papers::Format::kSvg, 297.0, 210.0, "", 150.0}));
  papers::draw_views(*canvas, {10.0, 10.0, 277.0, 190.0}, table, section, papers::Wording(style));
  BIGHT_TRY(std::vector<std::string> pages, canvas->finish());
  return std::move(pages.front());
}

}  // namespace bight::service
