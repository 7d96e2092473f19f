// The catalogue's tables of sizes, all brought into one shape of row, in millimetres.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.h"
#include "base/result.h"
#include "stock/delivery.h"
#include "stock/provenance.h"
#include "stock/section.h"

namespace bight::stock {

enum class SizeFamily {
  kPipeInch,        // NPS and schedule, ASME B36.10M and B36.19M
  kPipeThreadable,  // DN or thread and series, EN 10255
  kTubeHydraulic,   // EN 10305-4
  kCopperInch,      // nominal size and type, ASTM B88
  kCopperMetric,    // EN 1057, ASTM B88M
  kConduit,         // kind and trade size
  kHollowMetric,    // EN 10210-2, EN 10219-2
  kHollowInch,      // ASTM A500, A513
  kTubePreferred,   // a preferred outside diameter with a preferred wall, EN 10220
  kTubeMechanical,  // an inch size with a wall that ASTM A513 gives tolerances for
  kUnlisted         // as typed
};

// Outer corner radius of square and rectangular tube: the standard's range and its middle.
struct CornerRange {
  double least_mm = 0.0;
  double most_mm = 0.0;
  bool cut_to_fit = false;  // the middle did not fit the smaller side and was cut to half of it
  Sourced used_mm;
};

// One size one can order.
struct SizeRow {
  SizeFamily family = SizeFamily::kUnlisted;
  std::string standard;     // "ASME B36.10M"
  std::string designation;  // finds this row again, "NPS 1-1/2 Sch 40 pipe"
  std::string name;         // "1-1/2" of a size that is named, not measured; else empty
  double nominal_mm = 0.0;  // that name as if it were a length; 0 without a name
  int number = 0;           // DN, or the metric designator of conduit; 0 without
  std::string code;         // schedule, series, type, kind of conduit, or shape of hollow section
  Section section;
  Sourced outside_mm;  // height, and width if there is one
  Sourced wall_mm;
  // The same size as the inch table of a standard in both units prints it.
  std::optional<double> inch_outside_mm;
  std::optional<double> inch_wall_mm;
  std::optional<CornerRange> corner;
  std::vector<SizeTolerance> own_tolerances;  // printed in the size table itself
  std::optional<double> mass_kg_per_m;        // as printed, steel
};

struct GaugeRow {
  std::string system;  // "BWG", "SWG", "US steel wire"
  std::string name;    // "16", "2/0"
  Sourced wall_mm;
};

struct PreferredRow {
  bool wall = false;  // a wall, else an outside diameter
  int series = 0;     // 1 to 3 for an outside diameter
  Sourced size_mm;
};

struct PrecisionRow {
  Sourced od_mm;
  Sourced tolerance_mm;
};

struct CornerRow {
  std::string standard;
  double wall_over_mm = 0.0;
  std::optional<double> wall_to_mm;
  double least_ratio = 0.0;  // of the wall
  double most_ratio = 0.0;
  Provenance provenance = Provenance::kUnconfirmed;
  std::string source;
};

// A least bend radius somebody printed.
struct RadiusRow {
  double outside_mm = 0.0;  // copper: outside diameter
  std::string trade_size;   // conduit: "1-1/2"
  std::string what;         // "one-shot and full-shoe benders"
  Sourced radius_mm;        // to the centreline
};

// All tables of one catalogue. Failure codes of the readers: csv.*, table.value, table.mark, and
// those of Section for a size that cannot be.
struct SizeTables {
  std::vector<SizeRow> sizes;
  std::vector<GaugeRow> gauges;
  std::vector<PreferredRow> preferred;
  std::vector<PrecisionRow> precision;
  std::vector<CornerRow> corners;
  std::vector<RadiusRow> copper_radii;
  std::vector<RadiusRow> conduit_radii;
  DeliveryTable delivery;

  // From the built-in files.
  static base::Result<SizeTables> built_in();
};

// The corner of a tube of this standard; nothing if the standard is not in the table.
std::optional<CornerRange> corner_of(const std::vector<CornerRow>& corners,
                                     std::string_view standard, double height_mm, double width_mm,
                                     double wall_mm);

// "1-1/2" for "1 1/2", and what stands there as a number of inches in mm.
std::string dashed(std::string_view name);

}  // namespace bight::stock
