// Does the tube clear machine, room and itself while one bend is made?
//
// One step is the whole movement round one bend: load, place, turn, clamp, bend to the set angle,
// release, unclamp, draw off, lift out. The answer is certified: the true smallest distance over
// the whole movement lies between low_mm and high_mm, so a hit between two looked-at moments cannot
// be missed. docs/theory/clearance.md has the proof. Sag of long legs is left out.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "geometry/frame.h"
#include "workshop/shop.h"

namespace bight::clearance {

// One bend of the part, counted along the tube from end A whether made or not.
struct TubeBend {
  double start_mm = 0.0;   // tangent point nearer end A, from end A of the straight blank
  double blank_mm = 0.0;   // length of blank the bend uses
  base::Angle rotation;    // of its plane from that of the bend before, as in the bend table
  base::Angle angle;       // finished
  double radius_mm = 0.0;  // finished, to the centreline
  base::Angle set_angle;   // overbent; what the die turns through
  double die_radius_mm = 0.0;
};

// The tube as planned. od_mm of a section that is not round is its largest diagonal.
struct Tube {
  double od_mm = 0.0;
  double length_mm = 0.0;  // of the straight blank
  std::vector<TubeBend> bends;

  // Failure codes: clearance.tube (a length, radius or angle that cannot be, bends that overlap on
  // the blank, more than 64 bends).
  base::Status valid() const;
};

// The end that goes ahead through the clamp and swings.
enum class Front { kEndA, kEndB };

// Bender with its bodies and the dies mounted on it.
struct Setup {
  const workshop::Bender* bender = nullptr;
  std::vector<const workshop::DieSet*> mounted;  // all of the stack; one is used in a step
};

// Which bends are made: bit i stands for Tube::bends[i].
using MadeBends = std::uint64_t;

struct Step {
  std::size_t bend = 0;  // into Tube::bends, not yet made
  MadeBends made = 0;    // before this step
  Front front = Front::kEndA;
  std::size_t die = 0;      // into Setup::mounted
  base::Angle turn;         // turned in the bender by this, about the feed direction and
                            // right-hand positive, to come into the bend's plane; 0: brought to
                            // the bender in that plane
  double advance_mm = 0.0;  // pushed forward in the bender by this to come to its mark
};

// The parts of a step's movement, in order. A kind of bender leaves out what it does not do.
enum class Stage {
  kLoad,     // comes down beside the groove
  kAdvance,  // pushed forward to its mark
  kTurn,     // turned into the bend's plane
  kSeat,     // into the groove
  kClamp,    // clamp and pressure die close
  kBend,     // the die turns to the set angle
  kRelease,  // the drive lets go: the tube springs back
  kUnclamp,  // clamp and pressure die open
  kDrawOff,  // out of the groove
  kLift,     // up and away
  kReturn,   // the die turns back with the tube still there: carriage-fed
};
// "load", "advance", … for messages and files.
std::string_view word(Stage stage);

// Where the tube comes nearest to something.
struct Nearest {
  double low_mm = 0.0;   // certified: never nearer than this; negative when they overlap
  double high_mm = 0.0;  // seen: this near at the moment below; high - low <= the tolerance
  Stage stage = Stage::kBend;
  double share_ratio = 0.0;  // of the stage's movement, 0..1
  base::Angle angle;         // of the die at that moment
  std::string body;          // name; "floor", "ceiling", a wall's name, "die", "the tube itself"
  bool keep_out = false;     // where the operator stands, nothing solid
  double along_mm = 0.0;     // from end A of the blank
  geometry::Vec3 on_tube_mm = geometry::Vec3::Zero();  // centreline point, machine frame
  geometry::Vec3 on_body_mm = geometry::Vec3::Zero();  // nearest surface point, machine frame

  bool hit() const { return low_mm <= 0.0; }
};

struct StepClearance {
  // Against machine and room; absent when nothing is known of them or nothing comes within
  // ClearanceOptions::interest_mm.
  std::optional<Nearest> nearest;
  // The tube against itself, only between places with a U of bends or more between them.
  std::optional<Nearest> itself;
  std::vector<std::string> not_checked;  // in words: what is not known of this bender, and sag

  bool hit() const {
    return (nearest.has_value() && nearest->hit()) || (itself.has_value() && itself->hit());
  }
  // Certified; interest_mm when nothing comes nearer.
  double low_mm(double interest_mm) const;
  // How far the tube overlaps what it hits at the worst moment, from the certified bound; 0 if
  // clear.
  double overlap_mm() const;
};

struct ClearanceOptions {
  double tolerance_mm = 0.1;    // high - low of an answer is at most this
  double interest_mm = 1000.0;  // further off is as good as nothing there
  // Only whether it hits: stop at the first certain hit, and do not narrow down what is clear by
  // more than margin_mm. The nearest then lies within interest but not within tolerance.
  bool only_whether = false;
  double margin_mm = 0.0;
};

// Prepared for one setup and tube, so that many steps can be asked of it quickly: all orders of a
// part ask n 2^(n-1) steps or more. Not for two threads at once; copies are independent.
class StepChecker {
 public:
  // Failure codes: clearance.tube, clearance.body (a solid without volume, an outline that crosses
  // itself), clearance.die (no die mounted, or a level that is not in the stack).
  static base::Result<StepChecker> make(const Setup& setup, const Tube& tube,
                                        const ClearanceOptions& options = {});
  StepChecker(const StepChecker&);
  StepChecker& operator=(const StepChecker&);
  StepChecker(StepChecker&&) noexcept;
  StepChecker& operator=(StepChecker&&) noexcept;
  ~StepChecker();

  // The whole movement of one step. Pre: step.bend is not in step.made, step.die is mounted.
  // A three-roll bender has no steps: nothing is compared and not_checked says so.
  StepClearance check(const Step& step);

 private:
  struct Impl;
  explicit StepChecker(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

// What a carriage-fed bender cannot reach, apart from hits.
struct Limit {
  std::string code;  // "clearance.travel", "clearance.feed", "clearance.rod", "clearance.grip"
  double needed_mm = 0.0;
  double allowed_mm = 0.0;
  std::string message;
};
// Limits of carriage travel, shortest feed, mandrel rod and collet that a step breaks; empty for
// other kinds. The feed is step.advance_mm.
std::vector<Limit> broken_limits(const Setup& setup, const Tube& tube, const Step& step);

}  // namespace bight::clearance
