// Laying a measured shape over the drawn one: by its datum, by best fit, by the smallest zone.
#pragma once

#include <vector>

#include "base/result.h"
#include "geometry/frame.h"

namespace bight::inspection {

using Points = std::vector<geometry::Vec3>;

// A turn and a shift: p -> turn p + shift. No mirroring, no scaling.
struct RigidMove {
  Eigen::Matrix3d turn = Eigen::Matrix3d::Identity();
  geometry::Vec3 shift_mm = geometry::Vec3::Zero();

  geometry::Vec3 operator()(const geometry::Vec3& p_mm) const { return turn * p_mm + shift_mm; }
  RigidMove inverse() const;
};

struct Alignment {
  RigidMove move;              // takes `from` onto `to`
  std::vector<double> off_mm;  // distance of each pair after it
  double rms_mm = 0.0;         // weighted
  double worst_mm = 0.0;
  // Some turn about some axis changes nothing: points on one line, or fewer than three places.
  bool turn_loose = false;
};

// Least squares of the weighted distances |move(from) - to|: centroids, singular value
// decomposition, and a sign so that nothing is mirrored (Kabsch 1976; Umeyama, IEEE PAMI 13, 1991,
// 376-380). Weights: one for each pair, not negative; none: all equal.
// Failure codes: align.points (no pairs, different numbers of points or weights, all weights 0),
// align.number (not finite, or a weight below zero).
base::Result<Alignment> best_fit(const Points& from_mm, const Points& to_mm,
                                 const std::vector<double>& weights = {});

// The move whose largest distance is smallest, with its proof.
struct MinimaxAlignment {
  Alignment alignment;
  // No rigid move does better than this: for any weights that sum to 1 the weighted least-squares
  // fit, which is solved exactly, has a mean square no move's worst square can undercut. It meets
  // alignment.worst_mm to kMinimaxGap_ratio when proved.
  double at_least_mm = 0.0;
  bool proved = false;
  std::vector<std::size_t> contacts;  // pairs that hold the zone: as far off as the worst
  std::vector<double> weights;        // of all pairs, at the proof
};

inline constexpr double kMinimaxGap_ratio = 1e-9;

// Minimum zone (Chebyshev; the default association of ISO 1101 for form, Hutzschenreuter et al.
// 2015, abstract). The weights that make the weighted least-squares fit worst are found by Lawson's
// iteration (Lawson 1961, from memory) and sharpened by Newton's method on the pairs in contact.
// Failure codes: as best_fit.
base::Result<MinimaxAlignment> minimax_fit(const Points& from_mm, const Points& to_mm);

// Which freedoms the agreed datum takes away. Points run along the part from end A, ends included.
enum class Datum {
  kFirstPlane,  // end A, the first leg's direction, and the plane of the first bend
  kFirstLeg,    // end A and the first leg's direction; the turn about it by best fit
};

// Failure codes: as best_fit; align.datum (the first leg has no length, or no bend turns).
base::Result<Alignment> datum_fit(const Points& from_mm, const Points& to_mm, Datum datum);

}  // namespace bight::inspection
