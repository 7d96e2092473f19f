#include "reader/long_face.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "reader/fit.h"

namespace bight::reader {

namespace {

// Rings of the grid from first to last that lie on one straight or arc.
struct Run {
  std::size_t first = 0;
  std::size_t last = 0;
  bool arc = false;

  std::size_t size() const { return last - first + 1; }
};

// A line needs three rings to be proved, a circle in space four.
constexpr std::size_t kLeastOnLine = 3;
constexpr std::size_t kLeastOnArc = 4;
constexpr std::size_t kMostRuns = 250;

bool on_line(const std::vector<Vec3>& points_mm, std::size_t first, std::size_t last,
             double tolerance_mm) {
  const Vec3 chord = points_mm[last] - points_mm[first];
  if (chord.norm() < 1e-9) return false;
  for (std::size_t i = first; i <= last; ++i) {
    const Vec3 v = points_mm[i] - points_mm[first];
    if (v.cross(chord.normalized()).norm() > tolerance_mm) return false;
  }
  return true;
}

bool on_arc(const std::vector<Vec3>& points_mm, std::size_t first, std::size_t last,
            double tolerance_mm) {
  const auto at = [&](std::size_t i) { return points_mm.begin() + static_cast<std::ptrdiff_t>(i); };
  const std::optional<Circle> circle = fit_circle({at(first), at(last + 1)});
  return circle && circle->residual_mm <= tolerance_mm;
}

// The furthest ring that a line or arc from this one reaches.
template <typename Fits>
std::size_t reach_of(std::size_t first, std::size_t least, std::size_t count, const Fits& fits) {
  if (first + least > count || !fits(first, first + least - 1)) return first;
  std::size_t good = first + least - 1;
  std::size_t step = 1;
  std::size_t bad = count;  // first index known not to fit
  while (good + step < bad) {
    if (fits(first, good + step)) {
      good += step;
      step *= 2;
    } else {
      bad = good + step;
      step = 1;
    }
  }
  while (good + 1 < bad && fits(first, good + 1)) ++good;
  return good;
}

// Straights and arcs in travelling order; empty when too many rings lie on neither.
std::vector<Run> runs_of(const std::vector<Vec3>& points_mm, double tolerance_mm) {
  std::vector<Run> runs;
  std::size_t loose = 0;
  const std::size_t count = points_mm.size();
  for (std::size_t at = 0; at < count;) {
    const std::size_t line =
        reach_of(at, kLeastOnLine, count, [&](std::size_t first, std::size_t last) {
          return on_line(points_mm, first, last, tolerance_mm);
        });
    const std::size_t arc =
        reach_of(at, kLeastOnArc, count, [&](std::size_t first, std::size_t last) {
          return on_arc(points_mm, first, last, tolerance_mm);
        });
    if (line == at && arc == at) {
      ++loose;
      ++at;
      continue;
    }
    runs.push_back({at, std::max(line, arc), arc > line});
    at = runs.back().last + 1;
  }
  // Between two runs a ring may lie on neither; more say that this is no such chain.
  if (loose > runs.size() + 1 || runs.size() > kMostRuns) return {};
  return runs;
}

// The chain at the least tolerance that makes one: exact surfaces show their joints best.
std::vector<Run> best_runs(const std::vector<Vec3>& points_mm) {
  for (const double tolerance_mm : {1e-6, 1e-5, 1e-4, 5e-4, 2e-3, 5e-3, kFitTolerance_mm}) {
    std::vector<Run> runs = runs_of(points_mm, tolerance_mm);
    if (runs.size() > 1) return runs;
  }
  return {};
}

// The rings of a run as a face of their own, ring by ring.
ScanFace piece_of(const ScanFace& face, bool rings_are_rows, const Run& run) {
  ScanFace piece;
  piece.body = face.body;
  piece.columns = rings_are_rows ? face.columns : face.rows;
  piece.rows = run.size();
  for (std::size_t ring = run.first; ring <= run.last; ++ring) {
    for (std::size_t i = 0; i < piece.columns; ++i) {
      piece.grid.push_back(rings_are_rows ? face.at(i, ring) : face.at(ring, i));
    }
  }
  // All of its grid lies on the surface; where the face ends, its edges say.
  piece.regular = true;
  return piece;
}

// Where two pieces meet, and which way the tube runs there.
struct Meeting {
  Vec3 place_mm = Vec3::Zero();
  Vec3 along = Vec3::UnitX();
};

Meeting line_and_arc(const ScanFace& line, const ScanFace& arc) {
  const Vec3 axis = line.axis.normalized();
  return {line.origin_mm + axis * axis.dot(arc.origin_mm - line.origin_mm), axis};
}

// Two circles that touch share their tangent: square to both axes, or, when they lie in one plane,
// to the line of centres.
Meeting arc_and_arc(const ScanFace& a, const ScanFace& b, const Vec3& near_mm) {
  const Vec3 axis = a.axis.normalized();
  Vec3 along = axis.cross(b.axis.normalized());
  Vec3 outwards = along.cross(axis);
  if (along.norm() < 1e-3) {
    outwards = b.origin_mm - a.origin_mm;
    if (outwards.norm() < 1e-3) outwards = near_mm - a.origin_mm;
    outwards -= axis * axis.dot(outwards);
  }
  if (outwards.norm() < 1e-12) outwards = axis.unitOrthogonal();
  outwards.normalize();
  if (outwards.dot(near_mm - a.origin_mm) < 0.0) outwards = -outwards;
  return {a.origin_mm + outwards * a.radius_mm, axis.cross(outwards)};
}

Meeting meeting_of(const ScanFace& a, const ScanFace& b, const Vec3& near_mm) {
  const bool a_is_line = a.kind == SurfaceKind::kCylinder;
  const bool b_is_line = b.kind == SurfaceKind::kCylinder;
  if (a_is_line && b_is_line) {
    const Vec3 axis = a.axis.normalized();
    return {a.origin_mm + axis * axis.dot(near_mm - a.origin_mm), axis};
  }
  if (a_is_line) return line_and_arc(a, b);
  if (b_is_line) return line_and_arc(b, a);
  return arc_and_arc(a, b, near_mm);
}

ScanEdge ring_edge(const Meeting& meeting, double radius_mm) {
  constexpr int kPoints = 36;
  const Vec3 e1 = meeting.along.unitOrthogonal();
  const Vec3 e2 = meeting.along.cross(e1);
  ScanEdge edge;
  edge.kind = CurveKind::kCircle;
  for (int i = 0; i <= kPoints; ++i) {
    const double turn_rad = 2.0 * std::numbers::pi * i / kPoints;
    edge.points_mm.push_back(meeting.place_mm +
                             radius_mm * (e1 * std::cos(turn_rad) + e2 * std::sin(turn_rad)));
  }
  return edge;
}

double skin_radius_mm(const ScanFace& piece) {
  return piece.kind == SurfaceKind::kTorus ? piece.minor_mm : piece.radius_mm;
}

// The run whose rings an edge lies beside, all of it; none for an edge that runs along several.
std::optional<std::size_t> run_beside(const ScanEdge& edge, const std::vector<Vec3>& spine_mm,
                                      const std::vector<Run>& runs) {
  std::size_t least = spine_mm.size();
  std::size_t most = 0;
  for (const Vec3& p : edge.points_mm) {
    const auto nearest =
        std::min_element(spine_mm.begin(), spine_mm.end(), [&](const Vec3& a, const Vec3& b) {
          return (a - p).squaredNorm() < (b - p).squaredNorm();
        });
    const auto index = static_cast<std::size_t>(nearest - spine_mm.begin());
    least = std::min(least, index);
    most = std::max(most, index);
  }
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const std::size_t from = i == 0 ? 0 : runs[i].first;
    const std::size_t to = i + 1 == runs.size() ? spine_mm.size() : runs[i].last;
    if (least >= from && most <= to) return i;
  }
  // A slanting end may reach from the last straight into the bend before it.
  if (most < runs.front().last && least == 0) return 0;
  if (least > runs.back().first && most + 1 == spine_mm.size()) return runs.size() - 1;
  return std::nullopt;
}

// Puts the pieces in the face's place.
void replace_face(Scan& scan, std::size_t face, std::vector<ScanFace> pieces,
                  const std::vector<Vec3>& spine_mm, const std::vector<Run>& runs) {
  std::vector<std::size_t> places{face};
  for (std::size_t i = 1; i < pieces.size(); ++i) places.push_back(scan.faces.size() + i - 1);
  for (const std::size_t index : scan.faces[face].edges) {
    ScanEdge& edge = scan.edges[index];
    std::erase(edge.faces, face);
    const std::optional<std::size_t> run = run_beside(edge, spine_mm, runs);
    if (!run) continue;
    pieces[*run].edges.push_back(index);
    edge.faces.push_back(places[*run]);
  }
  for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
    const Vec3 near_mm = 0.5 * (spine_mm[runs[i].last] + spine_mm[runs[i + 1].first]);
    ScanEdge ring =
        ring_edge(meeting_of(pieces[i], pieces[i + 1], near_mm), skin_radius_mm(pieces[i]));
    ring.faces = {places[i], places[i + 1]};
    pieces[i].edges.push_back(scan.edges.size());
    pieces[i + 1].edges.push_back(scan.edges.size());
    scan.edges.push_back(std::move(ring));
  }
  std::vector<std::size_t>& of_body = scan.bodies[scan.faces[face].body].faces;
  of_body.insert(of_body.end(), places.begin() + 1, places.end());
  scan.faces[face] = std::move(pieces.front());
  for (std::size_t i = 1; i < pieces.size(); ++i) scan.faces.push_back(std::move(pieces[i]));
}

bool split(Scan& scan, std::size_t index, bool rings_are_rows) {
  const ScanFace& face = scan.faces[index];
  const std::optional<Spine> spine = spine_along(face, rings_are_rows);
  if (!spine || spine->radius_spread_mm > 5.0 * kFitTolerance_mm) return false;
  const std::vector<Run> runs = best_runs(spine->points_mm);
  std::vector<ScanFace> pieces;
  for (const Run& run : runs) {
    ScanFace piece = piece_of(face, rings_are_rows, run);
    piece.piece = pieces.size() + 1;
    if (!(run.arc ? recognise_torus(piece) : recognise_cylinder(piece))) return false;
    pieces.push_back(std::move(piece));
  }
  if (pieces.size() < 2) return false;
  replace_face(scan, index, std::move(pieces), spine->points_mm, runs);
  return true;
}

}  // namespace

void split_long_faces(Scan& scan) {
  const std::size_t count = scan.faces.size();
  for (std::size_t i = 0; i < count; ++i) {
    const ScanFace& face = scan.faces[i];
    if (face.kind != SurfaceKind::kFree || face.columns < 4 || face.rows < 4) continue;
    if (!split(scan, i, true)) split(scan, i, false);
  }
}

}  // namespace bight::reader
