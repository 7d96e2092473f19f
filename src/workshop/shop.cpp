#include "workshop/shop.h"

#include <algorithm>
#include <cmath>

namespace bight::workshop {

std::string_view word(BenderKind kind) {
  switch (kind) {
    case BenderKind::kHandPlaced:
      return "hand-placed";
    case BenderKind::kCarriageFed:
      return "carriage-fed";
    case BenderKind::kHandLever:
      return "hand-lever";
    case BenderKind::kThreeRoll:
      return "three-roll";
  }
  return "hand-placed";
}

Fit fit(const stock::Section& section, const Groove& groove, double slack_mm) {
  if (section.round() != groove.round) return Fit::kWrongShape;
  const double over_mm =
      std::max(section.height_mm() - groove.height_mm, section.width_mm() - groove.width_mm);
  const double under_mm =
      std::max(groove.height_mm - section.height_mm(), groove.width_mm - section.width_mm());
  if (over_mm > slack_mm) return Fit::kTubeTooLarge;
  if (under_mm > slack_mm) return Fit::kTubeTooSmall;
  return Fit::kFits;
}

bool fits_bender(const DieSet& die, const Bender& bender) {
  const bool named = die.benders.empty() || std::find(die.benders.begin(), die.benders.end(),
                                                      bender.name) != die.benders.end();
  return named && die.radius_mm <= bender.die_radius_max_mm;
}

}  // namespace bight::workshop
