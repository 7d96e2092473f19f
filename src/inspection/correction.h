// From what a piece measured to what is keyed in for the next one.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "inspection/measured.h"
#include "inspection/reach.h"
#include "part/finding.h"

namespace bight::inspection {

// One bend as it was keyed in.
struct CommandedRow {
  double straight_mm = 0.0;  // fed before the bend
  base::Angle rotation;      // turned before it; of the bend table's sign
  base::Angle set;
};

struct Commanded {
  std::vector<CommandedRow> rows;
  double last_straight_mm = 0.0;
};

// One-sigma spread of what a bender does wrong before anything was corrected: how far readings of
// places may be explained by each entry (our choice, wide on purpose).
struct ProcessSpread {
  double straight_mm = 3.0;
  base::Angle rotation = base::Angle::degrees(2.0);
  base::Angle angle = base::Angle::degrees(2.0);
};

struct CorrectionRequest {
  const geometry::BendTable& wanted;       // the shape as it shall be, with its real radii
  Commanded last;                          // what this piece was keyed in with
  std::vector<double> proportional_ratio;  // b of the springback line, for each bend
  const Measured& measured;
  double od_mm = 0.0;
  ProcessSpread spread = {};
};

// Why an entry is left as it was.
enum class Left {
  kUsed,     // it is not: the new value differs
  kNotRead,  // nothing was measured that tells of it
  kRight,    // off by no more than the reading can tell
  kWeak,     // the readings cannot tell: shallow bend, short straight, far too rough
  kPattern,  // the readings mean something else (see the findings)
};
// "corrected", "not measured", "right", "cannot be told", "see below".
std::string_view words(Left left);

// One entry of the program. Lengths in mm, angles in degrees, by `unit`.
struct Change {
  EntryOf entry;
  std::string what;  // "feed 2", "rotation 2", "set angle 2"; the last straight is "last straight"
  std::string unit;
  double wanted = 0.0;             // of the shape
  std::optional<double> measured;  // read, or worked out from points
  double error = 0.0;              // half width of 95 % of that
  double old_value = 0.0;          // keyed in last
  double new_value = 0.0;          // to key in next
  double end_b_mm = 0.0;           // how far this deviation moves end B; 0 when not known
  Left left = Left::kNotRead;
  std::string why;  // for kWeak
};

struct Correction {
  std::vector<Change> changes;  // feed, rotation, set angle of each bend in order, last straight
  Commanded next;               // the program to key in
  std::vector<part::Finding> findings;
  // Where points were measured: how far they lie off the drawing as found (best fit), and how far
  // they are expected to with the corrections.
  std::optional<double> points_rms_mm;
  std::optional<double> expected_rms_mm;
};

// Every reading taken by itself: straight and rotation by the difference, set angle by
//   new = last + (wanted - measured) / (1 - b).
// Where points were measured, all entries together by least squares over points and readings,
// weighted by their errors, held by the process's spread, the piece laid over freely: an entry
// whose error the readings do not bring below half its spread is weak and left alone. Findings:
// correct.arc, correct.slip, correct.mirrored, correct.reversed, correct.included, correct.heat
// (the pattern means something else than a wrong program), correct.weak (entries left alone),
// correct.none (all right). Failure codes: correct.rows (numbers of bends differ), correct.nothing
// (neither readings nor points), correct.number (not finite, or b not below 1), inspect.points.
base::Result<Correction> correct(const CorrectionRequest& request);

}  // namespace bight::inspection
