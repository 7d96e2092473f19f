#include "geometry/fit_tube.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/centreline.h"
#include "geometry/fit_attempt.h"
#include "geometry/fit_ends.h"
#include "geometry/fit_girth.h"
#include "geometry/fit_tidy.h"

namespace bight::geometry {

using base::Angle;
using base::Failure;
using base::Result;

namespace {

// Points the search works on; more make it slower, not better.
constexpr std::size_t kMostDrawn = 250000;
constexpr std::size_t kSearchPoints = 45000;
constexpr std::size_t kMostAttempts = 5;
// Strays, brackets and the inner skin at the ends rarely make up more than the rest.
constexpr double kEnoughExplained_ratio = 0.8;
constexpr double kFairlyExplained_ratio = 0.5;
// Cut faces and the inner skin behind them lie so near to the ends, in tube radii.
constexpr double kFaceZone_ratio = 0.15;
constexpr double kSagitta_ratio = 0.04;

struct Scene {
  Surface surface;
  std::vector<FlatPatch> patches;
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

// The thinned surface without what is flat.
Result<Scene> scene_of(const Points& points_mm, Shuffler& shuffler) {
  Scene scene;
  scene.surface = thin_surface(points_mm, shuffler);
  BIGHT_TRY(const base::Done simple, check_is_no_simple_shape(scene.surface));
  static_cast<void>(simple);
  scene.patches = flat_patches(scene.surface, shuffler);
  if (scene.patches.empty()) return scene;
  const Points rest = off_patches(points_mm, scene.patches);
  if (rest.size() < 60 || rest.size() * 50 < points_mm.size()) {
    return Failure{
        "scan.flat-faces", "",
        fmt::format("the points lie on {} flat face(s): no round tube stands out of them",
                    scene.patches.size()),
        "only round tube and bar are found in scans; give a square section's corners by hand"};
  }
  scene.surface = thin_surface(rest, shuffler);
  return scene;
}

// Share of the surface that lies on the attempt's tube, within a tolerance that does not depend on
// the attempt.
double explained_ratio(const Surface& surface, const TubeAxis& axis) {
  const double tolerance_mm = 3.0 * surface.noise_mm + 1e-4 * surface.spacing_mm;
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  std::size_t num = 0;
  for (const Vec3& p : surface.points_mm) {
    const double square = squared_distance_mm2(pieces[nearest_piece(pieces, p)], p);
    num += std::abs(std::sqrt(square) - axis.radius_mm) < tolerance_mm;
  }
  return static_cast<double>(num) / static_cast<double>(surface.points_mm.size());
}

// The best of a few attempts: from the caliper's diameter or the radii the surface shows, and once
// more from the radius an attempt ended with, while a large part of the surface stays unexplained.
Result<TubeAttempt> best_attempt(const Scene& scene, const Points& skin_mm,
                                 const TubeFitOptions& options, Shuffler& shuffler) {
  std::vector<double> radii_mm;
  if (options.od_mm) {
    radii_mm.push_back(0.5 * *options.od_mm);
  } else {
    for (const Girth& girth : girths(scene.surface, shuffler)) radii_mm.push_back(girth.radius_mm);
  }
  Result<TubeAttempt> best =
      Failure{"scan.no-tube", "", "nothing in the points curves like a tube",
              "give the diameter measured with a caliper, crop the scan to the tube, and see that "
              "a quarter of its girth is in it"};
  double most = -1.0;
  bool again = false;
  for (std::size_t i = 0; i < radii_mm.size() && i < kMostAttempts; ++i) {
    Result<TubeAttempt> attempt =
        attempt_tube(scene.surface, skin_mm, radii_mm[i], options.od_mm, shuffler);
    if (!attempt.ok()) {
      if (most < 0.0) best = std::move(attempt);
      continue;
    }
    const double explained = explained_ratio(scene.surface, attempt->fit.axis);
    const double radius_mm = attempt->fit.axis.radius_mm;
    const bool news = std::none_of(radii_mm.begin(), radii_mm.end(), [&](double tried_mm) {
      return std::abs(tried_mm / radius_mm - 1.0) < 0.003;
    });
    if (news && explained > 0.2 && !again) {
      again = true;
      radii_mm.insert(radii_mm.begin() + static_cast<std::ptrdiff_t>(i) + 1, radius_mm);
    }
    if (explained > most) {
      most = explained;
      best = std::move(attempt);
    }
    if (most > (again ? kFairlyExplained_ratio : kEnoughExplained_ratio)) break;
  }
  return best;
}

// Both ends along the axis from the first bend's start.
struct Ends {
  EndFit a;  // at_mm is negative: before the first bend
  EndFit b;
};

// tolerance_mm: how far from the skin a point still belongs to it.
Ends find_ends(const SpineSearch& spine, const AxisFit& fit, const Points& even_mm,
               double tolerance_mm) {
  const std::vector<AxisPiece> pieces = pieces_of(fit.axis);
  const auto along = [&](const Vec3& p) {
    return foot_on(pieces[nearest_piece(pieces, p)], p).along_mm;
  };
  const double r_mm = fit.axis.radius_mm;
  const double from_mm = along(spine.pieces.front().points_mm.front());
  const double to_mm = along(spine.pieces.back().points_mm.back());
  std::vector<double> at_a;
  std::vector<double> at_b;
  std::size_t guess = 0;
  for (const Vec3& p : even_mm) {
    guess = nearest_piece_around(pieces, p, guess);
    double square = squared_distance_mm2(pieces[guess], p);
    if (std::abs(std::sqrt(square) - r_mm) > tolerance_mm) {
      guess = nearest_piece(pieces, p);
      square = squared_distance_mm2(pieces[guess], p);
      if (std::abs(std::sqrt(square) - r_mm) > tolerance_mm) continue;
    }
    const double s_mm = foot_on(pieces[guess], p).along_mm;
    if (s_mm > from_mm - 2.0 * r_mm && s_mm < from_mm + 12.0 * r_mm) at_a.push_back(-s_mm);
    if (s_mm < to_mm + 2.0 * r_mm && s_mm > to_mm - 12.0 * r_mm) at_b.push_back(s_mm);
  }
  Ends ends{{-from_mm, r_mm, false}, {to_mm, r_mm, false}};
  if (!at_a.empty()) ends.a = upper_end(std::move(at_a), r_mm, fit.sigma_mm);
  if (!at_b.empty()) ends.b = upper_end(std::move(at_b), r_mm, fit.sigma_mm);
  ends.a.at_mm = -ends.a.at_mm;
  return ends;
}

// The points without those at the ends, where cut faces and burrs hang on the skin.
Points away_from_ends(const AxisFit& fit, const Ends& ends, const Points& skin_mm) {
  const std::vector<AxisPiece> pieces = pieces_of(fit.axis);
  const double zone_mm = std::max(kFaceZone_ratio * fit.axis.radius_mm, 5.0 * fit.sigma_mm);
  Points out;
  std::size_t guess = 0;
  for (const Vec3& p : skin_mm) {
    guess = nearest_piece(pieces, p);
    const double s_mm = foot_on(pieces[guess], p).along_mm;
    if (s_mm > ends.a.at_mm + zone_mm && s_mm < ends.b.at_mm - zone_mm) out.push_back(p);
  }
  return out;
}

double sigma_at(const Eigen::MatrixXd& covariance, Eigen::Index column) {
  return std::sqrt(std::max(0.0, covariance(column, column)));
}

// Standard uncertainties of the numbers of the table, from the covariance of the axis.
void add_uncertainties(TubeFit& out, const TubeAxis& axis, double noise_mm,
                       const Eigen::MatrixXd& covariance, const Ends& ends) {
  const std::vector<AxisColumn> columns = columns_of(axis);
  for (std::size_t c = 6; c < columns.size(); ++c) {
    const double sigma = sigma_at(covariance, static_cast<Eigen::Index>(c));
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
        // Noise along the skin pushes a fitted circle out by sigma^2 / 2r.
        out.od_u_mm =
            std::hypot(2.0 * sigma, sigma > 0.0 ? noise_mm * noise_mm / axis.radius_mm : 0.0);
        break;
      default:
        break;
    }
  }
  // The end straights run from a fitted bend to a found end.
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  const Eigen::MatrixXd screws = screws_of(axis, pieces, pieces.size() - 1);
  const Eigen::VectorXd along = screws.leftCols(3) * pieces.back().ahead;
  const double bend_u_mm = std::sqrt(std::max(0.0, along.dot(covariance * along)));
  if (out.u.empty()) {
    out.last_straight_u_mm = std::hypot(ends.a.u_mm, ends.b.u_mm);
  } else {
    out.u.front().straight_mm = std::hypot(ends.a.u_mm, sigma_at(covariance, 0));
    out.last_straight_u_mm = std::hypot(ends.b.u_mm, bend_u_mm);
  }
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
  add_uncertainties(out, axis, fit.sigma_mm, evidence.covariance, ends);
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
  BIGHT_TRY(const Scene scene, scene_of(even, shuffler));
  const Points* skin = &points_mm;
  Points off_flat;
  if (!scene.patches.empty()) {
    off_flat = off_patches(points_mm, scene.patches);
    skin = &off_flat;
  }
  BIGHT_TRY(TubeAttempt found, best_attempt(scene, *skin, options, shuffler));
  AxisFit& fit = found.fit;
  if (found.evidence.num_used * 100 < skin->size() * 3 || found.evidence.num_used < 50) {
    return Failure{"scan.little-tube", "",
                   fmt::format("only {} of {} points lie on the tube found ({:.4g} mm diameter)",
                               found.evidence.num_used, skin->size(), 2.0 * fit.axis.radius_mm),
                   "crop the scan to the tube, or give the diameter measured with a caliper"};
  }
  // The facets of a mesh lie inside the skin by their sagitta.
  const double tolerance_mm =
      even_mm.empty() ? fit.limit_mm : std::max(fit.limit_mm, kSagitta_ratio * fit.axis.radius_mm);
  Ends ends = find_ends(found.spine, fit, even, tolerance_mm);
  // A mesh may have no corners on a straight but those at its end.
  if (even_mm.empty() && (ends.a.on_face || ends.b.on_face)) {
    const Points inner = away_from_ends(fit, ends, *skin);
    found.evidence = refine_on_all(fit, inner, found.fitting);
    // A bend may have lived on the points of a cut face alone.
    while (drop_unproven_bend(fit, found.evidence.covariance)) {
      found.fitting.held_bends.clear();
      found.hidden_bends.clear();
      found.evidence = refine_on_all(fit, inner, found.fitting);
    }
    ends = find_ends(found.spine, fit, even, tolerance_mm);
  }
  BIGHT_TRY(TubeFit out, assembled(fit, found.evidence, ends));
  out.od_held = found.od_held;
  out.num_points = points_mm.size();
  out.num_flat = points_mm.size() - skin->size();
  out.num_used = found.evidence.num_used;
  out.rms_mm = found.evidence.rms_mm;
  out.worst_mm = found.evidence.worst_mm;
  out.sigma_mm = fit.sigma_mm;
  out.girth_seen = found.girth_seen;
  out.holes_mm = found.spine.holes_mm;
  out.num_other_runs = found.spine.num_other_runs;
  out.inner_radius_mm = found.inner_radius_mm;
  out.hidden_bends = found.hidden_bends;
  suggest_shared_radius(out);
  order_ends(out, options.swap_ends);
  return out;
}

}  // namespace bight::geometry
