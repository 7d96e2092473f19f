// Any file a customer sends, by what it holds.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "exchange/part_toml.h"
#include "exchange/part_tube.h"
#include "exchange/question.h"

namespace bight::exchange {

// What the person says about the tube when the file does not. Texts as typed; empty: not said.
struct TubeWords {
  std::string size;
  std::string od;
  std::string wall;
  std::string material;
  bool any() const { return !size.empty() || !od.empty() || !wall.empty() || !material.empty(); }
};

struct ReadOptions {
  std::string format;  // "part", "table", "json", "dxf" …; empty: by content, then by ending
  LineOptions line;    // answers and tolerances; section_height_mm is filled in from the tube
  TubeWords tube;
  base::LengthUnit unit = base::LengthUnit::kMillimetre;  // of bare numbers in tube
  bool swap_ends = false;                                 // end A is the end that would be B
  KnownMetals metals = nullptr;                           // as in Document
};

// What came out of a file. Without open questions there is a line.
struct AnyPart {
  std::string format;  // which reader took it
  std::vector<Question> questions;
  std::string name;
  base::LengthUnit unit = base::LengthUnit::kMillimetre;
  std::optional<Line> line;
  std::optional<TubeSize> size;    // from the file or the options
  std::optional<part::Part> part;  // complete: the tube and its metal are known, too
};

// Reads the file with the reader that knows its content. Formats: part files, STEP, DXF, scans
// (PLY, STL, XYZ), tables in JSON, tables (CSV, TSV, pasted cells).
// Failure codes: input.format (no reader of that name), input.tube (the options give a tube to a
// file that has its own), those of the readers, of read_tube and of read_text_file.
base::Result<AnyPart> read_any(const std::string& path, const ReadOptions& options = {});

// The part, for whom a centreline is not enough. Failure code: input.tube (size or metal missing).
// @pre no open questions.
base::Result<PartFile> whole_part(const AnyPart& any, const std::string& path);

// The names of the formats that can be read.
std::vector<std::string_view> readable_formats();

// What a reader hands over: a centreline, and the section where the file knows it. Size and metal
// of the options complete it. For the readers in read_any.cpp.
// Failure codes: input.tube (a size in the options, too), those of read_tube.
base::Result<AnyPart> any_of_line(LineReading reading, std::optional<TubeSize> own,
                                  const ReadOptions& options);

}  // namespace bight::exchange
