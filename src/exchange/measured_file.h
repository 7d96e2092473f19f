// A measured piece out of any file: a document, a table, a scan.
#pragma once

#include <string>

#include "exchange/cloud_scan.h"
#include "exchange/measured_piece.h"
#include "part/part.h"

namespace bight::exchange {

struct MeasuredOptions {
  Answers answers;         // to "units" and "decimal"
  bool swap_ends = false;  // of a scan: not the way round that fits the drawing better
};

// Which reader takes a file is told by its content, then by its ending: TOML and JSON documents,
// scans (PLY, STL, XYZ), tables. `wanted` is the shape it is held against; a scan is taken the way
// round that fits it better.
// Failure codes: those of the readers; measured.bends (a scan shows another number of bends than
// the part has), measured.section (a scan of a part that is no round tube or bar).
base::Result<MeasuredPiece> read_measured_file(const std::string& path, const part::Part& part,
                                               const geometry::BendTable& wanted,
                                               const MeasuredOptions& options = {});

// The same of bytes; `name` says by its ending what they are where the content does not.
base::Result<MeasuredPiece> read_measured_bytes(const std::string& bytes, const std::string& name,
                                                const part::Part& part,
                                                const geometry::BendTable& wanted,
                                                const MeasuredOptions& options = {});

// What a scan says of a piece: its table, with the fit's own uncertainty as reading error.
base::Result<MeasuredPiece> measured_of_scan(const ScanReading& scan, const std::string& file,
                                             const geometry::BendTable& wanted,
                                             bool swap_ends = false);

}  // namespace bight::exchange
