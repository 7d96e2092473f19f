#include "papers/pose.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

namespace bight::papers {

using base::Angle;
using geometry::Vec3;

namespace {

// Columns: the pose's right, away and up in the part's own directions.
using Pose = Eigen::Matrix3d;

std::vector<Pose> natural_poses(const Tube& tube) {
  std::vector<Pose> poses;
  const auto add = [&](const geometry::Frame& frame) {
    Pose pose;
    pose << frame.ahead, frame.inward, frame.normal;
    poses.push_back(pose);
  };
  const geometry::Centreline& line = tube.line();
  const std::size_t num_bends = line.segments.size() / 2;
  add(num_bends > 0 ? line.bend(0).start : line.segments.front().start);
  std::size_t longest = 0;
  for (std::size_t i = 1; i <= num_bends; ++i) {
    if (line.straight(i).length_mm > line.straight(longest).length_mm) longest = i;
  }
  if (longest > 0) add(longest < num_bends ? line.bend(longest).start : line.end);
  return poses;
}

// The 24 ways to set a box on a table.
std::vector<Pose> turned_poses(const Pose& pose) {
  std::vector<Pose> turned;
  std::array<int, 3> order{0, 1, 2};
  do {
    for (int signs = 0; signs < 8; ++signs) {
      Pose candidate;
      for (int k = 0; k < 3; ++k) {
        candidate.col(k) = ((signs >> k & 1) != 0 ? -1.0 : 1.0) * pose.col(order[std::size_t(k)]);
      }
      if (candidate.determinant() > 0.0) turned.push_back(candidate);
    }
  } while (std::next_permutation(order.begin(), order.end()));
  return turned;
}

// Size of the part along the pose's right, away and up.
Vec3 sizes_mm(const Tube& tube, const Pose& pose) {
  return {tube.reach(pose.col(0)).size_mm(), tube.reach(pose.col(1)).size_mm(),
          tube.reach(pose.col(2)).size_mm()};
}

// A way to divide a box among the three views: where each stands on a grid of columns and rows.
struct Grid {
  // Column and row of above, front, right; a span of 2 rows for a view that stands alone.
  std::array<int, 3> column, row, row_span;
  int num_columns, num_rows;
  double liking_ratio;  // the draughtsman's way, views in line with each other, is worth a little
};

constexpr std::array<Grid, 5> kGrids{{
    {{0, 0, 1}, {0, 1, 1}, {1, 1, 1}, 2, 2, 1.15},
    {{0, 1, 2}, {0, 0, 0}, {1, 1, 1}, 3, 1, 1.0},
    {{0, 0, 0}, {0, 1, 2}, {1, 1, 1}, 1, 3, 1.0},
    {{0, 1, 1}, {0, 0, 1}, {2, 1, 1}, 2, 2, 1.0},
    {{1, 0, 1}, {0, 0, 1}, {1, 2, 1}, 2, 2, 1.0},
}};

struct Tracks {
  std::array<double, 3> column_mm{}, row_mm{};  // part sizes
};

Tracks tracks(const Grid& grid, const std::array<double, 3>& width_mm,
              const std::array<double, 3>& height_mm) {
  Tracks result;
  for (std::size_t i = 0; i < 3; ++i) {
    auto& column = result.column_mm[std::size_t(grid.column[i])];
    column = std::max(column, width_mm[i]);
    if (grid.row_span[i] == 1) {
      auto& row = result.row_mm[std::size_t(grid.row[i])];
      row = std::max(row, height_mm[i]);
    }
  }
  // A view that spans rows lifts the last of them until it fits.
  for (std::size_t i = 0; i < 3; ++i) {
    if (grid.row_span[i] == 2) {
      const double missing_mm = height_mm[i] - result.row_mm[0] - result.row_mm[1];
      if (missing_mm > 0.0) result.row_mm[1] += missing_mm;
    }
  }
  return result;
}

double sum(const std::array<double, 3>& values) { return values[0] + values[1] + values[2]; }

double grid_scale(const Grid& grid, const Tracks& part, const Box& box,
                  const CellMargins& margins) {
  const double width_mm = box.width_mm - grid.num_columns * (margins.left_mm + margins.right_mm);
  const double height_mm = box.height_mm - grid.num_rows * (margins.top_mm + margins.bottom_mm);
  return std::min(width_mm / sum(part.column_mm), height_mm / sum(part.row_mm));
}

// Shares the box out: what the drawing does not need is spread evenly over columns and rows.
void place_cells(const Grid& grid, const Tracks& part, const Box& box, const CellMargins& margins,
                 double scale_ratio, std::array<Box, 3>& cells) {
  std::array<double, 4> x_mm{}, y_mm{};
  const double spare_x_mm = (box.width_mm - scale_ratio * sum(part.column_mm)) / grid.num_columns -
                            (margins.left_mm + margins.right_mm);
  const double spare_y_mm = (box.height_mm - scale_ratio * sum(part.row_mm)) / grid.num_rows -
                            (margins.top_mm + margins.bottom_mm);
  for (std::size_t k = 0; k < 3; ++k) {
    x_mm[k + 1] =
        x_mm[k] + scale_ratio * part.column_mm[k] + margins.left_mm + margins.right_mm + spare_x_mm;
    y_mm[k + 1] =
        y_mm[k] + scale_ratio * part.row_mm[k] + margins.top_mm + margins.bottom_mm + spare_y_mm;
  }
  for (std::size_t i = 0; i < 3; ++i) {
    const auto column = std::size_t(grid.column[i]);
    const auto row = std::size_t(grid.row[i]);
    const auto row_end = row + std::size_t(grid.row_span[i]);
    cells[i] = {box.x_mm + x_mm[column], box.y_mm + y_mm[row], x_mm[column + 1] - x_mm[column],
                y_mm[row_end] - y_mm[row]};
  }
}

Eye eye_of(const Pose& pose, const Vec3& toward, const Vec3& up) {
  return eye_from(pose * toward, pose * up);
}

// Of the poses with equal sizes: end A to the left, then the bulk of the part low and near.
double handiness(const Tube& tube, const Pose& pose) {
  const Vec3 ends = pose.transpose() * (tube.line().end_mm() - tube.line().start_mm());
  Vec3 middle = Vec3::Zero();
  for (const Tube::Station& at : tube.stations()) middle += at.p_mm - tube.line().start_mm();
  middle = pose.transpose() * middle / static_cast<double>(tube.stations().size());
  return 4.0 * (ends.x() > 1.0) + 2.0 * (middle.y() > 0.0) + 1.0 * (middle.z() > 0.0);
}

// The eye that shows most of the part in the cell: little hidden, no straight end on, large.
Eye pictorial_eye(const Tube& tube, const Pose& pose, const Box& box, const CellMargins& margins) {
  // Coarse is enough to rank.
  const Tube rough(tube.line(), tube.section(), Angle::degrees(12));
  Eye best;
  double best_score = -1.0;
  for (const double turn_deg : {30.0, 45.0, 60.0, -30.0, -45.0, -60.0}) {
    for (const double lift_deg : {20.0, 30.0, 40.0}) {
      const Angle turn = Angle::degrees(turn_deg);
      const Angle lift = Angle::degrees(lift_deg);
      const Vec3 toward(base::sin(turn) * base::cos(lift), -base::cos(turn) * base::cos(lift),
                        base::sin(lift));
      const Eye eye = eye_of(pose, toward, Vec3::UnitZ());
      const double width_mm = rough.reach(eye.right).size_mm();
      const double height_mm = rough.reach(eye.up).size_mm();
      const double scale_ratio =
          std::min((box.width_mm - margins.left_mm - margins.right_mm) / width_mm,
                   (box.height_mm - margins.top_mm - margins.bottom_mm) / height_mm);
      double shortest_ratio = 1.0;
      for (std::size_t i = 0; i <= rough.line().segments.size() / 2; ++i) {
        const Vec3& ahead = rough.line().straight(i).start.ahead;
        shortest_ratio = std::min(shortest_ratio, ahead.cross(eye.toward).norm());
      }
      const double step_mm = 6.0 / std::max(scale_ratio, 1e-6);
      const double seen_ratio = 1.0 - seen_lines(rough, eye, step_mm).hidden_ratio;
      // From the right is what the plain view beside it shows.
      const double score =
          scale_ratio * seen_ratio * (0.4 + shortest_ratio) * (turn_deg > 0.0 ? 1.1 : 1.0);
      if (score > best_score * (1.0 + 1e-9)) {
        best_score = score;
        best = eye;
      }
    }
  }
  return best;
}

}  // namespace

double plain_scale_ratio(double largest_ratio) {
  static constexpr double kSteps[] = {1,   1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3,
                                      3.5, 4,   4.5, 5,   5.5, 6, 7,   8,   9};
  for (double decade = 1.0; decade < 1e6; decade *= 10.0) {
    for (const double step : kSteps) {
      if (1.0 / (step * decade) <= largest_ratio) return 1.0 / (step * decade);
    }
  }
  return largest_ratio;
}

Arrangement arrange(const Tube& tube, const Box& box, const CellMargins& margins) {
  Pose best_pose = Pose::Identity();
  const Grid* best_grid = nullptr;
  double best_share_ratio = 0.0;
  double best_score = -1.0;
  double best_handiness = 1e300;
  // Bend 1 flat is how the part is measured; another way to lie must be worth the change.
  double worth_ratio = 1.0;
  for (const Pose& natural : natural_poses(tube)) {
    for (const Pose& pose : turned_poses(natural)) {
      const Vec3 size_mm = sizes_mm(tube, pose);
      const std::array<double, 3> width_mm{size_mm.x(), size_mm.x(), size_mm.y()};
      const std::array<double, 3> height_mm{size_mm.y(), size_mm.z(), size_mm.z()};
      const Eye slanted = eye_of(pose, Vec3(1.0, -1.0, 0.8), Vec3::UnitZ());
      const Eigen::Vector2d slant_mm(tube.reach(slanted.right).size_mm(),
                                     tube.reach(slanted.up).size_mm());
      for (const Grid& grid : kGrids) {
        const Tracks part = tracks(grid, width_mm, height_mm);
        for (const double share_ratio : {0.28, 0.33, 0.38, 0.43}) {
          Box plain = box;
          plain.width_mm *= 1.0 - share_ratio;
          const double scale_ratio = grid_scale(grid, part, plain, margins);
          if (scale_ratio <= 0.0) continue;
          const double pictorial_ratio =
              std::min((box.width_mm * share_ratio - 2.0 * margins.left_mm) / slant_mm.x(),
                       (box.height_mm - margins.top_mm - margins.left_mm) / slant_mm.y());
          if (pictorial_ratio <= 0.0) continue;
          const double score = worth_ratio * grid.liking_ratio *
                               std::pow(plain_scale_ratio(scale_ratio), 0.7) *
                               std::pow(pictorial_ratio, 0.3);
          const double handy = handiness(tube, pose);
          const bool better = score > best_score * (1.0 + 1e-9) ||
                              (score > best_score * (1.0 - 1e-9) && handy < best_handiness);
          if (!better) continue;
          best_score = score;
          best_handiness = handy;
          best_pose = pose;
          best_grid = &grid;
          best_share_ratio = share_ratio;
        }
      }
    }
    worth_ratio = 0.98;
  }
  Arrangement result;
  if (best_grid == nullptr) best_grid = &kGrids[1];
  Box plain = box;
  const double pictorial_mm = box.width_mm * best_share_ratio;
  result.pictorial.box = {box.x_mm, box.y_mm, pictorial_mm, box.height_mm};
  plain.x_mm += pictorial_mm;
  plain.width_mm -= pictorial_mm;
  const Vec3 size_mm = sizes_mm(tube, best_pose);
  const Tracks part = tracks(*best_grid, {size_mm.x(), size_mm.x(), size_mm.y()},
                             {size_mm.y(), size_mm.z(), size_mm.z()});
  result.scale_ratio =
      plain_scale_ratio(std::max(1e-6, grid_scale(*best_grid, part, plain, margins)));
  std::array<Box, 3> cells;
  place_cells(*best_grid, part, plain, margins, result.scale_ratio, cells);
  result.above = {eye_of(best_pose, Vec3::UnitZ(), Vec3::UnitY()), cells[0]};
  result.front = {eye_of(best_pose, -Vec3::UnitY(), Vec3::UnitZ()), cells[1]};
  result.right = {eye_of(best_pose, Vec3::UnitX(), Vec3::UnitZ()), cells[2]};
  result.pictorial.eye = pictorial_eye(tube, best_pose, result.pictorial.box, margins);
  return result;
}

}  // namespace bight::papers
