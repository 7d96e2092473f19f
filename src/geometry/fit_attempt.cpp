#include "geometry/fit_attempt.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "geometry/fit_segments.h"
#include "geometry/fit_tidy.h"

namespace bight::geometry {

using base::Angle;
using base::Failure;
using base::Result;

namespace {

constexpr std::size_t kMostFiltered = 400000;
constexpr std::size_t kFittingPoints = 50000;
constexpr std::size_t kMostBends = 100;
constexpr double kGirthToHoldOd_deg = 200.0;
// An arc of which less is seen does not show its radius.
constexpr double kArcToSee_ratio = 0.15;

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

Result<TubeAxis> rough_axis(const SpineSearch& found, double radius_mm) {
  Points spine_mm;
  double noise_mm = 0.0;
  for (const Spine& piece : found.pieces) {
    spine_mm.insert(spine_mm.end(), piece.points_mm.begin(), piece.points_mm.end());
    noise_mm = std::max(noise_mm, piece.noise_mm);
  }
  // Neighbouring points share patches, so their differences show less noise than there is.
  noise_mm = std::max(2.0 * noise_mm, 0.004 * radius_mm);
  const std::vector<SpineSegment> segments = split_spine(spine_mm, noise_mm);
  if (segments.size() > 2 * kMostBends + 1) {
    return Failure{
        "scan.not-bent-tube", "",
        fmt::format("the run of the tube falls into {} straights and arcs", segments.size()),
        "a hand-formed curve or a hose has no bend table"};
  }
  const Result<RoughTable> rough = rough_table(spine_mm, segments, radius_mm);
  if (!rough.ok()) {
    return Failure{"scan.not-bent-tube", "",
                   "the run of the tube makes no chain of straights: " + rough.failure().message,
                   "see that one whole tube is in the scan"};
  }
  // First onto an ideal skin around the spine, where nothing else draws at the fit: it may have to
  // come from far, above all where a hole in the scan hides a bend.
  AxisFitOptions far;
  far.first_limit_mm = 30.0 * radius_mm;
  far.least_limit_mm = far.first_limit_mm;
  far.hold_radius = true;
  far.most_rounds = 4;
  const TubeAxis start = axis_of(rough->rows, rough->start, radius_mm);
  return fit_axis(start, rings_around(found, radius_mm), far).axis;
}

// Girth seen of one piece: ten degrees count when they hold a fair share of the piece's points, or
// lie in a gap of at most 40° between such: a coarse mesh has corners no closer.
int tens_seen(const std::array<int, 36>& tens) {
  const int sum = std::accumulate(tens.begin(), tens.end(), 0);
  const int filled = static_cast<int>(
      std::count_if(tens.begin(), tens.end(), [](int count) { return count > 0; }));
  std::array<bool, 36> fair{};
  for (std::size_t i = 0; i < 36; ++i) fair[i] = tens[i] > 0 && tens[i] * filled * 5 > sum;
  int seen = 0;
  for (std::size_t i = 0; i < 36; ++i) {
    std::size_t before = 0;
    std::size_t after = 0;
    while (before < 36 && !fair[(i + 36 - before) % 36]) ++before;
    while (after < 36 && !fair[(i + after) % 36]) ++after;
    seen += before < 36 && before + after <= 5;
  }
  return seen;
}

double girth_seen_deg(const AxisEvidence& evidence) {
  double seen = 0.0;
  double weight = 0.0;
  for (const std::array<int, 36>& tens : evidence.girth) {
    const double sum = std::accumulate(tens.begin(), tens.end(), 0.0);
    seen += sum * 10.0 * tens_seen(tens);
    weight += sum;
  }
  return weight > 0.0 ? seen / weight : 0.0;
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

// Bends whose arcs are hidden take the radius of the others, where the points do not mind: a fit
// alone would make of it whatever the noise at the edges of the hole suggests.
void settle_hidden_bends(TubeAttempt& out, const Points& near, const Points& skin_mm,
                         AxisFitOptions& fitting) {
  std::vector<double> radii_mm;
  for (std::size_t i = 0; i < out.fit.axis.num_bends(); ++i) {
    if (out.evidence.seen_ratio[2 * i + 1] < kArcToSee_ratio) {
      out.hidden_bends.push_back(i);
    } else {
      radii_mm.push_back(out.fit.axis.rows[i].radius_mm);
    }
  }
  if (out.hidden_bends.empty() || radii_mm.empty()) return;
  std::sort(radii_mm.begin(), radii_mm.end());
  AxisFit trial = out.fit;
  for (const std::size_t i : out.hidden_bends) {
    BendRow& row = trial.axis.rows[i];
    const double longer_mm = (row.radius_mm - radii_mm[radii_mm.size() / 2]) *
                             base::tan(std::min(row.angle, Angle::degrees(150)) / 2.0);
    // The corner stays: what the arc gives up goes to the straights.
    if (i > 0) row.straight_mm = std::max(0.0, row.straight_mm + longer_mm);
    if (i + 1 < trial.axis.num_bends()) {
      BendRow& next = trial.axis.rows[i + 1];
      next.straight_mm = std::max(0.0, next.straight_mm + longer_mm);
    }
    if (i == 0) {
      trial.axis.first_bend = trial.axis.first_bend.advanced(longer_mm);
    }
    row.radius_mm = radii_mm[radii_mm.size() / 2];
  }
  AxisFitOptions held = fitting;
  held.held_bends = out.hidden_bends;
  held.first_limit_mm = out.fit.limit_mm;
  held.least_limit_mm = out.fit.limit_mm;
  trial = fit_axis(trial.axis, near, held);
  AxisFitOptions same = held;
  same.held_bends.clear();
  if (trial.cost_mm2 > 1.02 * fit_axis(out.fit.axis, near, same).cost_mm2) return;
  fitting.held_bends = out.hidden_bends;
  out.fit = trial;
  out.evidence = refine_on_all(out.fit, skin_mm, fitting);
}

}  // namespace

Result<TubeAttempt> attempt_tube(const Surface& surface, const Points& skin_mm, double radius_mm,
                                 std::optional<double> od_mm, Shuffler& shuffler) {
  TubeAttempt out;
  out.spine = find_spine(surface, radius_mm, shuffler);
  if (out.spine.pieces.empty()) {
    return Failure{"scan.no-tube", "",
                   fmt::format("no run of tube of {:.4g} mm diameter was found", 2.0 * radius_mm),
                   "give the diameter measured with a caliper, crop the scan to the tube, and see "
                   "that a quarter of its girth is in it"};
  }
  BIGHT_TRY(const TubeAxis rough, rough_axis(out.spine, radius_mm));
  AxisFitOptions fitting;
  fitting.first_limit_mm = std::max(0.25 * radius_mm, 5.0 * surface.noise_mm);
  fitting.least_limit_mm = 1e-4 * radius_mm;
  const Points near = fitting_points(rough, skin_mm, shuffler);
  out.fit = tidied_fit(fit_axis(rough, near, fitting), near, fitting);
  if (const Skins skins = skins_about(out.fit.axis, near); skins.inner_mm) {
    // Two skins pulled at the fit: once more on the outer one alone.
    out.inner_radius_mm = skins.inner_mm;
    out.fit.axis.radius_mm = skins.outer_mm;
    fitting.first_limit_mm = 0.6 * (skins.outer_mm - *skins.inner_mm);
    out.fit = tidied_fit(fit_axis(out.fit.axis, near, fitting), near, fitting);
  }
  out.evidence = refine_on_all(out.fit, skin_mm, fitting);
  out.girth_seen = Angle::degrees(girth_seen_deg(out.evidence));
  out.od_held = od_mm && out.girth_seen < Angle::degrees(kGirthToHoldOd_deg);
  fitting.hold_radius = out.od_held;
  if (out.od_held) out.fit.axis.radius_mm = 0.5 * *od_mm;
  const auto fit_again = [&] {
    AxisFitOptions wider = fitting;
    wider.first_limit_mm =
        std::min(fitting.first_limit_mm, std::max(out.fit.limit_mm, 0.1 * radius_mm));
    out.fit = fit_axis(out.fit.axis, near, wider);
    out.evidence = refine_on_all(out.fit, skin_mm, fitting);
  };
  if (out.od_held) fit_again();
  // Every round drops a bend or is the last.
  while (drop_unproven_bend(out.fit, out.evidence.covariance)) fit_again();
  settle_hidden_bends(out, near, skin_mm, fitting);
  out.fitting = fitting;
  return out;
}

}  // namespace bight::geometry
