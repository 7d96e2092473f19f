// A part as a TOML file or a part document: the drawing's numbers as people write them.
#pragma once

#include <string>
#include <string_view>

#include "base/length.h"
#include "base/result.h"
#include "exchange/document.h"
#include "part/part.h"

namespace bight::exchange {

// A part and how its file wants lengths shown.
struct PartFile {
  part::Part part;
  base::LengthUnit unit = base::LengthUnit::kMillimetre;
};

// More corners or bends than a tube can carry: a traced curve, not a part.
inline constexpr std::size_t kMostBends = 400;

// Reads a part document. docs/formats/part.md describes the keys.
// Failure codes: those of fields.h, geometry, stock, and part.schema (a newer schema), part.line
// (not exactly one of corners, bends and shape), part.radius (none or too many), part.tube (size
// and its parts contradict or are missing).
base::Result<PartFile> read_part(const Document& document);

// Reads the TOML text; `file` names it in messages; metals as in Document. Failure codes: those of
// parse_toml and of read_part of a document.
base::Result<PartFile> read_part(std::string_view text, const std::string& file,
                                 KnownMetals metals = nullptr);

// Reads a part file. Failure codes: those of read_text_file and read_part.
base::Result<PartFile> read_part_file(const std::string& path, KnownMetals metals = nullptr);

}  // namespace bight::exchange
