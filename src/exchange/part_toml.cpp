#include "exchange/part_toml.h"

#include <fmt/format.h>

#include "exchange/fields.h"
#include "exchange/part_line.h"
#include "exchange/part_tube.h"
#include "exchange/taped_toml.h"
#include "exchange/text_file.h"

namespace bight::exchange {

using base::Failure;
using part::Part;

namespace {

part::PartEnd read_end(Fields& ends, std::string_view key) {
  part::PartEnd end;
  std::optional<Fields> own = ends.table(key);
  if (!own) return end;
  Fields& f = *own;
  end.trim_mm = f.length_mm("trim").value_or(0.0);
  if (end.trim_mm < 0.0) {
    f.complain("trim", "key.value", "a trim below zero would cut into the part", "give 0 or more");
  }
  end.detail = f.text("detail").value_or("");
  f.no_others();
  ends.adopt(f);
  return end;
}

void read_heading(Fields& f, Part& part) {
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

void read_tolerance(Fields& top, Part& part) {
  std::optional<Fields> own = top.table("tolerance");
  if (!own) return;
  Fields& f = *own;
  part.tolerance.length_mm = f.length_mm("length");
  part.tolerance.angle = f.angle("angle");
  f.no_others();
  top.adopt(f);
}

}  // namespace

base::Result<PartFile> read_part(const Document& document) {
  Fields top(document);
  BIGHT_TRY(const base::Done rules_read, read_rules(top, "part.schema"));
  static_cast<void>(rules_read);
  const std::optional<Fields> tube_fields = top.table("tube");
  const std::optional<Fields> line_fields = top.table("line");
  const std::optional<Fields> measured_fields = top.table("measured");
  if (!tube_fields) {
    top.complain("tube", "key.missing", "the [tube] table is missing",
                 "a part has a name, a [tube] and a [line]");
  }
  if (!line_fields && !measured_fields) {
    top.complain("line", "key.missing", "the [line] table is missing",
                 "a part has a name, a [tube] and a [line], or [measured] for a sample");
  }
  if (line_fields && measured_fields) {
    top.complain("measured", "part.line", "both [line] and [measured] are given", "keep one");
  }
  BIGHT_TRY(const base::Done tables_read, top.status());
  static_cast<void>(tables_read);
  BIGHT_TRY(Tube tube, read_tube(*tube_fields));
  const double size_mm = tube.section.height_mm();
  BIGHT_TRY(Line line, line_fields ? read_line(*line_fields, size_mm)
                                   : read_measured(*measured_fields, size_mm));
  Part part{.tube_text = std::move(tube.text),
            .section = tube.section,
            .material = std::move(tube.material),
            .welded = tube.welded,
            .table = std::move(line.table),
            .start = line.start,
            .radii_are_die = line.radii_are_die,
            .findings = std::move(tube.findings)};
  read_heading(top, part);
  if (std::optional<Fields> ends = top.table("ends")) {
    part.end_a = read_end(*ends, "a");
    part.end_b = read_end(*ends, "b");
    ends->no_others();
    top.adopt(*ends);
  }
  read_tolerance(top, part);
  for (part::Finding& finding : line.findings) part.findings.push_back(std::move(finding));
  top.no_others();
  BIGHT_TRY(const base::Done done, top.status());
  static_cast<void>(done);
  return PartFile{std::move(part), top.lengths().default_unit};
}

base::Result<PartFile> read_part(std::string_view text, const std::string& file) {
  BIGHT_TRY(const Document document, parse_toml(text, file));
  return read_part(document);
}

base::Result<PartFile> read_part_file(const std::string& path) {
  BIGHT_TRY(const std::string text, read_text_file(path));
  return read_part(text, path);
}

}  // namespace bight::exchange
