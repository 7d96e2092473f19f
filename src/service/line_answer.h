// Lines and parts as the answers give them, and part documents with their line written anew.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>

#include "base/result.h"
#include "exchange/document.h"
#include "exchange/part_line.h"
#include "exchange/part_toml.h"
#include "part/part.h"

namespace bight::service {

// Bend table, corners, and the centreline's straights and arcs in the drawing's frame.
nlohmann::ordered_json line_json(const geometry::BendTable& table, const geometry::Frame& start);

// What POST /part/check answers: all complaints, the part if it can be read, else the line if that
// can be, and what the drawing brings up. Lengths in findings as `units` says ("": the document's).
// Failure codes: request.units.
base::Result<nlohmann::ordered_json> check_part(const nlohmann::ordered_json& document,
                                                const std::string& units,
                                                exchange::KnownMetals metals = nullptr);

// The line of a document, read even where the tube cannot be.
// Failure codes: those of read_line, part.line (none).
base::Result<exchange::Line> line_of(const exchange::Document& document);

struct Rewrite {
  bool as_corners = false;
  std::optional<base::LengthUnit> unit;  // brings every length into it
  bool reverse = false;
  bool mirror = false;
};
// Largest bend that still has a corner to write.
inline constexpr base::Angle kMostAtCorner = base::Angle::degrees(150);
// The document with its line written as asked; every other key as typed, unless the unit changes or
// the part is turned: then the whole part is written anew from what it means.
// Failure codes: those of line_of; those of read_part where the whole is written anew; part.corners
// (a bend of more than kMostAtCorner).
base::Result<nlohmann::ordered_json> rewritten(const nlohmann::ordered_json& document,
                                               const Rewrite& wish,
                                               exchange::KnownMetals metals = nullptr);

// A [line] of bends in the unit.
nlohmann::ordered_json bends_line(const exchange::Line& line, base::LengthUnit unit);

}  // namespace bight::service
