#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "reader/tube.h"

namespace bight::reader {

namespace {

// A skin that goes less than three quarters round is a fillet or a corner, not a tube; a slanting
// cut may leave less of a tube's last straight.
constexpr double kLeastCoverage_deg = 270.0;
constexpr double kLeastAtCut_deg = 30.0;

// Everything that could be part of the skin of a round tube.
std::vector<Strand> round_strands(const Scan& scan) {
  std::vector<Strand> strands = strands_of(scan);
  std::erase_if(strands,
                [](const Strand& strand) { return strand.coverage.deg() < kLeastAtCut_deg; });
  return strands;
}

bool mostly_whole(const std::vector<Strand>& strands, const Chain& chain) {
  double whole_mm = 0.0;
  for (const Link& link : chain.links) {
    const Strand& strand = strands[link.strand];
    if (strand.coverage.deg() >= kLeastCoverage_deg) whole_mm += strand.length_mm();
  }
  return whole_mm > 0.5 * chain.length_mm;
}

struct Reach {
  double along_from_mm = 1e300;
  double along_to_mm = -1e300;
  double across_mm = 0.0;
};

// How far a body reaches along and across a straight.
Reach strand_reach(const Scan& scan, std::size_t body, const Strand& line) {
  Reach reach;
  for (const std::size_t face : scan.bodies[body].faces) {
    for (const std::size_t edge : scan.faces[face].edges) {
      for (const Vec3& p : scan.edges[edge].points_mm) {
        const Vec3 v = p - line.ends_mm[0];
        const double along_mm = v.dot(line.outwards[1]);
        reach.along_from_mm = std::min(reach.along_from_mm, along_mm);
        reach.along_to_mm = std::max(reach.along_to_mm, along_mm);
        reach.across_mm = std::max(reach.across_mm, v.cross(line.outwards[1]).norm());
      }
    }
  }
  return reach;
}

// Whether a bore runs through a straight strand.
bool has_bore(const Scan& scan, const std::vector<Strand>& strands, const Strand& line) {
  return std::any_of(strands.begin(), strands.end(), [&](const Strand& other) {
    const bool inside = !other.arc && other.profile_mm < line.profile_mm - kSame_mm &&
                        (!other.convex || !scan.bodies[other.body].solid);
    if (!inside || other.body != line.body) return false;
    for (const Vec3& end : other.ends_mm) {
      if ((end - line.ends_mm[0]).cross(line.outwards[1]).norm() > line.profile_mm) return false;
    }
    return other.length_mm() > 0.9 * line.length_mm();
  });
}

// A straight without a bend is a tube only when it is long for its size, and a bar only when its
// body is nothing else: a boss, a disc or a turned shaft is neither.
bool straight_counts(const Scan& scan, const std::vector<Strand>& strands, const Strand& line) {
  const double od_mm = 2.0 * line.profile_mm;
  if (has_bore(scan, strands, line)) return line.length_mm() > 0.5 * od_mm;
  if (line.length_mm() < 2.0 * od_mm) return false;
  const Reach reach = strand_reach(scan, line.body, line);
  const double slack_mm = 0.5 * od_mm;
  return reach.across_mm <= line.profile_mm + slack_mm && reach.along_from_mm >= -slack_mm &&
         reach.along_to_mm <= line.length_mm() + slack_mm;
}

bool is_tube(const Scan& scan, const std::vector<Strand>& strands, const Chain& chain) {
  if (chain.closed || !mostly_whole(strands, chain)) return false;
  const Strand& first = strands[chain.links.front().strand];
  if (!chain.convex && scan.bodies[first.body].solid) return false;
  if (chain.num_bends > 0) return true;
  return chain.links.size() > 1 || straight_counts(scan, strands, first);
}

// How far the axes of two strands lie apart where both are, or nothing when they are not about
// the same run.
std::optional<double> axis_offset_mm(const Strand& outer, const Strand& inner) {
  if (outer.arc != inner.arc) return std::nullopt;
  const double room_mm = outer.profile_mm - inner.profile_mm;
  if (room_mm <= 0.0) return std::nullopt;
  if (!outer.arc) {
    const Vec3& along = outer.outwards[1];
    const double a_mm = (inner.ends_mm[0] - outer.ends_mm[0]).dot(along);
    const double b_mm = (inner.ends_mm[1] - outer.ends_mm[0]).dot(along);
    if (std::min(a_mm, b_mm) > outer.length_mm() || std::max(a_mm, b_mm) < 0.0) return std::nullopt;
    if (inner.outwards[1].cross(along).norm() > 0.02) return std::nullopt;
    const Vec3 middle = 0.5 * (inner.ends_mm[0] + inner.ends_mm[1]);
    const double off_mm = (middle - outer.ends_mm[0]).cross(along).norm();
    return off_mm < room_mm ? std::optional(off_mm) : std::nullopt;
  }
  const double off_mm =
      (inner.centre_mm - outer.centre_mm).norm() + std::abs(inner.radius_mm - outer.radius_mm);
  if (inner.axis.cross(outer.axis).norm() > 0.02 || off_mm >= room_mm) return std::nullopt;
  return off_mm;
}

struct BoreStrand {
  std::size_t strand = 0;
  std::size_t link = 0;  // of the run
  double offset_mm = 0.0;
};

// Strands of the bore, grouped by radius; the radius with the greatest length is the bore.
struct Bore {
  double radius_mm = 0.0;
  double length_mm = 0.0;
  std::vector<BoreStrand> strands;
};

std::vector<Bore> bores_in(const Scan& scan, const std::vector<Strand>& strands, const Tube& tube) {
  std::vector<Bore> bores;
  for (std::size_t i = 0; i < strands.size(); ++i) {
    const Strand& inner = strands[i];
    if (inner.convex && scan.bodies[inner.body].solid) continue;
    if (inner.coverage.deg() < kLeastAtCut_deg) continue;
    if (!std::binary_search(tube.bodies.begin(), tube.bodies.end(), inner.body)) continue;
    for (std::size_t link = 0; link < tube.run.size(); ++link) {
      const std::optional<double> offset_mm = axis_offset_mm(tube.run[link], inner);
      if (!offset_mm) continue;
      auto bore = std::find_if(bores.begin(), bores.end(), [&](const Bore& known) {
        return std::abs(known.radius_mm - inner.profile_mm) <= kSame_mm;
      });
      if (bore == bores.end()) bore = bores.insert(bores.end(), Bore{inner.profile_mm, 0.0, {}});
      bore->length_mm += inner.length_mm();
      bore->strands.push_back({i, link, *offset_mm});
      break;
    }
  }
  std::stable_sort(bores.begin(), bores.end(),
                   [](const Bore& a, const Bore& b) { return a.length_mm > b.length_mm; });
  return bores;
}

void judge_bores(const std::vector<Bore>& bores, Tube& tube) {
  const Bore& bore = bores.front();
  double offset_mm = 0.0;
  for (const BoreStrand& strand : bore.strands) offset_mm = std::max(offset_mm, strand.offset_mm);
  if (offset_mm > kSame_mm) {
    tube.findings.push_back(
        {part::Severity::kCaution,
         "step.eccentric",
         std::nullopt,
         fmt::format("the bore lies {:.3f} mm off the outside; the wall is not even", offset_mm),
         "the wall is taken as half the difference of the diameters",
         "",
         {{"offset_mm", offset_mm}}});
  }
  for (std::size_t i = 1; i < bores.size(); ++i) {
    if (bores[i].length_mm < 0.01 * tube.length_mm) continue;
    const double wall_mm = tube.outlines[0].corner_mm - bores[i].radius_mm;
    tube.findings.push_back({part::Severity::kCaution,
                             "step.wall-varies",
                             std::nullopt,
                             fmt::format("over {:.1f} mm of its length the wall is {:.3f} mm",
                                         bores[i].length_mm, wall_mm),
                             "the wall of the greatest length is used",
                             "",
                             {{"wall_mm", wall_mm}, {"length_mm", bores[i].length_mm}}});
  }
}

void add_bore(const Scan& scan, const std::vector<Strand>& strands, Tube& tube) {
  const std::vector<Bore> bores = bores_in(scan, strands, tube);
  if (bores.empty()) return;
  const Bore& bore = bores.front();
  if (bore.length_mm < 0.5 * tube.length_mm) {
    tube.findings.push_back(
        {part::Severity::kNote,
         "step.blind-bore",
         std::nullopt,
         fmt::format("a bore of {:.3f} mm runs along {:.1f} mm only; the part is taken as solid",
                     2.0 * bore.radius_mm, bore.length_mm),
         "",
         "",
         {{"bore_mm", 2.0 * bore.radius_mm}, {"length_mm", bore.length_mm}}});
    return;
  }
  tube.hollow = true;
  tube.outlines.push_back({0.0, 0.0, bore.radius_mm});
  for (const BoreStrand& found : bore.strands) {
    const std::size_t last = tube.run.size() - 1;
    for (const std::size_t face : strands[found.strand].faces) {
      const std::size_t segment = tube.path.segments[found.link];
      if (found.link <= 1) add_edge_points(scan, face, segment, tube.inner_edges[0]);
      if (found.link + 1 >= last) add_edge_points(scan, face, segment, tube.inner_edges[1]);
      tube.skin_faces.push_back(face);
      // An uneven wall is told in its own finding, not as a deviation of the outside.
      if (found.offset_mm > kSame_mm) continue;
      add_skin_points(scan, face, tube.path.segments[found.link], 1, tube.points);
    }
  }
  judge_bores(bores, tube);
}

void add_outer(const Scan& scan, Tube& tube) {
  for (std::size_t link = 0; link < tube.run.size(); ++link) {
    for (const std::size_t face : tube.run[link].faces) {
      const std::size_t segment = tube.path.segments[link];
      if (link <= 1) add_edge_points(scan, face, segment, tube.outer_edges[0]);
      if (link + 2 >= tube.run.size()) add_edge_points(scan, face, segment, tube.outer_edges[1]);
      tube.skin_faces.push_back(face);
      tube.bodies.push_back(scan.faces[face].body);
      add_skin_points(scan, face, tube.path.segments[link], 0, tube.points);
    }
  }
  make_unique(tube.bodies);
}

void judge_joints(const Chain& chain, Tube& tube) {
  if (chain.worst_gap_mm > kSame_mm || chain.worst_kink.deg() > kCleanKink_deg) {
    tube.findings.push_back(
        {part::Severity::kCaution,
         "step.loose-joint",
         std::nullopt,
         fmt::format("straights and bends do not meet cleanly: up to {:.3f} mm apart, {:.3f}° off",
                     chain.worst_gap_mm, chain.worst_kink.deg()),
         "check the table against the drawing",
         "",
         {{"gap_mm", chain.worst_gap_mm}, {"kink_deg", chain.worst_kink.deg()}}});
  }
  if (chain.num_covered > 0) {
    tube.findings.push_back(
        {part::Severity::kNote,
         "step.covered",
         std::nullopt,
         fmt::format("the tube is hidden by other material in {} places; its run was continued "
                     "through them",
                     chain.num_covered),
         "",
         "",
         {{"places_count", static_cast<double>(chain.num_covered)}}});
  }
}

}  // namespace

void make_unique(std::vector<std::size_t>& indices) {
  std::sort(indices.begin(), indices.end());
  indices.erase(std::unique(indices.begin(), indices.end()), indices.end());
}

void add_edge_points(const Scan& scan, std::size_t face, std::size_t segment,
                     std::vector<EdgePoint>& points) {
  for (const std::size_t edge : scan.faces[face].edges) {
    for (const Vec3& p : scan.edges[edge].points_mm) points.push_back({p, segment, edge});
  }
}

void add_skin_points(const Scan& scan, std::size_t index, std::size_t segment, std::size_t outline,
                     std::vector<SkinPoint>& points) {
  const ScanFace& face = scan.faces[index];
  if (face.regular && face.kind != SurfaceKind::kPlane) {
    for (const Sample& sample : face.grid) points.push_back({sample.point_mm, segment, outline});
    return;
  }
  for (const std::size_t edge : face.edges) {
    for (const Vec3& p : scan.edges[edge].points_mm) points.push_back({p, segment, outline});
  }
}

std::optional<Tube> find_round_tube(const Scan& scan, std::vector<std::string>* others) {
  std::vector<Strand> strands = round_strands(scan);
  std::vector<Chain> chains = chains_of(scan, strands);
  std::erase_if(chains, [&](const Chain& chain) { return !is_tube(scan, strands, chain); });
  // Longest first; of equals the thicker, which is the outside where sides cannot be told.
  std::stable_sort(chains.begin(), chains.end(), [](const Chain& a, const Chain& b) {
    if (std::abs(a.length_mm - b.length_mm) > kSame_mm) return a.length_mm > b.length_mm;
    return a.profile_mm > b.profile_mm;
  });
  if (chains.empty()) return std::nullopt;
  std::vector<Strand> run = travelled(chains.front(), strands);
  auto path = path_of(run);
  if (!path.ok()) return std::nullopt;
  Tube tube{.run = std::move(run), .path = *path};
  tube.length_mm = chains.front().length_mm;
  tube.outlines.push_back({0.0, 0.0, chains.front().profile_mm});
  add_outer(scan, tube);
  judge_joints(chains.front(), tube);
  add_bore(scan, strands, tube);
  make_unique(tube.skin_faces);
  for (std::size_t i = 1; i < chains.size() && others != nullptr; ++i) {
    const std::vector<std::size_t>& faces = strands[chains[i].links.front().strand].faces;
    const bool own = std::all_of(faces.begin(), faces.end(), [&](std::size_t face) {
      return std::binary_search(tube.skin_faces.begin(), tube.skin_faces.end(), face);
    });
    if (own) continue;
    others->push_back(fmt::format("another tube or bar of {:.3f} mm, {:.1f} mm long with {} bends",
                                  2.0 * chains[i].profile_mm, chains[i].length_mm,
                                  chains[i].num_bends));
  }
  return tube;
}

}  // namespace bight::reader
