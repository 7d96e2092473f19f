#include "planning/straights.h"

#include "base/check.h"

namespace bight::planning {

namespace {

Run towards(const geometry::BendTable& bent, const std::vector<double>& arc_mm,
            const std::vector<bool>& made, std::size_t bend, End end) {
  Run run;
  std::size_t at = bend;
  if (end == End::kA) {
    run.length_mm = bent.straight_mm(at);
    run.last = at;
    while (at > 0 && !made[at - 1]) {
      --at;
      run.length_mm += arc_mm[at] + bent.straight_mm(at);
    }
    run.first = at;
    run.to_end = at == 0;
    return run;
  }
  run.length_mm = bent.straight_mm(at + 1);
  run.first = at + 1;
  while (at + 1 < made.size() && !made[at + 1]) {
    ++at;
    run.length_mm += arc_mm[at] + bent.straight_mm(at + 1);
  }
  run.last = at + 1;
  run.to_end = at + 1 == made.size();
  return run;
}

}  // namespace

std::vector<Beside> straights_beside(const geometry::BendTable& bent,
                                     const std::vector<double>& arc_mm, const BendOrder& order) {
  BIGHT_CHECK(order.size() == bent.num_bends() && arc_mm.size() == order.size());
  std::vector<bool> made(order.size(), false);
  std::vector<Beside> out;
  for (const PlacedBend& placed : order) {
    out.push_back({towards(bent, arc_mm, made, placed.bend, placed.front),
                   towards(bent, arc_mm, made, placed.bend, other_end(placed.front))});
    made[placed.bend] = true;
  }
  return out;
}

}  // namespace bight::planning
