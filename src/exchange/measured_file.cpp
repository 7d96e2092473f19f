#include "exchange/measured_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "exchange/cloud_stl.h"
#include "exchange/measured_table.h"
#include "exchange/table_read.h"
#include "exchange/text_file.h"
#include "geometry/centreline.h"
#include "inspection/correction_fit.h"
#include "inspection/reach.h"
#include "planning/bent_shape.h"

namespace bight::exchange {

using base::Failure;
using base::Result;
using geometry::BendTable;

namespace {

enum class ReadAs { kDocument, kScan, kTable };

std::string ending_of(const std::string& path) {
  std::string ending = std::filesystem::path(path).extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return ending;
}

// Content first; an ending counts where content has no mark of its own.
ReadAs read_as(std::string_view head, const std::string& name) {
  const std::string ending = ending_of(name);
  if (looks_like_ply(head) || looks_like_stl_text(head)) return ReadAs::kScan;
  for (const char* scan : {".ply", ".stl", ".xyz", ".pts", ".asc"}) {
    if (ending == scan) return ReadAs::kScan;
  }
  const std::size_t first = head.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
  if (first != std::string_view::npos && head[first] == '{') return ReadAs::kDocument;
  return ending == ".toml" || ending == ".json" ? ReadAs::kDocument : ReadAs::kTable;
}

MeasuredTableOptions table_options(const BendTable& wanted, const MeasuredOptions& options) {
  MeasuredTableOptions out;
  out.num_bends = wanted.num_bends();
  out.num_points = geometry::corner_points_mm(wanted).size();
  out.answers = options.answers;
  return out;
}

Result<ScanOptions> scan_options(const std::string& file, const part::Part& part,
                                 const MeasuredOptions& options) {
  if (!part.section.round()) {
    return Failure{"measured.section", file, "only round tube and bar are found in scans",
                   "give the corners by hand"};
  }
  ScanOptions out;
  out.answers = options.answers;
  out.od_mm = part.section.height_mm();
  return out;
}

// How far end B may lie off by the fit's own uncertainty, two sigmas.
double end_error_mm(const geometry::TubeFit& fit) {
  const std::vector<inspection::EntryOf> all = inspection::entries(fit.table);
  const std::vector<geometry::Vec3> reach = inspection::reach_of_end_b(fit.table);
  double sum_mm2 = 0.0;
  for (std::size_t k = 0; k < all.size(); ++k) {
    const bool last = all[k].index >= fit.u.size();
    const double u =
        last                                           ? fit.last_straight_u_mm
        : all[k].entry == inspection::Entry::kStraight ? fit.u[all[k].index].straight_mm
        : all[k].entry == inspection::Entry::kRotation ? fit.u[all[k].index].rotation.rad()
                                                       : fit.u[all[k].index].angle.rad();
    sum_mm2 += reach[k].squaredNorm() * u * u;
  }
  return 2.0 * std::sqrt(sum_mm2);
}

inspection::ReadingError errors_of(const geometry::TubeFit& fit) {
  inspection::ReadingError error;
  base::Angle angle, rotation;
  double straight_mm = fit.last_straight_u_mm;
  for (const geometry::RowUncertainty& u : fit.u) {
    angle = std::max(angle, u.angle);
    rotation = std::max(rotation, u.rotation);
    straight_mm = std::max(straight_mm, u.straight_mm);
  }
  // A fit without scatter, of a mesh say, is not thereby exact to nothing.
  error.angle = std::max(angle * 2.0, base::Angle::degrees(0.001));
  error.rotation = std::max(rotation * 2.0, base::Angle::degrees(0.001));
  error.straight_mm = std::max(2.0 * straight_mm, 0.001);
  error.point_mm = std::max(end_error_mm(fit), 0.001);
  return error;
}

}  // namespace

Result<MeasuredPiece> measured_of_scan(const ScanReading& scan, const std::string& file,
                                       const BendTable& wanted, bool swap_ends) {
  MeasuredPiece piece;
  piece.questions = scan.questions;
  piece.findings = scan.findings;
  if (!scan.fit) return piece;
  if (scan.table().num_bends() != wanted.num_bends()) {
    return Failure{"measured.bends", file,
                   fmt::format("the scan shows {} bends, the part has {}", scan.table().num_bends(),
                               wanted.num_bends()),
                   "is it a scan of this part, and of all of it?"};
  }
  const double as_is_mm = inspection::rms_of_corners(wanted, scan.table());
  const double turned_mm = inspection::rms_of_corners(wanted, scan.table().reversed());
  const bool reversed = (turned_mm < as_is_mm) != swap_ends;
  BendTable table = reversed ? scan.table().reversed() : scan.table();
  const double better_mm = std::min(as_is_mm, turned_mm);
  if (std::max(as_is_mm, turned_mm) < 2.0 * better_mm + 1.0) {
    piece.findings.push_back(understood(
        "measured.ends-alike",
        fmt::format("laid over either way round the scan lies {:.2f} and {:.2f} mm off: check "
                    "which end is A",
                    as_is_mm, turned_mm)));
  }
  // Corners stay where they are; straights are told at the wanted radii.
  std::vector<double> radii_mm;
  for (const geometry::BendRow& row : wanted.rows()) radii_mm.push_back(row.radius_mm);
  table = planning::with_radii(table, radii_mm);
  piece.measured = inspection::from_table(table);
  piece.measured.error = errors_of(*scan.fit);
  piece.gauge = "scan";
  return piece;
}

Result<MeasuredPiece> read_measured_bytes(const std::string& bytes, const std::string& name,
                                          const part::Part& part, const BendTable& wanted,
                                          const MeasuredOptions& options) {
  switch (read_as(std::string_view(bytes).substr(0, 4096), name)) {
    case ReadAs::kDocument:
      return read_measured_piece(bytes, name);
    case ReadAs::kScan: {
      BIGHT_TRY(const ScanOptions scan, scan_options(name, part, options));
      BIGHT_TRY(const Cloud cloud, read_cloud(bytes, name));
      BIGHT_TRY(const ScanReading reading, read_scan(cloud, name, scan));
      return measured_of_scan(reading, name, wanted, options.swap_ends);
    }
    case ReadAs::kTable:
      return read_measured_table(bytes, name, table_options(wanted, options));
  }
  return read_measured_piece(bytes, name);
}

Result<MeasuredPiece> read_measured_file(const std::string& path, const part::Part& part,
                                         const BendTable& wanted, const MeasuredOptions& options) {
  std::error_code error;
  std::string head;
  if (std::filesystem::is_regular_file(path, error)) {
    std::ifstream stream(path, std::ios::binary);
    head.assign(4096, '\0');
    stream.read(head.data(), static_cast<std::streamsize>(head.size()));
    head.resize(static_cast<std::size_t>(std::max<std::streamsize>(0, stream.gcount())));
  }
  if (read_as(head, path) == ReadAs::kScan) {
    BIGHT_TRY(const ScanOptions scan, scan_options(path, part, options));
    BIGHT_TRY(const ScanReading reading, read_scan_file(path, scan));
    return measured_of_scan(reading, path, wanted, options.swap_ends);
  }
  BIGHT_TRY(const std::string bytes, read_text_file(path, kLargestTable_bytes));
  return read_measured_bytes(bytes, path, part, wanted, options);
}

}  // namespace bight::exchange
