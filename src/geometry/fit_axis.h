// The global fit: one bend table, laid out in space, to all points of a tube's skin at once.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <array>
#include <vector>

#include "geometry/bend_table.h"
#include "geometry/fit_shapes.h"
#include "geometry/fit_solver.h"

namespace bight::geometry {

// A tube's skin as the fit sees it. The frame stands where the first bend begins (a straight tube:
// anywhere on it), so the lengths of the first and the last straight do not enter: a skin does not
// show how far it goes, its ends do.
struct TubeAxis {
  Frame first_bend;           // ahead along the first straight, inward towards the first centre
  std::vector<BendRow> rows;  // rows[0].straight_mm and rows[0].rotation are not used
  double radius_mm = 0.0;

  std::size_t num_bends() const { return rows.size(); }
};

// The axis that follows a table laid out from a frame at its end A; straights below zero become 0
// and bends tighter than the tube allows as wide as it does.
TubeAxis axis_of(std::vector<BendRow> rows, const Frame& end_a, double radius_mm);

// Which number of the axis a column of the fit moves. Order of the columns: three shifts and three
// turns of the frame, then bend by bend straight (from the second on), rotation (from the second
// on), angle, radius; then the tube's radius. A straight tube: shifts and turns, then the radius.
enum class AxisNumber { kShift, kTurn, kStraight, kRotation, kAngle, kBendRadius, kTubeRadius };
struct AxisColumn {
  AxisNumber number = AxisNumber::kShift;
  std::size_t bend = 0;  // 0-based
};
std::vector<AxisColumn> columns_of(const TubeAxis& axis);

// The axis with each column's number moved by the step (mm and rad; shifts and turns in the frame's
// own directions).
TubeAxis moved(const TubeAxis& axis, const Eigen::VectorXd& step);

// A stretch of the axis: straight or arc, as laid out.
struct AxisPiece {
  Vec3 start_mm = Vec3::Zero();
  Vec3 ahead = Vec3::UnitX();
  Vec3 inward = Vec3::UnitY();
  Vec3 normal = Vec3::UnitZ();
  Vec3 centre_mm = Vec3::Zero();  // of an arc
  double radius_mm = 0.0;         // 0 for a straight
  base::Angle angle;
  double cosine_ratio = 1.0;  // of the arc's angle
  double sine_ratio = 0.0;
  double least_mm = 0.0;  // a straight runs from here to there along ahead
  double most_mm = 0.0;
  double before_mm = 0.0;  // along the axis from the first bend's start to this piece

  bool is_arc() const { return radius_mm > 0.0; }
};
// 2 bends + 1 pieces: straight, arc, ..., straight. The first runs back and the last on without
// end.
std::vector<AxisPiece> pieces_of(const TubeAxis& axis);

// Squared distance from a place to a piece; infinite beside an arc's ends, where the straights on
// either side are as near.
double squared_distance_mm2(const AxisPiece& piece, const Vec3& p_mm);
std::size_t nearest_piece(const std::vector<AxisPiece>& pieces, const Vec3& p_mm);
// The same among a guess and two neighbours on either side.
std::size_t nearest_piece_around(const std::vector<AxisPiece>& pieces, const Vec3& p_mm,
                                 std::size_t guess);

// Where a place lies about its piece.
struct Foot {
  double distance_mm = 0.0;  // from the axis
  Vec3 out = Vec3::UnitX();  // unit, from the axis to the place
  double along_mm = 0.0;     // from the first bend's start
  base::Angle girth;         // about the axis from inward towards normal, (-180°, 180°]
};
Foot foot_on(const AxisPiece& piece, const Vec3& p_mm);

// Residual of a place and its derivative by the local numbers of its piece: a shift and a turn of
// the piece about its start, its arc's radius, the tube's radius.
using LocalRow = Eigen::Matrix<double, 8, 1>;
double local_residual_mm(const AxisPiece& piece, double tube_radius_mm, const Vec3& p_mm,
                         LocalRow& row);

// How each column moves a piece: one row of local numbers for each column. A column acts on
// everything behind it as a screw: straights and radii shift it, angles turn it about the bend's
// own centre, rotations about the straight before the bend. (Product of exponentials; a growing arc
// turns what follows about its own centre, so straights stay tangent to tangent.)
Eigen::MatrixXd screws_of(const TubeAxis& axis, const std::vector<AxisPiece>& pieces,
                          std::size_t piece);

struct AxisFitOptions {
  double first_limit_mm = 0.0;          // loss limit to start with: beyond the error of the start
  double least_limit_mm = 0.0;          // it is never drawn closer than this
  bool hold_radius = false;             // the tube's radius stays as it is
  std::vector<std::size_t> held_bends;  // bends whose radius stays as it is
  int most_rounds = 8;                  // of drawing the limit closer
};

struct AxisFit {
  TubeAxis axis;
  double limit_mm = 0.0;  // loss limit at the end, 4.685 sigma
  double sigma_mm = 0.0;  // robust standard deviation of the residuals
  double cost_mm2 = 0.0;  // robust cost at that limit
  std::size_t num_used = 0;
};

// Draws the loss limit closer round by round, Levenberg-Marquardt within each. The normal matrix is
// gathered piece by piece in an 8 x 8 of the piece's own screw, so a point costs the same however
// many bends there are.
AxisFit fit_axis(const TubeAxis& start, const Points& points_mm, const AxisFitOptions& options);

// What all points together say at the end.
struct AxisEvidence {
  Eigen::MatrixXd covariance;  // columns_of order; the larger of both estimates on its diagonal
  double rms_mm = 0.0;         // of the points used
  double worst_mm = 0.0;       // of the points used
  std::size_t num_used = 0;
  std::vector<std::array<int, 36>> girth;  // points of each piece in each 10° about it
  std::vector<double> seen_ratio;          // of each arc's length with points; 1 for straights
};

// Takes up to two more steps on all points at the fit's limit, then gathers the evidence.
// Two covariances are made: from the Jacobian with all points independent, and from the residuals
// summed over patches of the tube one diameter long and 60° wide, whose errors may be common (a
// scanner's own, or a tube that is not quite round). The larger variance of the two stands.
AxisEvidence refine_on_all(AxisFit& fit, const Points& points_mm, const AxisFitOptions& options);

}  // namespace bight::geometry
