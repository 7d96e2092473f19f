// A scanned sample as a part: readings of a tube out of a point cloud or mesh.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "exchange/cloud.h"
#include "exchange/question.h"
#include "geometry/fit_tube.h"
#include "part/finding.h"

namespace bight::exchange {

struct ScanOptions {
  // The answer to "units": "mm", "cm", "m" or "in". Files do not say.
  Answers answers;
  // Measured with a caliper. With it the unit needs no answer where only one fits, and the diameter
  // is held where less than 200° of the girth are seen.
  std::optional<double> od_mm;
  bool swap_ends = false;  // end A is the other end
};

// What the scan shows. Without open questions the table is there; all lengths in mm.
struct ScanReading {
  std::vector<Question> questions;
  std::optional<geometry::TubeFit> fit;  // table, frame, diameter, uncertainties, residuals
  std::vector<part::Finding> findings;
  std::string format;

  const geometry::BendTable& table() const { return fit->table; }
  const geometry::Frame& start() const { return fit->start; }
  double od_mm() const { return fit->od_mm; }
};

// Finds the bent round tube in the points. End A is the end with the longer end straight; see
// geometry::fit_tube for ties. Failure codes: those of geometry::fit_tube (scan.*), ask.choice.
base::Result<ScanReading> read_scan(const Cloud& cloud, const std::string& file,
                                    const ScanOptions& options = {});

// Reads the file. Failure codes: those of read_cloud_file and read_scan.
base::Result<ScanReading> read_scan_file(const std::string& path, const ScanOptions& options = {});

}  // namespace bight::exchange
