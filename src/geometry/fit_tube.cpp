#include "geometry/fit_tube.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/centreline.h"
#include "geometry/fit_axis.h"
#include "geometry/fit_ends.h"
#include "geometry/fit_girth.h"
#include "geometry/fit_segments.h"
#include "geometry/fit_spine.h"
#include "geometry/fit_tidy.h"

namespace bight::geometry {

using base::Angle;
using base::Failure;
using base::Result;

namespace {

// Points the search works on; more make it slower, not better.
constexpr std::size_t kMostDrawn = 250000;
constexpr std::size_t kSearchPoints = 45000;
constexpr std::size_t kMostFiltered = 400000;
constexpr std::size_t kFittingPoints = 50000;
constexpr std::size_t kMostBends = 100;
constexpr double kGirthToHoldOd_deg = 200.0;

struct Search {
  Surface surface;
  std::vector<FlatPatch> patches;
  double radius_mm = 0.0;
  SpineSearch spine;
};

Surface thin_surface(const Points& points_mm, Shuffler& shuffler) {
  double edge_mm = 0.0;
  Points thin = thinned(drawn_evenly(points_mm, kMostDrawn, shuffler), kSearchPoints, edge_mm);
  return surface_of(std::move(thin), edge_mm);
}

Points off_patches(const Points& points_mm, const std::vector<FlatPatch>& patches) {
  Points out;
  for (const Vec3& p : points_mm) {
    if (!on_patch(patches, p)) out.push_back(p);
  }
  return out;
}

// Surface points within 15 % of the radius of the tube around a spine.
std::size_t num_explained(const Search& search) {
  std::size_t num = 0;
  for (const double d : distances_to_spine_mm(search.surface, search.spine, search.radius_mm)) {
    num += std::abs(d - search.radius_mm) < 0.15 * search.radius_mm;
  }
  return num;
}

Result<Search> search_tube(const Points& points_mm, const TubeFitOptions& options,
                           Shuffler& shuffler) {
  Search search;
  search.surface = thin_surface(points_mm, shuffler);
  BIGHT_TRY(const base::Done simple, check_is_no_simple_shape(search.surface));
  static_cast<void>(simple);
  search.patches = flat_patches(search.surface, shuffler);
  if (!search.patches.empty()) {
    const Points rest = off_patches(points_mm, search.patches);
    if (rest.size() < 60 || rest.size() * 50 < points_mm.size()) {
      return Failure{
          "scan.flat-faces", "",
          fmt::format("the points lie on {} flat face(s): no round tube stands out of them",
                      search.patches.size()),
          "only round tube and bar are found in scans; give a square section's corners by hand"};
    }
    search.surface = thin_surface(rest, shuffler);
  }
  std::vector<Girth> tries;
  if (options.od_mm) {
    tries.push_back({0.5 * *options.od_mm, 1.0});
  } else {
    tries = girths(search.surface, shuffler);
  }
  Search best;
  std::size_t most = 0;
  for (std::size_t i = 0; i < std::min<std::size_t>(3, tries.size()); ++i) {
    search.radius_mm = tries[i].radius_mm;
    search.spine = find_spine(search.surface, search.radius_mm, shuffler);
    if (search.spine.pieces.empty()) continue;
    const std::size_t num = num_explained(search);
    if (num > most) {
      most = num;
      best = search;
    }
    if (num * 10 > search.surface.points_mm.size() * 6) break;
  }
  if (most == 0) {
    const std::string looked = tries.empty()
                                   ? "nothing in the points curves like a tube"
                                   : fmt::format("no run of tube of {:.4g} mm diameter was found",
                                                 2.0 * tries.front().radius_mm);
    return Failure{"scan.no-tube", "", looked,
                   "give the diameter measured with a caliper, crop the scan to the tube, and see "
                   "that a quarter of its girth is in it"};
  }
  return best;
}

// Eight points around each spine point, one tube radius out.
Points rings_around(const SpineSearch& spine, double radius_mm) {
  Points out;
  for (const Spine& piece : spine.pieces) {
    const Points& p = piece.points_mm;
    for (std::size_t i = 0; i < p.size(); ++i) {
      const Vec3 ahead = (p[std::min(i + 1, p.size() - 1)] - p[i == 0 ? 0 : i - 1]).normalized();
      const Vec3 first = ahead.unitOrthogonal();
      for (int k = 0; k < 8; ++k) {
        out.push_back(p[i] + turned(first, ahead, Angle::degrees(45.0 * k)) * radius_mm);
      }
    }
  }
  return out;
}

Result<TubeAxis> rough_axis(const Search& search) {
  Points spine_mm;
  double noise_mm = 0.0;
  for (const Spine& piece : search.spine.pieces) {
    spine_mm.insert(spine_mm.end(), piece.points_mm.begin(), piece.points_mm.end());
    noise_mm = std::max(noise_mm, piece.noise_mm);
  }
  // Neighbouring points share patches, so their differences show less noise than there is.
  noise_mm = std::max(2.0 * noise_mm, 0.004 * search.radius_mm);
  const std::vector<SpineSegment> segments = split_spine(spine_mm, noise_mm);
  if (segments.size() > 2 * kMostBends + 1) {
    return Failure{
        "scan.not-bent-tube", "",
        fmt::format("the run of the tube falls into {} straights and arcs", segments.size()),
        "a hand-formed curve or a hose has no bend table"};
  }
  const Result<RoughTable> rough = rough_table(spine_mm, segments, search.radius_mm);
  if (!rough.ok()) {
    return Failure{"scan.not-bent-tube", "",
                   "the run of the tube makes no chain of straights: " + rough.failure().message,
                   "see that one whole tube is in the scan"};
  }
  // First onto an ideal skin around the spine, where nothing else draws at the fit: it may have to
  // come from far, above all where a hole in the scan hides a bend.
  AxisFitOptions far;
  far.first_limit_mm = 30.0 * search.radius_mm;
  far.least_limit_mm = far.first_limit_mm;
  far.hold_radius = true;
  far.most_rounds = 4;
  const TubeAxis start = axis_of(rough->rows, rough->start, search.radius_mm);
  return fit_axis(start, rings_around(search.spine, search.radius_mm), far).axis;
}

double girth_seen_deg(const AxisEvidence& evidence) {
  double seen = 0.0;
  double weight = 0.0;
  for (const std::array<int, 36>& tens : evidence.girth) {
    double sum = 0.0;
    int filled = 0;
    for (const int count : tens) {
      sum += count;
      filled += count > 0;
    }
    // Ten degrees count as seen when they hold a fair share of the piece's points.
    int fair = 0;
    for (const int count : tens) fair += filled > 0 && count * filled * 5 > sum;
    seen += sum * 10.0 * fair;
    weight += sum;
  }
  return weight > 0.0 ? seen / weight : 0.0;
}

// Both ends along the axis from the first bend's start.
struct Ends {
  EndFit a;  // at_mm is negative: before the first bend
  EndFit b;
};

Ends find_ends(const Search& search, const AxisFit& fit, const Points& even_mm) {
  const std::vector<AxisPiece> pieces = pieces_of(fit.axis);
  const auto along = [&](const Vec3& p) {
    return foot_on(pieces[nearest_piece(pieces, p)], p).along_mm;
  };
  const double r_mm = fit.axis.radius_mm;
  const double from_mm = along(search.spine.pieces.front().points_mm.front());
  const double to_mm = along(search.spine.pieces.back().points_mm.back());
  std::vector<double> at_a;
  std::vector<double> at_b;
  std::size_t guess = 0;
  for (const Vec3& p : even_mm) {
    guess = nearest_piece_around(pieces, p, guess);
    double square = squared_distance_mm2(pieces[guess], p);
    if (std::abs(std::sqrt(square) - r_mm) > fit.limit_mm) {
      guess = nearest_piece(pieces, p);
      square = squared_distance_mm2(pieces[guess], p);
      if (std::abs(std::sqrt(square) - r_mm) > fit.limit_mm) continue;
    }
    const double s_mm = foot_on(pieces[guess], p).along_mm;
    if (s_mm > from_mm - 2.0 * r_mm && s_mm < from_mm + 12.0 * r_mm) at_a.push_back(-s_mm);
    if (s_mm < to_mm + 2.0 * r_mm && s_mm > to_mm - 12.0 * r_mm) at_b.push_back(s_mm);
  }
  Ends ends{{-from_mm, r_mm}, {to_mm, r_mm}};
  if (!at_a.empty()) ends.a = upper_end(std::move(at_a), r_mm, fit.sigma_mm);
  if (!at_b.empty()) ends.b = upper_end(std::move(at_b), r_mm, fit.sigma_mm);
  ends.a.at_mm = -ends.a.at_mm;
  return ends;
}

double sigma_at(const Eigen::MatrixXd& covariance, Eigen::Index column) {
  return std::sqrt(std::max(0.0, covariance(column, column)));
}

// Table, frame and their uncertainties as travelled by the axis.
Result<TubeFit> assembled(AxisFit& fit, const AxisEvidence& evidence, const Ends& ends) {
  TubeAxis axis = fit.axis;
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  double first_mm = -ends.a.at_mm;
  double last_mm = ends.b.at_mm - pieces.back().before_mm;
  Frame start = axis.first_bend.advanced(-first_mm);
  std::vector<BendRow> rows = axis.rows;
  if (rows.empty()) last_mm = ends.b.at_mm - ends.a.at_mm;
  if (!rows.empty()) {
    // A tube that starts or stops inside its bend: the bend is as long as it is seen.
    if (first_mm < 0.0) {
      const Angle cut =
          std::min(Angle::radians(-first_mm / rows[0].radius_mm), rows[0].angle * 0.9);
      start = axis.first_bend.swept(rows[0].radius_mm, cut);
      rows[0].angle = rows[0].angle - cut;
      first_mm = 0.0;
    }
    if (last_mm < 0.0) {
      BendRow& bend = rows.back();
      bend.angle =
          bend.angle - std::min(Angle::radians(-last_mm / bend.radius_mm), bend.angle * 0.9);
      last_mm = 0.0;
    }
    rows[0].straight_mm = first_mm;
    rows[0].rotation = Angle();
  }
  const std::vector<RowUncertainty> none(rows.size());
  const Result<BendTable> table = BendTable::make(std::move(rows), last_mm);
  if (!table.ok() || table->num_bends() != none.size()) {
    return Failure{"scan.not-bent-tube", "",
                   "the fit did not settle on a chain of straights and "
                   "bends",
                   "see that one whole tube is in the scan"};
  }
  TubeFit out{*table, start, 2.0 * axis.radius_mm};
  out.u = none;
  const std::vector<AxisColumn> columns = columns_of(axis);
  for (std::size_t c = 6; c < columns.size(); ++c) {
    const double sigma = sigma_at(evidence.covariance, static_cast<Eigen::Index>(c));
    RowUncertainty* u = out.u.empty() ? nullptr : &out.u[columns[c].bend];
    switch (columns[c].number) {
      case AxisNumber::kStraight:
        u->straight_mm = sigma;
        break;
      case AxisNumber::kRotation:
        u->rotation = std::min(Angle::radians(sigma), Angle::degrees(180));
        break;
      case AxisNumber::kAngle:
        u->angle = std::min(Angle::radians(sigma), Angle::degrees(180));
        break;
      case AxisNumber::kBendRadius:
        u->radius_mm = sigma;
        break;
      case AxisNumber::kTubeRadius:
        out.od_u_mm = 2.0 * sigma;
        break;
      default:
        break;
    }
  }
  // The end straights run from a fitted bend to a found end.
  const Eigen::MatrixXd screws = screws_of(axis, pieces, pieces.size() - 1);
  const Eigen::VectorXd along = screws.leftCols(3) * pieces.back().ahead;
  const double bend_u_mm = std::sqrt(std::max(0.0, along.dot(evidence.covariance * along)));
  if (out.u.empty()) {
    out.last_straight_u_mm = std::hypot(ends.a.u_mm, ends.b.u_mm);
  } else {
    out.u.front().straight_mm = std::hypot(ends.a.u_mm, sigma_at(evidence.covariance, 0));
    out.last_straight_u_mm = std::hypot(ends.b.u_mm, bend_u_mm);
  }
  return out;
}

// A fair share of the points that can belong to the tube, for the steps before the last.
Points fitting_points(const TubeAxis& rough, const Points& skin_mm, Shuffler& shuffler) {
  const std::vector<AxisPiece> pieces = pieces_of(rough);
  Points near;
  for (const Vec3& p : drawn_evenly(skin_mm, kMostFiltered, shuffler)) {
    const double square = squared_distance_mm2(pieces[nearest_piece(pieces, p)], p);
    if (std::abs(std::sqrt(square) - rough.radius_mm) < 0.6 * rough.radius_mm) near.push_back(p);
  }
  return drawn_evenly(near, kFittingPoints, shuffler);
}

struct Skins {
  double outer_mm = 0.0;
  std::optional<double> inner_mm;
};

// Skins of the tube seen in the points' distances from its axis: the outermost clear peak, and the
// next inside it.
Skins skins_about(const TubeAxis& axis, const Points& points_mm) {
  constexpr std::size_t kBins = 160;
  const double bin_mm = 0.01 * axis.radius_mm;
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  std::vector<double> raw(kBins, 0.0);
  for (const Vec3& p : points_mm) {
    const double d = std::sqrt(squared_distance_mm2(pieces[nearest_piece(pieces, p)], p));
    const double at = d / bin_mm;
    // Per area: an inner skin of the same density has fewer points.
    if (at < static_cast<double>(kBins) && at > 20.0) raw[static_cast<std::size_t>(at)] += 1.0 / d;
  }
  std::vector<double> counts(kBins, 0.0);
  for (std::size_t i = 1; i + 1 < kBins; ++i) counts[i] = raw[i - 1] + 2.0 * raw[i] + raw[i + 1];
  const double most = *std::max_element(counts.begin(), counts.end());
  // From outside inwards: up to a peak, down to 60 % of it or less, up again from a valley.
  std::vector<double> peaks_mm;
  double top = 0.0;
  double valley = 0.0;
  bool rising = true;
  double at_mm = 0.0;
  for (std::size_t i = kBins; i-- > 0;) {
    if (rising && counts[i] > top) {
      top = counts[i];
      at_mm = (static_cast<double>(i) + 0.5) * bin_mm;
    } else if (rising && counts[i] < 0.6 * top) {
      if (top > 0.25 * most) peaks_mm.push_back(at_mm);
      rising = false;
      valley = counts[i];
    } else if (!rising) {
      valley = std::min(valley, counts[i]);
      rising = 0.6 * counts[i] > valley;
      top = 0.0;
    }
  }
  Skins skins{axis.radius_mm, std::nullopt};
  if (peaks_mm.size() > 1) skins = {peaks_mm[0], peaks_mm[1]};
  return skins;
}

struct Fitted {
  AxisFit fit;
  AxisEvidence evidence;
  double girth_deg = 0.0;
  bool od_held = false;
  std::optional<double> inner_radius_mm;
};

Fitted fitted(const TubeAxis& rough, const Search& search, const Points& skin_mm,
              const TubeFitOptions& options, Shuffler& shuffler) {
  AxisFitOptions fitting;
  fitting.first_limit_mm = std::max(0.25 * search.radius_mm, 5.0 * search.surface.noise_mm);
  fitting.least_limit_mm = 1e-4 * search.radius_mm;
  const Points near = fitting_points(rough, skin_mm, shuffler);
  Fitted out;
  out.fit = tidied_fit(fit_axis(rough, near, fitting), near, fitting);
  if (const Skins skins = skins_about(out.fit.axis, near); skins.inner_mm) {
    // Two skins pulled at the fit: once more on the outer one alone.
    out.inner_radius_mm = skins.inner_mm;
    out.fit.axis.radius_mm = skins.outer_mm;
    fitting.first_limit_mm = 0.6 * (skins.outer_mm - *skins.inner_mm);
    out.fit = tidied_fit(fit_axis(out.fit.axis, near, fitting), near, fitting);
  }
  out.evidence = refine_on_all(out.fit, skin_mm, false);
  out.girth_deg = girth_seen_deg(out.evidence);
  out.od_held = options.od_mm && out.girth_deg < kGirthToHoldOd_deg;
  fitting.hold_radius = out.od_held;
  bool again = out.od_held;
  if (out.od_held) out.fit.axis.radius_mm = 0.5 * *options.od_mm;
  // Every round drops a bend or is the last.
  while (drop_unproven_bend(out.fit, out.evidence.covariance) || again) {
    again = false;
    fitting.first_limit_mm =
        std::min(fitting.first_limit_mm, std::max(out.fit.limit_mm, 0.1 * search.radius_mm));
    out.fit = fit_axis(out.fit.axis, near, fitting);
    out.evidence = refine_on_all(out.fit, skin_mm, out.od_held);
  }
  return out;
}

}  // namespace

Result<TubeFit> fit_tube(const Points& points_mm, const TubeFitOptions& options,
                         const Points& even_mm) {
  Shuffler shuffler(options.seed);
  const Points& even = even_mm.empty() ? points_mm : even_mm;
  if (points_mm.empty()) {
    return Failure{"scan.points", "", "the scan holds no points", "check the export"};
  }
  BIGHT_TRY(Search search, search_tube(even, options, shuffler));
  BIGHT_TRY(const TubeAxis rough, rough_axis(search));
  const Points* skin = &points_mm;
  Points off_flat;
  if (!search.patches.empty()) {
    off_flat = off_patches(points_mm, search.patches);
    skin = &off_flat;
  }
  Fitted found = fitted(rough, search, *skin, options, shuffler);
  AxisFit& fit = found.fit;
  const AxisEvidence& evidence = found.evidence;
  if (evidence.num_used * 100 < skin->size() * 3 || evidence.num_used < 50) {
    return Failure{"scan.little-tube", "",
                   fmt::format("only {} of {} points lie on the tube found ({:.4g} mm diameter)",
                               evidence.num_used, skin->size(), 2.0 * fit.axis.radius_mm),
                   "crop the scan to the tube, or give the diameter measured with a caliper"};
  }
  BIGHT_TRY(TubeFit out, assembled(fit, evidence, find_ends(search, fit, even)));
  out.od_held = found.od_held;
  out.num_points = points_mm.size();
  out.num_flat = points_mm.size() - skin->size();
  out.num_used = evidence.num_used;
  out.rms_mm = evidence.rms_mm;
  out.worst_mm = evidence.worst_mm;
  out.sigma_mm = fit.sigma_mm;
  out.girth_seen = Angle::degrees(found.girth_deg);
  out.holes_mm = search.spine.holes_mm;
  out.num_other_runs = search.spine.num_other_runs;
  out.inner_radius_mm = found.inner_radius_mm;
  for (std::size_t i = 0; i < out.u.size(); ++i) {
    if (evidence.piece_rms_mm[2 * i + 1] == 0.0) out.unseen_arcs.push_back(i);
  }
  suggest_shared_radius(out);
  order_ends(out, options.swap_ends);
  return out;
}

}  // namespace bight::geometry
