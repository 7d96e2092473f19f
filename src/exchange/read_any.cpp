#include "exchange/read_any.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "exchange/cloud_scan.h"
#include "exchange/dxf_groups.h"
#include "exchange/dxf_read.h"
#include "exchange/step_reading.h"
#include "exchange/table_json.h"
#include "exchange/table_read.h"
#include "exchange/text_file.h"
#include "geometry/centreline.h"

namespace bight::exchange {

using base::Failure;
using base::Result;

namespace {

const char* const kCommandLine = "the command line";

Document tube_document(const TubeWords& words) {
  nlohmann::ordered_json table = nlohmann::ordered_json::object();
  const std::pair<const char*, const std::string&> keys[] = {
      {"size", words.size}, {"od", words.od}, {"wall", words.wall}, {"material", words.material}};
  for (const auto& [key, text] : keys) {
    if (!text.empty()) table[key] = text;
  }
  return document_of(std::move(table), kCommandLine);
}

base::LengthRules tube_lengths(const ReadOptions& options) {
  return {options.unit, base::DecimalMark::kPoint};
}

// What was wrong with the words was typed on the command line.
template <typename T>
Result<T> as_typed(Result<T> result) {
  if (result.ok()) return result;
  Failure failure = result.failure();
  failure.where = fmt::format("{}: {}", kCommandLine, failure.where);
  return failure;
}

// The tube's size from the options; nothing when they do not give one.
Result<std::optional<TubeSize>> given_size(const ReadOptions& options) {
  TubeWords words = options.tube;
  words.material.clear();
  if (!words.any()) return std::optional<TubeSize>();
  const Document document = tube_document(words);
  BIGHT_TRY(TubeSize size, as_typed(read_tube_size(Fields(document, tube_lengths(options)))));
  return std::optional(std::move(size));
}

// The same section in the words of a part file, in millimetres.
Document tube_document(const stock::Section& section, const std::string& material) {
  nlohmann::ordered_json table = nlohmann::ordered_json::object();
  if (section.round()) {
    table["od"] = section.height_mm();
  } else {
    table["height"] = section.height_mm();
    table["width"] = section.width_mm();
    table["way"] = section.height_mm() > section.width_mm() ? "hard" : "easy";
    if (section.hollow()) table["corner_radius"] = section.corner_radius_mm();
  }
  if (section.hollow()) {
    table["wall"] = section.wall_mm();
  } else {
    table["solid"] = true;
  }
  table["material"] = material;
  return document_of(std::move(table), kCommandLine);
}

}  // namespace

Result<AnyPart> any_of_line(LineReading reading, std::optional<TubeSize> own,
                            const ReadOptions& options) {
  AnyPart any;
  any.questions = std::move(reading.questions);
  any.name = std::move(reading.name);
  any.unit = reading.unit;
  any.line = std::move(reading.line);
  any.size = std::move(own);
  const bool known = any.size.has_value();
  if (known &&
      (!options.tube.size.empty() || !options.tube.od.empty() || !options.tube.wall.empty())) {
    return Failure{"input.tube", kCommandLine,
                   fmt::format("the file has a tube of its own, {}", any.size->text),
                   "give --material alone"};
  }
  if (!known) {
    BIGHT_TRY(any.size, given_size(options));
  }
  if (!any.line || !any.size || options.tube.material.empty()) return any;
  Document tube_words =
      known ? tube_document(any.size->section, options.tube.material) : tube_document(options.tube);
  tube_words.metals = options.metals;
  const base::LengthRules lengths = known ? base::LengthRules() : tube_lengths(options);
  BIGHT_TRY(Tube tube, as_typed(read_tube(Fields(tube_words, lengths))));
  part::Part part{.name = any.name,
                  .tube_text = std::move(tube.text),
                  .section = tube.section,
                  .material = std::move(tube.material),
                  .welded = tube.welded,
                  .table = any.line->table,
                  .start = any.line->start,
                  .radii_are_die = any.line->radii_are_die,
                  .findings = std::move(tube.findings)};
  for (const part::Finding& finding : any.line->findings) part.findings.push_back(finding);
  any.part = std::move(part);
  return any;
}

namespace {

// End B becomes end A; the tube stays where it lies.
void turn_round(geometry::BendTable& table, geometry::Frame& start) {
  start = geometry::start_at_other_end(table, start);
  table = table.reversed();
}

// Options for a reader of lines, with the tube's size where it is known.
Result<LineOptions> line_options(const ReadOptions& options) {
  LineOptions line = options.line;
  BIGHT_TRY(const std::optional<TubeSize> size, given_size(options));
  if (size) line.section_height_mm = size->section.height_mm();
  return line;
}

using LineReader = Result<LineReading> (*)(std::string_view, const std::string&,
                                           const LineOptions&);

// A file that holds a line and nothing else.
template <LineReader kReader, std::size_t kLargest_bytes>
Result<AnyPart> read_line_file(const std::string& path, const ReadOptions& options) {
  BIGHT_TRY(const std::string bytes, read_text_file(path, kLargest_bytes));
  BIGHT_TRY(const LineOptions line, line_options(options));
  BIGHT_TRY(LineReading reading, kReader(bytes, path, line));
  if (options.swap_ends && reading.line) {
    turn_round(reading.line->table, reading.line->start);
    const geometry::Vec3& a_mm = reading.line->start.origin_mm;
    reading.line->findings.push_back(understood(
        "input.swapped",
        fmt::format(
            "The ends were exchanged as asked: end A is now at ({:.6g}, {:.6g}, {:.6g}) mm.",
            a_mm.x(), a_mm.y(), a_mm.z())));
  }
  return any_of_line(std::move(reading), std::nullopt, options);
}

Result<AnyPart> read_part_toml(const std::string& path, const ReadOptions& options) {
  if (options.tube.any()) {
    return Failure{"input.tube", path, "a part file names its tube itself",
                   "change it there, or leave --size, --od, --wall and --material out"};
  }
  BIGHT_TRY(PartFile file, read_part_file(path, options.metals));
  AnyPart any;
  if (options.swap_ends) {
    turn_round(file.part.table, file.part.start);
    std::swap(file.part.end_a, file.part.end_b);
  }
  any.name = file.part.name;
  any.unit = file.unit;
  any.line = Line{file.part.table, file.part.start, file.part.radii_are_die, file.part.findings};
  any.size = TubeSize{file.part.tube_text, file.part.section, {}};
  any.part = std::move(file.part);
  return any;
}

Result<AnyPart> read_step_file(const std::string& path, const ReadOptions& options) {
  StepOptions step_options;
  step_options.swap_ends = options.swap_ends;
  BIGHT_TRY(StepReading step, read_step(path, step_options));
  LineReading reading;
  reading.name = std::move(step.name);
  reading.line = Line{std::move(step.table), step.start, false, std::move(step.findings)};
  if (step.skin_only) {
    // The outside is known, the wall is not: with --wall the two make a tube.
    ReadOptions completed = options;
    if (step.section.round() && options.tube.size.empty() && options.tube.od.empty() &&
        !options.tube.wall.empty()) {
      completed.tube.od = fmt::format("{} mm", step.section.height_mm());
    }
    return any_of_line(std::move(reading), std::nullopt, completed);
  }
  return any_of_line(std::move(reading), TubeSize{step.section.text(), step.section, {}}, options);
}

// The sample in a scan. The caliper's diameter, when given, guides the search.
Result<AnyPart> read_scan_as_part(const std::string& path, const ReadOptions& options) {
  ScanOptions scan;
  scan.answers = options.line.answers;
  scan.swap_ends = options.swap_ends;
  BIGHT_TRY(const std::optional<TubeSize> size, given_size(options));
  if (size && !size->section.round()) {
    return Failure{"input.tube", path, "only round tube and bar are found in scans",
                   "give the diameter, or the corners by hand"};
  }
  if (size) scan.od_mm = size->section.height_mm();
  BIGHT_TRY(ScanReading read, read_scan_file(path, scan));
  LineReading reading;
  reading.questions = std::move(read.questions);
  if (read.fit) reading.line = Line{read.table(), read.start(), false, std::move(read.findings)};
  return any_of_line(std::move(reading), std::nullopt, options);
}

// The first words of a file in the exchange structure of ISO 10303-21.
bool starts_as_step(std::string_view head) {
  return head.substr(0, 200).find("ISO-10303-21") != std::string_view::npos;
}

bool starts_as_json(std::string_view head) {
  const std::size_t first = head.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
  return first != std::string_view::npos && head[first] == '{';
}

bool looks_like_scan(std::string_view head) {
  return looks_like_ply(head) || looks_like_stl_text(head);
}

bool never(std::string_view) { return false; }

// One line for each format: its name, the endings it goes by, how its content begins, its reader.
struct Format {
  std::string_view name;
  std::vector<std::string_view> endings;
  bool (*begins)(std::string_view head);
  Result<AnyPart> (*read)(const std::string& path, const ReadOptions& options);
};

const std::vector<Format>& formats() {
  static const std::vector<Format> kFormats = {
      {"part", {".toml"}, never, read_part_toml},
      {"step", {".step", ".stp", ".p21"}, starts_as_step, read_step_file},
      {"scan", {".ply", ".stl", ".xyz", ".pts", ".asc"}, looks_like_scan, read_scan_as_part},
      {"dxf", {".dxf"}, looks_like_dxf, read_line_file<read_dxf, kLargestDxf_bytes>},
      {"json", {".json"}, starts_as_json, read_line_file<read_table_json, kLargestTextFile_bytes>},
      {"table",
       {".csv", ".tsv", ".tab", ".txt"},
       never,
       read_line_file<read_table, kLargestTable_bytes>}};
  return kFormats;
}

std::string ending_of(const std::string& path) {
  std::string ending = std::filesystem::path(path).extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return ending;
}

bool goes_by(const Format& format, const std::string& ending) {
  return std::find(format.endings.begin(), format.endings.end(), ending) != format.endings.end();
}

// The start of a file on disk; empty where it cannot be read twice (a pipe) or at all.
std::string first_bytes(const std::string& path) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error)) return "";
  std::ifstream stream(path, std::ios::binary);
  std::string head(4096, '\0');
  stream.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(std::max<std::streamsize>(0, stream.gcount())));
  return head;
}

Result<const Format*> format_of(const std::string& path, const std::string& wanted) {
  const std::vector<Format>& known = formats();
  if (!wanted.empty()) {
    const auto found = std::find_if(known.begin(), known.end(),
                                    [&](const Format& format) { return format.name == wanted; });
    if (found != known.end()) return &*found;
    return Failure{"input.format", path, fmt::format("\"{}\" is no format read here", wanted),
                   fmt::format("one of: {}", fmt::join(readable_formats(), ", "))};
  }
  const std::string ending = ending_of(path);
  const std::string head = first_bytes(path);
  // A name that says part file is believed; others may be anything with a wrong ending.
  for (const Format& format : known) {
    if (goes_by(format, ending) && format.begins == never && format.name == "part") return &format;
  }
  for (const Format& format : known) {
    if (format.begins(head)) return &format;
  }
  for (const Format& format : known) {
    if (goes_by(format, ending)) return &format;
  }
  // Cells pasted into a pipe, or a table under any other name.
  return &known.back();
}

}  // namespace

std::vector<std::string_view> readable_formats() {
  std::vector<std::string_view> names;
  for (const Format& format : formats()) names.push_back(format.name);
  return names;
}

Result<AnyPart> read_any(const std::string& path, const ReadOptions& options) {
  BIGHT_TRY(const Format* format, format_of(path, options.format));
  BIGHT_TRY(AnyPart any, format->read(path, options));
  any.format = format->name;
  if (any.name.empty()) any.name = std::filesystem::path(path).stem().string();
  if (any.part && any.part->name.empty()) any.part->name = any.name;
  return any;
}

Result<PartFile> whole_part(const AnyPart& any, const std::string& path) {
  if (any.part) return PartFile{*any.part, any.unit};
  return Failure{"input.tube", path,
                 any.size ? "the file does not say which metal the tube is of"
                          : "the file says nothing of the tube",
                 any.size ? "give --material" : "give --size (or --od and --wall) and --material"};
}

}  // namespace bight::exchange
