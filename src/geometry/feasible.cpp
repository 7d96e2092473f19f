#include "geometry/feasible.h"

#include <ClpSimplex.hpp>
#include <algorithm>

#include "base/check.h"

namespace bight::geometry {

std::optional<RadiusProblem> radius_problem(const BendTable& table, double least_straight_mm) {
  RadiusProblem problem;
  const std::size_t n = table.num_bends();
  for (std::size_t i = 0; i <= n; ++i) {
    double leg_mm = table.straight_mm(i);
    for (const std::size_t bend : {i - 1, i}) {
      if (bend >= n) continue;  // also the wrapped index before the first bend
      const BendRow& row = table.rows()[bend];
      if (row.angle >= base::Angle::degrees(180)) return std::nullopt;
      leg_mm += row.setback_mm();
    }
    problem.leg_mm.push_back(leg_mm);
    problem.least_straight_mm.push_back(i == 0 || i == n ? 0.0 : least_straight_mm);
  }
  for (const BendRow& row : table.rows()) {
    problem.tangent_ratio.push_back(base::tan(row.angle / 2.0));
    problem.wanted_mm.push_back(row.radius_mm);
  }
  return problem;
}

namespace {

double largest_common_mm(const RadiusProblem& p) {
  const std::size_t n = p.wanted_mm.size();
  double radius_mm = n == 0 ? 0.0 : *std::max_element(p.wanted_mm.begin(), p.wanted_mm.end());
  for (std::size_t leg = 0; leg <= n; ++leg) {
    double tangents_ratio = 0.0;
    if (leg > 0) tangents_ratio += p.tangent_ratio[leg - 1];
    if (leg < n) tangents_ratio += p.tangent_ratio[leg];
    if (tangents_ratio > 0.0) {
      radius_mm = std::min(radius_mm, (p.leg_mm[leg] - p.least_straight_mm[leg]) / tangents_ratio);
    }
  }
  return radius_mm;
}

}  // namespace

RadiusAnswer largest_radii(const RadiusProblem& p) {
  const std::size_t n = p.wanted_mm.size();
  BIGHT_CHECK(p.leg_mm.size() == n + 1 && p.least_straight_mm.size() == n + 1 &&
              p.tangent_ratio.size() == n);
  RadiusAnswer answer;
  answer.largest_common_mm = largest_common_mm(p);
  if (answer.largest_common_mm <= 0.0) return answer;

  ClpSimplex model;
  model.setLogLevel(0);
  model.resize(0, static_cast<int>(n));
  for (std::size_t i = 0; i < n; ++i) {
    const int column = static_cast<int>(i);
    model.setColumnBounds(column, 0.0, p.wanted_mm[i]);
    model.setObjectiveCoefficient(column, -1.0);
  }
  for (std::size_t leg = 0; leg <= n; ++leg) {
    int columns[2];
    double tangents_ratio[2];
    int count = 0;
    for (const std::size_t bend : {leg - 1, leg}) {
      if (bend >= n) continue;
      columns[count] = static_cast<int>(bend);
      tangents_ratio[count++] = p.tangent_ratio[bend];
    }
    model.addRow(count, columns, tangents_ratio, -COIN_DBL_MAX,
                 p.leg_mm[leg] - p.least_straight_mm[leg]);
  }
  model.primal();
  answer.possible = model.isProvenOptimal();
  if (answer.possible) {
    const double* solution_mm = model.primalColumnSolution();
    answer.radii_mm.assign(solution_mm, solution_mm + n);
  }
  return answer;
}

}  // namespace bight::geometry
