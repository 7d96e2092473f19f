#include "mechanics/tooling_size.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "base/positive.h"
#include "mechanics/difficulty.h"

namespace bight::mechanics {
using base::positive;

namespace {

constexpr double kNoseWallFactor_ratio = 2.21;
constexpr double kWiperEdge_ratio = 0.004;
constexpr double kWiperEdgeLeast_mm = 0.15;
constexpr double kClampDiameters_ratio = 2.0;

base::Failure bad_size(std::string message) {
  return base::Failure{"tooling.size", "", std::move(message),
                       "give positive sizes with the wall below half the diameter"};
}

base::Result<double> checked_od(double od_mm) {
  if (!positive(od_mm)) return bad_size(fmt::format("diameter {} mm is not a tube", od_mm));
  return od_mm;
}

}  // namespace

base::Result<double> mandrel_nose_mm(double od_mm, double wall_mm) {
  if (!positive(od_mm) || !positive(wall_mm) || wall_mm >= od_mm / 2) {
    return bad_size(fmt::format("{} x {} mm is not a tube", od_mm, wall_mm));
  }
  const double nose_mm = od_mm - kNoseWallFactor_ratio * wall_mm;
  if (nose_mm <= 0) {
    return bad_size(fmt::format("{} x {} mm leaves no room for a mandrel", od_mm, wall_mm));
  }
  return nose_mm;
}

base::Result<double> double_wall_mandrel_nose_mm(double od_mm, double outer_wall_mm,
                                                 double inner_wall_mm) {
  if (!positive(outer_wall_mm)) {
    return bad_size(fmt::format("outer wall {} mm is not a wall", outer_wall_mm));
  }
  return mandrel_nose_mm(od_mm - 2 * outer_wall_mm, inner_wall_mm);
}

base::Result<NoseAdvance> nose_advance(const BendSize& size) {
  NoseAdvance advance;
  BIGHT_TRY(advance.nose_mm, mandrel_nose_mm(size.od_mm, size.wall_mm));
  if (!positive(size.clr_mm)) {
    return bad_size(fmt::format("bend radius {} mm is not a radius", size.clr_mm));
  }
  const double bore_outboard_mm = size.clr_mm + size.od_mm / 2 - size.wall_mm;
  const double nose_outboard_mm = size.clr_mm + advance.nose_mm / 2;
  advance.deepest_mm =
      std::sqrt((bore_outboard_mm - nose_outboard_mm) * (bore_outboard_mm + nose_outboard_mm));
  advance.recommended_mm = advance.deepest_mm * 2.0 / 3.0;
  return advance;
}

base::Result<double> table_advance_mm(double od_mm) {
  struct Row {
    long last_od_mm;
    double advance_mm;
  };
  constexpr long kFirstOd_mm = 6;
  constexpr std::array<Row, 11> kRows{{{8, 0.75},
                                       {12, 2},
                                       {16, 2.5},
                                       {19, 3},
                                       {24, 4},
                                       {29, 5},
                                       {44, 5.5},
                                       {53, 6},
                                       {84, 6.5},
                                       {117, 8},
                                       {152, 9}}};
  // Compared before rounding so that a wild number never reaches lround.
  if (std::isfinite(od_mm) && od_mm < static_cast<double>(kRows.back().last_od_mm) + 1) {
    const long whole_mm = std::lround(od_mm);
    for (const Row& row : kRows) {
      if (whole_mm >= kFirstOd_mm && whole_mm <= row.last_od_mm) return row.advance_mm;
    }
  }
  return base::Failure{"tooling.advance-range", "",
                       fmt::format("the advance table covers 6 to 152 mm, not {} mm", od_mm),
                       "use two thirds of the deepest advance instead"};
}

base::Result<double> wiper_edge_mm(double od_mm) {
  BIGHT_TRY(const double checked_mm, checked_od(od_mm));
  return std::max(kWiperEdge_ratio * checked_mm, kWiperEdgeLeast_mm);
}

base::Result<double> clamp_length_mm(double od_mm) {
  BIGHT_TRY(const double checked_mm, checked_od(od_mm));
  return kClampDiameters_ratio * checked_mm;
}

base::Result<double> pressure_die_length_mm(const BendSize& size, base::Angle longest_bend) {
  BIGHT_TRY(const double checked_mm, checked_od(size.od_mm));
  if (!positive(size.clr_mm)) {
    return bad_size(fmt::format("bend radius {} mm is not a radius", size.clr_mm));
  }
  if (!(longest_bend.deg() > 0 && longest_bend.deg() <= 360)) {
    return base::Failure{
        "tooling.angle", "",
        fmt::format("longest bend {:.3f}° is outside 0° to 360°", longest_bend.deg()),
        "give the change of direction of the longest bend"};
  }
  return size.clr_mm * longest_bend.rad() + kGripFactor_ratio * checked_mm;
}

}  // namespace bight::mechanics
