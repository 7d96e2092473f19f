#include "exchange/part_toml.h"

#include <fmt/format.h>

#include "exchange/part_line.h"
#include "exchange/part_tube.h"
#include "exchange/taped_toml.h"
#include "exchange/toml_fields.h"

namespace bight::exchange {

using base::Failure;
using part::Part;

namespace {

constexpr long kSchema = 1;

base::Result<TomlContext> read_context(const toml::table& table, const std::string& file) {
  TomlContext context{file, {}};
  TomlFields f(table, context, "");
  const long schema = f.whole("schema").value_or(kSchema);
  if (schema != kSchema) {
    f.complain("schema", "part.schema",
               fmt::format("this file says schema {}, this program reads {}", schema, kSchema),
               "use a newer Bight, or write the file for schema 1");
  }
  if (f.choice("units", {"mm", "in"}).value_or(0) == 1) {
    context.lengths.default_unit = base::LengthUnit::kInch;
  }
  if (f.choice("decimal_mark", {"point", "comma"}).value_or(0) == 1) {
    context.lengths.decimal_mark = base::DecimalMark::kComma;
  }
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  return context;
}

part::PartEnd read_end(TomlFields& ends, std::string_view key, const TomlContext& context) {
  part::PartEnd end;
  const toml::table* table = ends.table(key);
  if (table == nullptr) return end;
  TomlFields f(*table, context, ends.path_of(key));
  end.trim_mm = f.length_mm("trim").value_or(0.0);
  if (end.trim_mm < 0.0) {
    f.complain("trim", "key.value", "a trim below zero would cut into the part", "give 0 or more");
  }
  end.detail = f.text("detail").value_or("");
  f.no_others();
  ends.adopt(f);
  return end;
}

void read_heading(TomlFields& f, Part& part) {
  part.name = f.need_text("name");
  part.revision = f.text("revision").value_or("");
  part.customer = f.text("customer").value_or("");
  part.drawing = f.text("drawing").value_or("");
  part.note = f.text("note").value_or("");
  const std::optional<std::size_t> hand = f.choice("hand", {"left", "right"});
  if (hand) part.hand = *hand == 0 ? part::Hand::kLeft : part::Hand::kRight;
  const long quantity = f.whole("quantity").value_or(1);
  if (quantity < 1 || quantity > 1000000) {
    f.complain("quantity", "key.value", "this is not a number of parts", "give 1 or more");
  }
  part.quantity = static_cast<int>(quantity);
  part.rules = f.texts("rules").value_or(std::vector<std::string>{});
}

void read_tolerance(TomlFields& top, const TomlContext& context, Part& part) {
  const toml::table* table = top.table("tolerance");
  if (table == nullptr) return;
  TomlFields f(*table, context, "tolerance");
  part.tolerance.length_mm = f.length_mm("length");
  part.tolerance.angle = f.angle("angle");
  f.no_others();
  top.adopt(f);
}

}  // namespace

base::Result<PartFile> read_part(std::string_view text, const std::string& file) {
  BIGHT_TRY(const toml::table table, parse_toml(text, file));
  BIGHT_TRY(const TomlContext context, read_context(table, file));
  TomlFields top(table, context, "");
  for (const char* key : {"schema", "units", "decimal_mark"}) top.has(key);
  const toml::table* tube_table = top.table("tube");
  const toml::table* line_table = top.table("line");
  const toml::table* measured_table = top.table("measured");
  if (tube_table == nullptr) {
    top.complain("tube", "key.missing", "the [tube] table is missing",
                 "a part has a name, a [tube] and a [line]");
  }
  if (line_table == nullptr && measured_table == nullptr) {
    top.complain("line", "key.missing", "the [line] table is missing",
                 "a part has a name, a [tube] and a [line], or [measured] for a sample");
  }
  if (line_table != nullptr && measured_table != nullptr) {
    top.complain("measured", "part.line", "both [line] and [measured] are given", "keep one");
  }
  BIGHT_TRY(const base::Done tables_read, top.status());
  static_cast<void>(tables_read);
  BIGHT_TRY(Tube tube, read_tube(*tube_table, context));
  const double size_mm = tube.section.height_mm();
  BIGHT_TRY(Line line, line_table != nullptr ? read_line(*line_table, context, size_mm)
                                             : read_measured(*measured_table, context, size_mm));
  Part part{.tube_text = std::move(tube.text),
            .section = tube.section,
            .material = std::move(tube.material),
            .welded = tube.welded,
            .table = std::move(line.table),
            .start = line.start,
            .radii_are_die = line.radii_are_die,
            .findings = std::move(tube.findings)};
  read_heading(top, part);
  if (const toml::table* ends = top.table("ends")) {
    TomlFields f(*ends, context, "ends");
    part.end_a = read_end(f, "a", context);
    part.end_b = read_end(f, "b", context);
    f.no_others();
    top.adopt(f);
  }
  read_tolerance(top, context, part);
  for (part::Finding& finding : line.findings) part.findings.push_back(std::move(finding));
  top.no_others();
  BIGHT_TRY(const base::Done done, top.status());
  static_cast<void>(done);
  return PartFile{std::move(part), context.lengths.default_unit};
}

base::Result<PartFile> read_part_file(const std::string& path) {
  BIGHT_TRY(const std::string text, read_text_file(path));
  return read_part(text, path);
}

}  // namespace bight::exchange
