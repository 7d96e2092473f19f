// What the workshop owns: benders, die sets, metals it knows itself, and the trial bends it made.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/angle.h"
#include "stock/own_metal.h"
#include "stock/section.h"
#include "workshop/body.h"
#include "workshop/stock_tube.h"

namespace bight::workshop {

// Groove of a bend die: what fits in it.
struct Groove {
  bool round = true;
  double height_mm = 0.0;  // in the plane of bending; the tube's OD for a round groove
  double width_mm = 0.0;   // across it
};

struct DieSet {
  std::string name;
  double radius_mm = 0.0;  // bend die, to the centre of its groove
  Groove groove;
  double clamp_mm = 0.0;         // straight the clamp needs ahead of a bend
  double pressure_die_mm = 0.0;  // length of the pressure die
  // Straight that must remain behind the last bend. Absent: pressure die less the arc, at least
  // one tube size.
  std::optional<double> tail_mm;
  std::optional<double> mark_offset_mm;  // from the die's own reference mark to the tangent point
  std::optional<base::Angle> angle_max;
  int level = 1;         // place in a stack of dies, 1 lowest
  bool mandrel = false;  // the set has one for this groove
  bool wiper = false;
  std::vector<std::string> benders;  // names it fits; empty: all
  std::string note;
};

enum class BenderKind { kHandPlaced, kCarriageFed, kHandLever, kThreeRoll };
enum class TurnDirection { kClockwise, kCounterClockwise };

// "hand-placed", … as written in files.
std::string_view word(BenderKind kind);

struct Bender {
  std::string name;
  BenderKind kind = BenderKind::kHandPlaced;
  double od_max_mm = 0.0;
  std::optional<double> wall_max_mm;
  std::optional<double> section_modulus_max_mm3;  // elastic, as makers rate capacity
  double die_radius_max_mm = 0.0;
  std::optional<double> torque_max_nmm;
  std::optional<double> power_w;
  std::optional<double> speed_min_rpm;
  std::optional<double> speed_max_rpm;
  base::Angle angle_max = base::Angle::degrees(180);
  TurnDirection direction = TurnDirection::kClockwise;
  bool degree_wheel = true;
  // Display conventions of this machine: shown rotation = sign * ours + zero.
  bool wheel_counts_backwards = false;
  base::Angle wheel_zero;
  bool rotation_sign_flipped = false;
  base::Angle angle_step = base::Angle::degrees(0.1);  // finest set angle the keypad takes
  // Carriage-fed only.
  std::optional<double> grip_mm;      // collet holds this much of the tail
  std::optional<double> travel_mm;    // longest feed
  std::optional<double> feed_min_mm;  // shortest feed
  Surroundings around;                // its bodies and the room it stands in
  std::string note;
};

// One trial bend that was made and measured. Springback is kept as set angle less finished angle.
struct TrialBend {
  std::string die;
  std::string bender;  // may be empty
  double od_mm = 0.0;
  double wall_mm = 0.0;
  std::string material;
  std::string heat;  // may be empty
  base::Angle set_angle;
  base::Angle finished_angle;
  // Length proof, when the blank was measured: cut length and both legs over the outside.
  std::optional<double> blank_mm;
  std::optional<double> leg_a_outside_mm;
  std::optional<double> leg_b_outside_mm;
  std::optional<double> mark_mm;          // die mark from the end of leg A before bending
  std::optional<double> radius_after_mm;  // measured centreline radius
  std::string date;
  std::string who;
};

struct Shop {
  std::string name;
  std::vector<Bender> benders;
  std::vector<DieSet> die_sets;
  std::vector<TrialBend> trials;
  std::vector<stock::OwnMetal> materials;
  std::vector<StockTube> stock;
  // Furthest a tube's size may lie from a groove and still be held, each way.
  double groove_slack_mm = 0.25;
};

// How a section sits in a groove.
enum class Fit { kFits, kTubeTooLarge, kTubeTooSmall, kWrongShape };
Fit fit(const stock::Section& section, const Groove& groove, double slack_mm);

bool fits_bender(const DieSet& die, const Bender& bender);

}  // namespace bight::workshop
