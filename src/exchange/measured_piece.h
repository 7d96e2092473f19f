// A measured piece as a document: readings of one finished piece, what it was keyed in with, how
// exact the readings are, and what was agreed. docs/formats/measured_piece.md lists the keys.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "exchange/document.h"
#include "exchange/question.h"
#include "inspection/agreed.h"
#include "inspection/measured.h"

namespace bight::exchange {

// One piece with everything its file says.
struct MeasuredPiece {
  inspection::Measured measured;
  inspection::Agreed agreed;
  base::LengthUnit unit = base::LengthUnit::kMillimetre;
  std::string part;  // the part's name, for a check; may be empty
  std::string heat;  // of the tube it was bent from
  std::string date;
  std::string who;
  std::string gauge;  // what it was measured with
  std::string note;
  std::vector<part::Finding> findings;  // how the file was understood
  std::vector<Question> questions;      // open ones; nothing else counts then
};

// Reads a document of this format.
// Failure codes: those of fields.h, measured.schema (a newer schema), tape.triangle.
base::Result<MeasuredPiece> read_measured_piece(const Document& document);

// The same as TOML or, where the text starts with a brace, as JSON.
// Failure codes: those above and of parse_toml; json.syntax.
base::Result<MeasuredPiece> read_measured_piece(std::string_view text, const std::string& file);

}  // namespace bight::exchange
