#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "reader/tube.h"

namespace bight::reader {

namespace {

// One corner of the section, followed from end to end.
struct Corner {
  std::vector<Strand> run;
  std::size_t chain = 0;
};

// A corner's skin goes a quarter round; cuts and fits take or add a little.
bool is_corner(const Strand& strand) { return std::abs(strand.coverage.deg() - 90.0) < 30.0; }

void merge_lines(std::vector<Strand>& run) {
  std::vector<Strand> merged;
  for (Strand& strand : run) {
    if (!strand.arc && !merged.empty() && !merged.back().arc) {
      merged.back().ends_mm[1] = strand.ends_mm[1];
      merged.back().faces.insert(merged.back().faces.end(), strand.faces.begin(),
                                 strand.faces.end());
      continue;
    }
    merged.push_back(std::move(strand));
  }
  run = std::move(merged);
}

std::vector<Strand> reversed(const std::vector<Strand>& run) {
  std::vector<Strand> back(run.rbegin(), run.rend());
  for (Strand& strand : back) {
    std::swap(strand.ends_mm[0], strand.ends_mm[1]);
    std::swap(strand.outwards[0], strand.outwards[1]);
    strand.axis = -strand.axis;
  }
  return back;
}

// Whether two corners run beside each other all the way: every straight parallel, every arc about
// the same axis by the same angle.
bool beside(const std::vector<Strand>& a, const std::vector<Strand>& b) {
  if (a.size() != b.size()) return false;
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (a[i].arc != b[i].arc) return false;
    if (!a[i].arc) {
      if ((a[i].outwards[1] - b[i].outwards[1]).norm() > 1e-3) return false;
      continue;
    }
    if ((a[i].axis - b[i].axis).norm() > 1e-3) return false;
    if (std::abs(a[i].sweep.rad() - b[i].sweep.rad()) > 1e-3 && i > 0 && i + 1 < a.size()) {
      return false;
    }
    if ((a[i].centre_mm - b[i].centre_mm).cross(a[i].axis).norm() > kSame_mm) return false;
  }
  return true;
}

Strand mean_strand(const std::vector<Corner>& corners, std::size_t index) {
  Strand mean = corners.front().run[index];
  const auto count = static_cast<double>(corners.size());
  for (int end = 0; end < 2; ++end) {
    mean.ends_mm[end].setZero();
    mean.outwards[end].setZero();
  }
  mean.centre_mm.setZero();
  mean.radius_mm = 0.0;
  double sweep_rad = 0.0;
  for (const Corner& corner : corners) {
    const Strand& strand = corner.run[index];
    for (int end = 0; end < 2; ++end) {
      mean.ends_mm[end] += strand.ends_mm[end] / count;
      mean.outwards[end] += strand.outwards[end] / count;
    }
    mean.centre_mm += strand.centre_mm / count;
    mean.radius_mm += strand.radius_mm / count;
    sweep_rad += strand.sweep.rad() / count;
  }
  mean.sweep = base::Angle::radians(sweep_rad);
  for (Vec3& outwards : mean.outwards) outwards.normalize();
  if (mean.arc) {
    for (int end = 0; end < 2; ++end) {
      // Leaving ends[1] turns right-hand about the axis, leaving ends[0] left-hand.
      const Vec3 radial = mean.outwards[end].cross(mean.axis) * (end == 1 ? 1.0 : -1.0);
      mean.ends_mm[end] = mean.centre_mm + radial.normalized() * mean.radius_mm;
    }
  }
  return mean;
}

// Where a corner crosses the plane across the start of the centreline, in the start's own axes.
Eigen::Vector2d offset_of(const Corner& corner, const geometry::Frame& start) {
  const Strand& first = corner.run.front();
  Vec3 p = first.ends_mm[0];
  if (!first.arc) {
    const Vec3& along = first.outwards[1];
    p += along * (start.origin_mm - p).dot(start.ahead) / along.dot(start.ahead);
  }
  const Vec3 v = p - start.origin_mm;
  return {v.dot(start.inward), v.dot(start.normal)};
}

// Without a bend the frame may look any way round: turn it so that the corners stand square in it
// and the longer side is the height.
void square_up(const std::vector<Corner>& corners, geometry::Frame& start) {
  const Eigen::Vector2d first = offset_of(corners.front(), start);
  Eigen::Vector2d side = Eigen::Vector2d::UnitX();
  double longest_mm = 0.0;
  double diagonal_mm = 0.0;
  for (const Corner& corner : corners) {
    diagonal_mm = std::max(diagonal_mm, (offset_of(corner, start) - first).norm());
  }
  for (const Corner& corner : corners) {
    const Eigen::Vector2d between = offset_of(corner, start) - first;
    if (between.norm() > diagonal_mm - kSame_mm || between.norm() <= longest_mm) continue;
    longest_mm = between.norm();
    side = between.normalized();
  }
  start.inward = (start.inward * side.x() + start.normal * side.y()).normalized();
  start.normal = start.ahead.cross(start.inward).normalized();
}

// The outline whose four corners these are, if they stand at the corners of a rectangle about
// the centreline.
std::optional<Outline> outline_of(const std::vector<Corner>& corners,
                                  const geometry::Frame& start) {
  Outline outline;
  int signs_seen = 0;
  for (const Corner& corner : corners) {
    const Eigen::Vector2d offset = offset_of(corner, start);
    outline.half_height_mm += std::abs(offset.x()) / 4.0;
    outline.half_width_mm += std::abs(offset.y()) / 4.0;
    signs_seen |= 1 << ((offset.x() > 0.0 ? 1 : 0) + (offset.y() > 0.0 ? 2 : 0));
  }
  outline.corner_mm = corners.front().run.front().profile_mm;
  if (signs_seen != 15) return std::nullopt;
  for (const Corner& corner : corners) {
    const Eigen::Vector2d offset = offset_of(corner, start);
    if (std::abs(std::abs(offset.x()) - outline.half_height_mm) > 2.0 * kSame_mm ||
        std::abs(std::abs(offset.y()) - outline.half_width_mm) > 2.0 * kSame_mm) {
      return std::nullopt;
    }
  }
  return outline;
}

std::vector<std::size_t> bodies_of(const Scan& scan, const std::vector<Strand>& run) {
  std::vector<std::size_t> bodies;
  for (const Strand& strand : run) {
    for (const std::size_t face : strand.faces) bodies.push_back(scan.faces[face].body);
  }
  make_unique(bodies);
  return bodies;
}

// All chains that run beside the first one in its bodies, turned its way.
std::vector<Corner> companions(const Scan& scan, const std::vector<Strand>& strands,
                               const std::vector<Chain>& chains, std::size_t first) {
  std::vector<Strand> lead = travelled(chains[first], strands);
  merge_lines(lead);
  const std::vector<std::size_t> bodies = bodies_of(scan, lead);
  std::vector<Corner> found;
  for (std::size_t i = 0; i < chains.size(); ++i) {
    if (chains[i].closed || chains[i].links.size() > 4 * chains[first].links.size()) continue;
    std::vector<Strand> run = travelled(chains[i], strands);
    merge_lines(run);
    if (run.size() != lead.size()) continue;
    if (!beside(lead, run)) run = reversed(run);
    if (!beside(lead, run) || bodies_of(scan, run) != bodies) continue;
    found.push_back({std::move(run), i});
  }
  return found;
}

void take_faces(const Scan& scan, const std::vector<Corner>& corners, std::size_t outline,
                Tube& tube) {
  std::vector<EdgePoint>* by_end = outline == 0 ? tube.outer_edges : tube.inner_edges;
  for (const Corner& corner : corners) {
    for (std::size_t i = 0; i < corner.run.size(); ++i) {
      const Strand& strand = corner.run[i];
      const std::size_t segment = tube.path.segments[i];
      const bool near_a = i <= 1;
      const bool near_b = i + 2 >= corner.run.size();
      for (const std::size_t face : strand.faces) {
        tube.skin_faces.push_back(face);
        tube.bodies.push_back(scan.faces[face].body);
        if (strand.profile_mm == 0.0) continue;
        add_skin_points(scan, face, segment, outline, tube.points);
        if (near_a) add_edge_points(scan, face, segment, by_end[0]);
        if (near_b) add_edge_points(scan, face, segment, by_end[1]);
      }
      if (strand.profile_mm > 0.0) continue;
      // A sharp corner is its edge; the faces beside it may run the length of the tube.
      for (const Vec3& end : strand.ends_mm) {
        tube.points.push_back({end, segment, outline});
        if (near_a) by_end[0].push_back({end, segment, kNoEdge});
        if (near_b) by_end[1].push_back({end, segment, kNoEdge});
      }
    }
  }
}

// The flat sides and bend walls between the corners: measured where they lie on the skin.
void take_sides(const Scan& scan, Tube& tube) {
  const geometry::Centreline line = geometry::lay_out(tube.path.table, tube.path.start);
  const std::vector<base::Angle> turns = frame_turns(tube.path.table);
  make_unique(tube.skin_faces);
  make_unique(tube.bodies);
  std::vector<std::size_t> sides;
  for (const std::size_t body : tube.bodies) {
    for (const std::size_t index : scan.bodies[body].faces) {
      if (std::binary_search(tube.skin_faces.begin(), tube.skin_faces.end(), index)) continue;
      std::vector<SkinPoint> points;
      add_skin_points(scan, index, 0, 0, points);
      bool on_skin = !points.empty();
      bool off_end = false;
      for (SkinPoint& point : points) {
        double best_mm = 1e300;
        for (std::size_t s = 0; s < line.segments.size(); ++s) {
          const geometry::Segment& segment = line.segments[s];
          const Seen seen = seen_from(segment, point.point_mm);
          if (seen.along_mm < -kSame_mm || seen.along_mm > segment.length_mm + kSame_mm) continue;
          for (std::size_t o = 0; o < tube.outlines.size(); ++o) {
            const double off_mm = std::abs(distance_mm(seen, tube.outlines[o], turns[s]));
            if (off_mm >= best_mm) continue;
            best_mm = off_mm;
            point.segment = s;
            point.outline = o;
          }
        }
        off_end = off_end || best_mm == 1e300;
        on_skin = on_skin && best_mm < 0.5;
      }
      // End faces touch the skin only with their rim; their edges lie on both outlines.
      const bool spans_wall = std::any_of(points.begin(), points.end(), [&](const SkinPoint& p) {
        return p.outline != points.front().outline;
      });
      if (!on_skin || off_end || spans_wall || scan.faces[index].kind == SurfaceKind::kCone) {
        continue;
      }
      sides.push_back(index);
      tube.points.insert(tube.points.end(), points.begin(), points.end());
    }
  }
  tube.skin_faces.insert(tube.skin_faces.end(), sides.begin(), sides.end());
  make_unique(tube.skin_faces);
}

void add_hollow(const Scan& scan, const std::vector<Corner>& inner, Tube& tube) {
  if (inner.size() != 4) return;
  const std::optional<Outline> outline = outline_of(inner, tube.path.start);
  if (!outline) return;
  const Outline& outer = tube.outlines.front();
  const double wall_h_mm =
      outer.half_height_mm + outer.corner_mm - outline->half_height_mm - outline->corner_mm;
  const double wall_w_mm =
      outer.half_width_mm + outer.corner_mm - outline->half_width_mm - outline->corner_mm;
  if (wall_h_mm <= kSame_mm || wall_w_mm <= kSame_mm) return;
  tube.hollow = true;
  tube.outlines.push_back(*outline);
  take_faces(scan, inner, 1, tube);
  if (std::abs(wall_h_mm - wall_w_mm) > kSame_mm) {
    tube.findings.push_back(
        {part::Severity::kCaution,
         "step.wall-varies",
         std::nullopt,
         fmt::format("the walls are {:.3f} and {:.3f} mm thick", wall_h_mm, wall_w_mm),
         "the mean is used",
         "",
         {{"wall_mm", wall_h_mm}, {"other_wall_mm", wall_w_mm}}});
  }
}

// A tube of the corners found, if four of them are its outside.
std::optional<Tube> tube_of(const Scan& scan, const std::vector<Corner>& outer,
                            const std::vector<Corner>& inner) {
  if (outer.size() != 4) return std::nullopt;
  std::vector<Strand> run;
  for (std::size_t i = 0; i < outer.front().run.size(); ++i) run.push_back(mean_strand(outer, i));
  auto found = path_of(run);
  if (!found.ok()) return std::nullopt;
  Path path = std::move(found).value();
  if (path.table.num_bends() == 0) square_up(outer, path.start);
  const std::optional<Outline> outline = outline_of(outer, path.start);
  if (!outline) return std::nullopt;
  double length_mm = 0.0;
  for (const Strand& strand : run) length_mm += strand.length_mm();
  Tube tube{.round = false, .run = std::move(run), .path = std::move(path)};
  tube.outlines.push_back(*outline);
  tube.length_mm = length_mm;
  const double size_mm =
      2.0 * (std::max(outline->half_height_mm, outline->half_width_mm) + outline->corner_mm);
  // A block is no tube.
  if (tube.path.table.num_bends() == 0 && length_mm < 3.0 * size_mm) return std::nullopt;
  take_faces(scan, outer, 0, tube);
  add_hollow(scan, inner, tube);
  return tube;
}

// Corners told apart by place: the four furthest out are the outside, the four nearest the bore.
std::optional<Tube> placed_tube(const Scan& scan, std::vector<Corner> corners) {
  if (corners.size() != 4 && corners.size() != 8) return std::nullopt;
  Vec3 middle = Vec3::Zero();
  for (const Corner& corner : corners) {
    middle += corner.run.front().ends_mm[0] / static_cast<double>(corners.size());
  }
  // Rounded corners of both skins often share their axis: the radius then tells them apart.
  const auto reach_mm = [&](const Corner& corner) {
    const Strand& first = corner.run.front();
    return (first.ends_mm[0] - middle).cross(first.outwards[0]).norm() + first.profile_mm;
  };
  std::stable_sort(corners.begin(), corners.end(),
                   [&](const Corner& a, const Corner& b) { return reach_mm(a) > reach_mm(b); });
  const std::vector<Corner> outer(corners.begin(), corners.begin() + 4);
  const std::vector<Corner> inner(corners.begin() + 4, corners.end());
  return tube_of(scan, outer, inner);
}

// Rounded corners: outer ones turn outwards, inner ones inwards.
std::optional<Tube> rounded_tube(const Scan& scan, const std::vector<Corner>& sharp_inner_of,
                                 const std::vector<Corner>& beside_lead) {
  // Of loose surfaces only the distance from the middle tells the outside.
  if (!scan.bodies[beside_lead.front().run.front().body].solid)
    return placed_tube(scan, beside_lead);
  std::vector<Corner> outer;
  std::vector<Corner> inner;
  for (const Corner& corner : beside_lead) {
    (corner.run.front().convex ? outer : inner).push_back(corner);
  }
  return tube_of(scan, outer, inner.empty() ? sharp_inner_of : inner);
}

std::vector<std::size_t> longest_first(const std::vector<Chain>& chains) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < chains.size(); ++i) {
    if (!chains[i].closed) order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return chains[a].length_mm > chains[b].length_mm;
  });
  // The tube's own corners are among the longest runs of the file.
  if (order.size() > 64) order.resize(64);
  return order;
}

}  // namespace

std::optional<Tube> find_rect_tube(const Scan& scan) {
  std::vector<Strand> rounded = strands_of(scan);
  std::erase_if(rounded, [](const Strand& strand) { return !is_corner(strand); });
  const std::vector<Chain> rounded_chains = chains_of(scan, rounded);
  std::vector<Strand> sharp = edge_strands_of(scan);
  const std::vector<Chain> sharp_chains = chains_of(scan, sharp);
  for (const std::size_t first : longest_first(rounded_chains)) {
    if (!rounded_chains[first].convex) continue;
    const std::vector<Corner> corners = companions(scan, rounded, rounded_chains, first);
    if (corners.size() < 4) continue;
    // A small outer radius leaves the bore's corners sharp: look for them beside the outer ones.
    std::vector<Corner> sharp_inner;
    const std::vector<Strand>& lead = corners.front().run;
    for (std::size_t i = 0; i < sharp_chains.size(); ++i) {
      std::vector<Strand> run = travelled(sharp_chains[i], sharp);
      merge_lines(run);
      if (!beside(lead, run)) run = reversed(run);
      if (beside(lead, run) && bodies_of(scan, run) == bodies_of(scan, lead)) {
        sharp_inner.push_back({std::move(run), i});
      }
    }
    if (auto tube = rounded_tube(scan, sharp_inner, corners)) {
      take_sides(scan, *tube);
      return tube;
    }
  }
  for (const std::size_t first : longest_first(sharp_chains)) {
    if (auto tube = placed_tube(scan, companions(scan, sharp, sharp_chains, first))) {
      take_sides(scan, *tube);
      return tube;
    }
  }
  return std::nullopt;
}

}  // namespace bight::reader
