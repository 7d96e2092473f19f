#include "exchange/part_toml.h"

#include <fmt/format.h>

#include "exchange/complaints.h"
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

void read_names(Fields& f, Part& part) {
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

void take_tube(Tube& tube, Part& part) {
  part.tube_text = std::move(tube.text);
  part.material = std::move(tube.material);
  part.welded = tube.welded;
  part.findings = std::move(tube.findings);
}

void take_line(Line& line, Part& part) {
  part.start = line.start;
  part.radii_are_die = line.radii_are_die;
  for (part::Finding& finding : line.findings) part.findings.push_back(std::move(finding));
}

struct Tables {
  std::optional<Fields> tube;
  std::optional<Fields> line;
  std::optional<Fields> measured;
};
struct TablesRead {
  std::optional<Tube> tube;
  std::optional<Line> line;
  std::optional<Failure> first;
};

// Reads [tube], then [line] or [measured], up to the first failure; on to the end where all
// complaints are wanted.
TablesRead read_tables(const Tables& tables) {
  TablesRead out;
  const bool all = Complaints::present() != nullptr;
  const auto keep = [&](auto result, auto& into) {
    if (result.ok()) {
      into = std::move(result).value();
      return;
    }
    if (all) Complaints::present()->add(result.failure());
    if (!out.first) out.first = result.failure();
  };
  if (tables.tube) keep(read_tube(*tables.tube), out.tube);
  if (out.first && !all) return out;
  const double size_mm = out.tube ? out.tube->section.height_mm() : 0.0;
  if (tables.line) {
    keep(read_line(*tables.line, size_mm), out.line);
  } else if (tables.measured) {
    keep(read_measured(*tables.measured, size_mm), out.line);
  }
  return out;
}

}  // namespace

base::Result<PartFile> read_part(const Document& document) {
  Fields top(document);
  BIGHT_TRY(const base::Done rules_read, read_rules(top, "part.schema"));
  static_cast<void>(rules_read);
  const Tables tables{top.table("tube"), top.table("line"), top.table("measured")};
  if (!tables.tube) {
    top.complain("tube", "key.missing", "the [tube] table is missing",
                 "a part has a name, a [tube] and a [line]");
  }
  if (!tables.line && !tables.measured) {
    top.complain("line", "key.missing", "the [line] table is missing",
                 "a part has a name, a [tube] and a [line], or [measured] for a sample");
  }
  if (tables.line && tables.measured) {
    top.complain("measured", "part.line", "both [line] and [measured] are given", "keep one");
  }
  const base::Status given = top.status();
  const bool all = Complaints::present() != nullptr;
  if (!given.ok() && !all) return given.failure();
  TablesRead read = read_tables(tables);
  if (read.first && !all) return *read.first;
  // Stands in for what could not be read, so that the rest is looked at.
  Part part{.section = read.tube ? read.tube->section : *stock::Section::round_tube(10.0, 1.0),
            .table = read.line ? read.line->table : *geometry::BendTable::make({}, 1.0)};
  if (read.tube) take_tube(*read.tube, part);
  if (read.line) take_line(*read.line, part);
  read_names(top, part);
  if (std::optional<Fields> ends = top.table("ends")) {
    part.end_a = read_end(*ends, "a");
    part.end_b = read_end(*ends, "b");
    ends->no_others();
    top.adopt(*ends);
  }
  read_tolerance(top, part);
  top.no_others();
  if (!given.ok()) return given.failure();
  if (read.first) return *read.first;
  BIGHT_TRY(const base::Done done, top.status());
  static_cast<void>(done);
  return PartFile{std::move(part), top.lengths().default_unit};
}

base::Result<PartFile> read_part(std::string_view text, const std::string& file,
                                 KnownMetals metals) {
  BIGHT_TRY(Document document, parse_toml(text, file));
  document.metals = std::move(metals);
  return read_part(document);
}

base::Result<PartFile> read_part_file(const std::string& path, KnownMetals metals) {
  BIGHT_TRY(const std::string text, read_text_file(path));
  return read_part(text, path, std::move(metals));
}

}  // namespace bight::exchange
