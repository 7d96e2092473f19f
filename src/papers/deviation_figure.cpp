#include "papers/deviation_figure.h"

#include <fmt/format.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "papers/labels.h"
#include "papers/ruled.h"
#include "papers/tube_view.h"

namespace bight::papers {

using geometry::Vec3;

namespace {

constexpr double kLongest_mm = 7.0;  // of a deviation on paper
constexpr double kLabelsLeast_mm = 11.0;
constexpr double kCaption_mm = 4.6;
// A part flatter than this has no second view.
constexpr double kFlat_ratio = 0.02;

// Directions of the part's spread, the widest first.
Eigen::Matrix3d spread_of(const std::vector<Vec3>& points_mm, Vec3& sizes_mm) {
  Vec3 middle = Vec3::Zero();
  for (const Vec3& p : points_mm) middle += p / static_cast<double>(points_mm.size());
  Eigen::Matrix3d sum = Eigen::Matrix3d::Zero();
  for (const Vec3& p : points_mm) sum += (p - middle) * (p - middle).transpose();
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver(sum);
  Eigen::Matrix3d axes;
  for (int i = 0; i < 3; ++i) {
    axes.col(i) = solver.eigenvectors().col(2 - i);
    // The same way round every time, whatever the solver's signs.
    Eigen::Index largest = 0;
    axes.col(i).cwiseAbs().maxCoeff(&largest);
    if (axes(largest, i) < 0.0) axes.col(i) = -axes.col(i);
    double low_mm = 1e300;
    double high_mm = -1e300;
    for (const Vec3& p : points_mm) {
      low_mm = std::min(low_mm, p.dot(axes.col(i)));
      high_mm = std::max(high_mm, p.dot(axes.col(i)));
    }
    sizes_mm(i) = high_mm - low_mm;
  }
  return axes;
}

// One view: paper place of a point of the part.
struct OnPaper {
  Vec3 right, up;
  double scale_ratio = 1.0;
  Point middle;    // of the box
  Vec3 centre_mm;  // of the part, shown there

  Point operator()(const Vec3& p_mm) const {
    const Vec3 from_mm = p_mm - centre_mm;
    return {middle.x_mm + scale_ratio * from_mm.dot(right),
            middle.y_mm - scale_ratio * from_mm.dot(up)};
  }
};

Vec3 centre_of(const std::vector<Vec3>& points_mm, const Vec3& right, const Vec3& up) {
  const auto half = [&](const Vec3& axis) {
    double low_mm = 1e300;
    double high_mm = -1e300;
    for (const Vec3& p : points_mm) {
      low_mm = std::min(low_mm, p.dot(axis));
      high_mm = std::max(high_mm, p.dot(axis));
    }
    return (low_mm + high_mm) / 2.0;
  };
  return half(right) * right + half(up) * up;
}

double scale_for(const std::vector<Vec3>& points_mm, const Vec3& right, const Vec3& up,
                 const Box& room) {
  double width_mm = 1e-9;
  double height_mm = 1e-9;
  for (const Vec3& a : points_mm) {
    for (const Vec3& b : points_mm) {
      width_mm = std::max(width_mm, std::abs((a - b).dot(right)));
      height_mm = std::max(height_mm, std::abs((a - b).dot(up)));
    }
  }
  return std::min(room.width_mm / width_mm, room.height_mm / height_mm);
}

std::string short_name(const std::string& name) {
  const std::size_t space = name.rfind(' ');
  return space == std::string::npos ? name : name.substr(space + 1);
}

void draw_view(Canvas& canvas, const Box& box, const OnPaper& at,
               const std::vector<Vec3>& corners_mm, const inspection::Deviation& deviation,
               double larger, const Wording& fine) {
  LabelRoom room(box);
  std::vector<Point> drawn;
  for (const Vec3& p : corners_mm) drawn.push_back(at(p));
  canvas.stroke(drawn, false, {0.6, 0.55});
  room.keep_clear(drawn, 0.6);
  std::vector<std::vector<Point>> runs;  // of neighbouring measured points
  std::size_t before = corners_mm.size();
  for (const inspection::PointOff& off : deviation.points) {
    if (off.point >= corners_mm.size()) continue;
    const Point moved = at(corners_mm[off.point] + larger * off.off_mm);
    if (runs.empty() || off.point != before + 1) runs.emplace_back();
    runs.back().push_back(moved);
    before = off.point;
    room.keep_clear(std::vector<Point>{at(corners_mm[off.point]), moved}, 0.9);
  }
  for (const std::vector<Point>& run : runs) {
    canvas.stroke(run, false, {0.35, 0.0, Dash::kShort});
    room.keep_clear(run, 0.5);
  }
  for (const inspection::PointOff& off : deviation.points) {
    if (off.point >= corners_mm.size()) continue;
    const Point place = at(corners_mm[off.point]);
    const Point moved = at(corners_mm[off.point] + larger * off.off_mm);
    line(canvas, place, moved, kThin_mm);
    canvas.circle(place, 0.7, Pen{0.25}, 1.0);
    canvas.circle(moved, 0.7, std::nullopt, 0.0);
    const std::string text = short_name(off.name) + ": " + fine.length(off.distance_mm);
    const TextStyle style{kSmall_pt, true};
    const TextSize size = canvas.measure(text, style);
    LabelWish wish;
    wish.target = moved;
    const Point middle = at.middle;
    wish.direction_x_ratio = place.x_mm - middle.x_mm;
    wish.direction_y_ratio = place.y_mm - middle.y_mm;
    wish.half_width_mm = size.width_mm / 2.0 + 0.3;
    wish.half_height_mm = size.height_mm / 2.0;
    wish.nearest_mm = 3.0;
    wish.farthest_mm = 24.0;
    const std::optional<Point> found = room.place(wish);
    if (!found) continue;  // the table below has every number
    canvas.text({found->x_mm - size.width_mm / 2.0, found->y_mm - size.height_mm / 2.0}, text,
                style);
  }
}

}  // namespace

double magnification(double worst_mm, double scale_ratio, double longest_mm) {
  if (!(worst_mm * scale_ratio > 0.0)) return 1.0;
  const double most = longest_mm / (worst_mm * scale_ratio);
  double best = 1.0;
  for (double decade = 1.0; decade < 1e6; decade *= 10.0) {
    for (const double step : {1.0, 2.0, 5.0}) {
      if (step * decade <= most) best = step * decade;
    }
  }
  return best;
}

void draw_deviation(Canvas& canvas, const Box& box, const std::vector<Vec3>& corners_mm,
                    const inspection::Deviation& deviation, const Wording& fine) {
  canvas.clip(box);
  Vec3 sizes_mm;
  const Eigen::Matrix3d axes = spread_of(corners_mm, sizes_mm);
  const Vec3 wide = axes.col(0);
  // Right-handed: the part is never shown as its mirror image.
  const Vec3 high = axes.col(1);
  const Vec3 deep = wide.cross(high);
  const bool flat = sizes_mm(2) < kFlat_ratio * std::max(1e-9, sizes_mm(0));
  const Box room{box.x_mm, box.y_mm + kCaption_mm, box.width_mm, box.height_mm - kCaption_mm};
  // The depth gets what it needs of the height, at the same scale.
  const double share = flat ? 0.0 : std::clamp(sizes_mm(2) / (sizes_mm(1) + sizes_mm(2)), 0.3, 0.5);
  const Box upper{room.x_mm, room.y_mm, room.width_mm, room.height_mm * (1.0 - share)};
  const Box lower{room.x_mm, upper.bottom_mm(), room.width_mm, room.height_mm * share};
  double scale_ratio = scale_for(corners_mm, wide, high, upper.inset(kLabelsLeast_mm));
  if (!flat) {
    scale_ratio = std::min(
        scale_ratio, scale_for(corners_mm, wide, deep,
                               lower.inset(std::min(kLabelsLeast_mm, 0.35 * lower.height_mm))));
  }
  const double larger = magnification(deviation.worst_mm, scale_ratio, kLongest_mm);
  canvas.text(
      {box.x_mm + 1.0, box.y_mm + 0.4},
      fmt::format("grey: drawn; broken: measured, deviation drawn {:.0f} times the part", larger),
      {kSmall_pt});
  draw_view(canvas, upper,
            {wide, high, scale_ratio, upper.centre(), centre_of(corners_mm, wide, high)},
            corners_mm, deviation, larger, fine);
  if (!flat) {
    line(canvas, {lower.x_mm, lower.y_mm}, {lower.right_mm(), lower.y_mm}, kThin_mm);
    // Seen from above; what is nearer in the upper view stands lower (first angle).
    draw_view(canvas, lower,
              {wide, -deep, scale_ratio, lower.centre(), centre_of(corners_mm, wide, deep)},
              corners_mm, deviation, larger, fine);
  }
  canvas.unclip();
}

}  // namespace bight::papers
