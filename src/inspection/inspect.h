// One measured piece judged as agreed: readings, points, zone, with the measuring error where
// asked.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "inspection/deviation.h"
#include "inspection/section_reading.h"
#include "part/finding.h"
#include "part/part.h"

namespace bight::inspection {

// What the customer and the shop agreed. What is absent is reported and not judged.
struct Agreement {
  AlignBy align = AlignBy::kEndA;
  std::vector<std::size_t> datum_points;  // for AlignBy::kDatumPoints
  std::optional<double> length_mm;        // straights, ±
  std::optional<base::Angle> angle;       // bends and rotations, ±
  std::optional<double> zone_radius_mm;   // tube about the drawn centreline
  std::optional<double> corner_mm;        // each corner within this of its place
  std::optional<double> end_mm;           // each end within this of its place
  std::vector<std::string> rules;         // beside the part's own
  // Accept only what is inside by the measuring error, reject only what is outside by it (ISO
  // 14253-1, from memory: unconfirmed).
  bool guard_band = false;
};

enum class Verdict { kWithin, kOutside, kUndecided, kNotJudged };
// "within", "outside", "undecided", "not judged".
std::string_view word(Verdict verdict);

// |off| against a limit with the measuring error of the reading.
Verdict judged(double off, const std::optional<double>& limit, double error, bool guard_band);

// One line of the report. Lengths in mm, angles in degrees, by `unit`.
struct Line {
  std::string what;  // "bend 2 angle", "end B"
  std::string unit;  // "mm", "deg"
  std::optional<double> wanted;
  std::optional<double> measured;
  double off = 0.0;  // measured less wanted; distances are never negative
  std::optional<double> limit;
  double error = 0.0;
  Verdict verdict = Verdict::kNotJudged;
};

// One way of laying the piece over, with what it makes of the agreed limits.
struct Laid {
  Deviation deviation;
  std::vector<Line> lines;  // corners, ends, zone
  Verdict verdict = Verdict::kNotJudged;
};

struct Inspection {
  std::string piece;
  std::vector<Line> readings;  // straights, rotations, angles
  std::vector<Laid> laid;      // the agreed way first, then the others that were possible
  std::vector<SectionJudgement> sections;
  std::vector<part::Finding> findings;
  Verdict verdict = Verdict::kNotJudged;  // of readings, the agreed way, and the rules
};

// Judges the piece against the shape wanted (the plan's, with the radii the part really has).
// Findings: inspect.outside, inspect.undecided, inspect.alignment-matters (the verdict hangs on how
// the piece is laid over), inspect.not-judged, inspect.align (the agreed way is not possible with
// what was measured), inspect.turn-loose, inspect.section (a rule is not met).
// Failure codes: inspect.bends (other number of bends than the part), inspect.points,
// inspect.nothing (nothing was measured), align.*, those of judge_sections.
base::Result<Inspection> inspect(const part::Part& part, const geometry::BendTable& wanted,
                                 const Measured& measured, const Agreement& agreement);

}  // namespace bight::inspection
