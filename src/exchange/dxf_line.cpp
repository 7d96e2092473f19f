#include "exchange/dxf_line.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "exchange/part_toml.h"
#include "exchange/table_bends.h"
#include "geometry/corners.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using base::Result;
using geometry::Vec3;

namespace {

std::string point_text(const Vec3& p_mm) {
  return fmt::format("({:.6g}, {:.6g}, {:.6g}) mm", p_mm.x(), p_mm.y(), p_mm.z());
}

// Corners of the centreline with their radii, ends without.
struct JoinedCorners {
  std::vector<Vec3> points_mm;
  std::vector<double> radii_mm;
};

// An arc's corners: one up to 150 degrees, else those of equal parts of at most 120.
void add_arc(const DxfPiece& piece, JoinedCorners& out) {
  constexpr double kWhole_deg = 150.0;
  constexpr double kPart_deg = 120.0;
  const int num = piece.angle.deg() <= kWhole_deg
                      ? 1
                      : static_cast<int>(std::ceil(piece.angle.deg() / kPart_deg));
  const Angle part = piece.angle / num;
  const double setback_mm = piece.radius() * base::tan(part / 2.0);
  for (int k = 0; k < num; ++k) {
    const Vec3 arm = geometry::turned(piece.start - piece.centre, piece.nhat_axis, part * k);
    const Vec3 ahead = piece.nhat_axis.cross(arm).normalized();
    out.points_mm.push_back(piece.centre + arm + ahead * setback_mm);
    out.radii_mm.push_back(piece.radius());
  }
}

// Many short lines that each turn a little are a curve nobody drew as an arc.
bool looks_like_chords(const std::vector<Angle>& turns) {
  constexpr std::size_t kMany = 12;
  std::size_t shallow = 0;
  for (const Angle turn : turns) shallow += turn < Angle::degrees(12) ? 1u : 0u;
  return shallow >= kMany && 10 * shallow >= 8 * turns.size();
}

Failure chords(const std::string& file, std::size_t num) {
  return {"dxf.chords", file,
          fmt::format("the line turns a little at each of {} points: a curve cut into short lines",
                      num),
          "export the centreline with its arcs, or as corner points"};
}

struct Walk {
  JoinedCorners corners;
  Angle worst_kink;
  std::vector<Angle> sharp_turns;  // corners between two lines
};

Result<std::optional<Walk>> walk(const DxfChain& chain, const std::string& file, Asking& asking) {
  const std::vector<DxfPiece>& pieces = chain.pieces;
  Walk walk;
  std::vector<std::size_t> sharp;  // places in radii_mm still to be filled
  walk.corners.points_mm.push_back(pieces.front().start);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (pieces[i].arc) add_arc(pieces[i], walk.corners);
    if (i + 1 == pieces.size()) break;
    const Angle turn =
        geometry::angle_between(pieces[i].ahead_at_end(), pieces[i + 1].ahead_at_start());
    if (pieces[i].arc || pieces[i + 1].arc) {
      if (turn > kLargestKink) {
        return Failure{"dxf.kink", file,
                       fmt::format("an arc meets its neighbour with a kink of {:.2f}° at {}",
                                   turn.deg(), point_text(pieces[i].end)),
                       "draw the arc tangent to the straight; a sharp corner joins two lines"};
      }
      walk.worst_kink = std::max(walk.worst_kink, turn);
    } else if (turn >= geometry::CornerOptions().straight_below) {
      sharp.push_back(walk.corners.radii_mm.size());
      walk.corners.points_mm.push_back(pieces[i].end);
      walk.corners.radii_mm.push_back(0.0);
      walk.sharp_turns.push_back(turn);
    }
  }
  walk.corners.points_mm.push_back(pieces.back().end);
  if (looks_like_chords(walk.sharp_turns)) return chords(file, walk.sharp_turns.size());
  if (walk.corners.radii_mm.size() > kMostBends) {
    return Failure{"table.many", file,
                   fmt::format("{} bends are more than a bent part has (at most {})",
                               walk.corners.radii_mm.size(), kMostBends),
                   "a traced curve must first be turned into straights and arcs"};
  }
  if (!sharp.empty()) {
    BIGHT_TRY(
        const std::optional<double> radius_mm,
        ask_radius_mm(asking, file,
                      fmt::format("{} corners are drawn sharp, the first at {}.", sharp.size(),
                                  point_text(walk.corners.points_mm[sharp.front() + 1]))));
    if (!radius_mm) return std::optional<Walk>();
    for (const std::size_t at : sharp) walk.corners.radii_mm[at] = *radius_mm;
  }
  return std::optional(std::move(walk));
}

}  // namespace

Result<std::optional<Line>> line_of_chain(const DxfChain& chain, const std::string& file,
                                          Asking& asking) {
  BIGHT_TRY(const std::optional<Walk> found, walk(chain, file, asking));
  if (!found) return std::optional<Line>();
  Result<geometry::FromCorners> from =
      geometry::to_bend_table(found->corners.points_mm, found->corners.radii_mm);
  if (!from.ok()) {
    Failure failure = from.failure();
    failure.where = file + (failure.where.empty() ? "" : ", " + failure.where);
    return failure;
  }
  Line line{geometry::merged_arcs(from->table), from->start, false, {}};
  if (found->worst_kink > Angle::degrees(0.01)) {
    line.findings.push_back(understood(
        "dxf.smoothed", fmt::format("Arcs miss the tangent of their straights by up to {:.3f}°; "
                                    "the straights were kept and the angles follow them.",
                                    found->worst_kink.deg())));
  }
  return std::optional(std::move(line));
}

}  // namespace bight::exchange
