// What a STEP file of a bent tube says, and how it reaches us: a helper process reads the file and
// hands back JSON; this side holds the values and never touches the untrusted bytes.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "exchange/sandbox.h"
#include "geometry/bend_table.h"
#include "geometry/frame.h"
#include "part/finding.h"
#include "stock/section.h"

namespace bight::exchange {

// How an end is cut.
enum class EndCut { kSquare, kMitre, kCoped };

// "square", "mitre", "coped".
std::string_view word(EndCut cut);

// One end of the tube. The centreline ends where it meets the cut; the two generators say how far
// the tube reaches beyond that point (positive) or stops short of it (negative) [mm].
struct StepEnd {
  EndCut cut = EndCut::kSquare;
  base::Angle mitre;           // between the cut plane and a square cut; 0 unless kMitre
  double longest_mm = 0.0;     // furthest point of the outer skin beyond the centreline's end
  double shortest_mm = 0.0;    // nearest point of the outer skin, negative for a mitre
  double cut_radius_mm = 0.0;  // of the cylinder the cope fits round; 0 when there is none
};

// The tube found in a file. lay_out(table, start) lies on the solid in the file's own position,
// converted to millimetres.
struct StepReading {
  stock::Section section;
  geometry::BendTable table;
  geometry::Frame start;
  StepEnd end_a;
  StepEnd end_b;
  // Distance of points sampled on the file's skin from the tube swept along the recovered table.
  double deviation_max_mm = 0.0;
  double deviation_rms_mm = 0.0;
  std::size_t num_sampled = 0;
  std::vector<part::Finding> findings;
  std::string name;    // product name in the file; may be empty
  std::string unit;    // length unit the file is written in, as it names it
  std::string schema;  // schema named in the file's header
  // The file holds the outer surface and no body: section is then a bar of its size, and whether it
  // is one, or which wall it has, nobody knows from the file.
  bool skin_only = false;
};

// Which end is A: the end nearer the file's origin; if the two are equally near (to 0.001 mm) the
// one with the smaller X, then Y, then Z. swap_ends takes the other.
struct StepOptions {
  bool swap_ends = false;
  SandboxLimits limits;
};

// Reads the bent tube in a STEP file (ISO 10303-21; AP203, AP214, AP242) in the helper process.
// The tube may be round or rectangular, hollow or solid, of one or several bodies, on analytic or
// free-form surfaces, with square, mitred or coped ends, among other bodies, which are named in
// the findings. Lengths come back in mm whatever the file's unit.
// Failure codes: sandbox.* (see sandbox.h), step.syntax (not a readable STEP file), step.empty (no
// faces in it), step.not-a-tube (says what was found instead), step.section (sizes that make no
// tube), step.table (a centreline that makes no bend table), step.answer (the helper's answer is
// not what was agreed).
base::Result<StepReading> read_step(const std::string& path, const StepOptions& options = {});

// The helper's answer. to_json writes it, from_json reads it strictly: every field present, of its
// type, finite, nothing else. Round trip exact.
std::string to_json(const StepReading& reading);
std::string to_json(const base::Failure& failure);
base::Result<StepReading> step_from_json(const std::string& text);

}  // namespace bight::exchange
