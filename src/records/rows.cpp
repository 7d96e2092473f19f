#include "records/rows.h"

#include <fmt/format.h>
#include <soci/soci.h>

#include <cmath>

#include "base/number.h"
#include "records/text_rules.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

constexpr std::string_view kRevisionColumns =
    "v.kind, v.id, v.revision, v.change, v.deed, v.content_of, v.at_ms, v.who, v.withdrawn, "
    "COALESCE(v.part, ''), COALESCE(v.blob, '')";

Failure bad_row(std::string_view what) {
  return Failure{"store.damaged", "", fmt::format("The shop's records hold {}.", what),
                 "Keep the file as it is, and open the latest backup in its place."};
}

struct RevisionRow {
  std::string kind, id, deed, who, part, blob, document;
  long long revision = 0, change = 0, content_of = 0, at_ms = 0, withdrawn = 0;

  void bind(soci::statement& statement) {
    statement.exchange(soci::into(kind));
    statement.exchange(soci::into(id));
    statement.exchange(soci::into(revision));
    statement.exchange(soci::into(change));
    statement.exchange(soci::into(deed));
    statement.exchange(soci::into(content_of));
    statement.exchange(soci::into(at_ms));
    statement.exchange(soci::into(who));
    statement.exchange(soci::into(withdrawn));
    statement.exchange(soci::into(part));
    statement.exchange(soci::into(blob));
  }

  Result<Revision> read() const {
    const auto a_kind = kind_named(kind);
    auto an_id = RecordId::parse(id);
    const auto a_deed = deed_named(deed);
    if (!a_kind.ok() || !an_id.ok() || !a_deed.ok()) return bad_row("a row that is none of theirs");
    Revision out{.kind = *a_kind,
                 .id = std::move(an_id).value(),
                 .revision = revision,
                 .change = change,
                 .deed = *a_deed,
                 .content_of = content_of,
                 .at = Instant(std::chrono::milliseconds(at_ms)),
                 .by = who,
                 .withdrawn = withdrawn != 0};
    if (!part.empty()) {
      BIGHT_TRY(out.part, RecordId::parse(part));
    }
    if (!blob.empty()) {
      BIGHT_TRY(out.blob, BlobId::parse(blob));
    }
    return out;
  }
};

struct PartRow {
  RevisionRow head;
  std::string name, customer, drawing, tube, radii, material, hand, search, picture;
  double od_mm = 0.0, wall_mm = 0.0;
  soci::indicator has_od = soci::i_null, has_wall = soci::i_null;
  int bends = 0;

  static constexpr std::string_view kColumns =
      "p.name, p.customer, p.drawing, p.tube, p.od_mm, p.wall_mm, p.radii_mm, p.material, "
      "p.bends, p.hand, p.search, p.picture";

  void bind(soci::statement& statement) {
    head.bind(statement);
    statement.exchange(soci::into(name));
    statement.exchange(soci::into(customer));
    statement.exchange(soci::into(drawing));
    statement.exchange(soci::into(tube));
    statement.exchange(soci::into(od_mm, has_od));
    statement.exchange(soci::into(wall_mm, has_wall));
    statement.exchange(soci::into(radii));
    statement.exchange(soci::into(material));
    statement.exchange(soci::into(bends));
    statement.exchange(soci::into(hand));
    statement.exchange(soci::into(search));
    statement.exchange(soci::into(picture));
  }

  Result<PartLine> read() const {
    BIGHT_TRY(Revision revision, head.read());
    PartSummary summary{.name = name,
                        .customer = customer,
                        .drawing = drawing,
                        .tube = tube,
                        .material = material,
                        .bends = bends,
                        .hand = hand,
                        .search = search,
                        .picture = picture};
    if (has_od == soci::i_ok) summary.od_mm = od_mm;
    if (has_wall == soci::i_ok) summary.wall_mm = wall_mm;
    for (std::size_t start = 0; start < radii.size();) {
      const std::size_t end = std::min(radii.find(' ', start), radii.size());
      BIGHT_TRY(const double radius_mm, base::parse_number(radii.substr(start, end - start)));
      summary.radii_mm.push_back(radius_mm);
      start = end + 1;
    }
    return PartLine{.head = std::move(revision), .summary = std::move(summary)};
  }
};

void bind_values(soci::statement& statement, const Values& values) {
  for (const auto& [name, value] : values) {
    if (const auto* whole = std::get_if<long long>(&value)) {
      statement.exchange(soci::use(*whole, name));
    } else {
      statement.exchange(soci::use(*std::get_if<std::string>(&value), name));
    }
  }
}

void start(soci::statement& statement, const std::string& sql) {
  statement.alloc();
  statement.prepare(sql);
  statement.define_and_bind();
}

template <typename T>
std::optional<T> single(soci::session& session, const std::string& sql, const Values& values) {
  T out{};
  soci::indicator found = soci::i_null;
  soci::statement statement(session);
  statement.exchange(soci::into(out, found));
  bind_values(statement, values);
  start(statement, sql);
  if (!statement.execute(true) || found != soci::i_ok) return std::nullopt;
  return out;
}

std::optional<double> usable_mm(std::optional<double> value_mm) {
  return value_mm && std::isfinite(*value_mm) ? value_mm : std::nullopt;
}

}  // namespace

Status each_revision(soci::session& session, const std::string& rest, const Values& values,
                     Documents documents, const std::function<Status(Record&&)>& visit) {
  const bool with = documents == Documents::kWith;
  RevisionRow row;
  soci::statement statement(session);
  row.bind(statement);
  if (with) statement.exchange(soci::into(row.document));
  bind_values(statement, values);
  start(statement,
        fmt::format("SELECT {}{} {}", kRevisionColumns, with ? ", v.document" : "", rest));
  statement.execute(false);
  while (statement.fetch()) {
    BIGHT_TRY(Revision head, row.read());
    const Status went = visit(Record{.head = std::move(head), .document = row.document});
    if (!went.ok()) return went;
  }
  return Done{};
}

Result<std::vector<Record>> revisions(soci::session& session, const std::string& rest,
                                      const Values& values, Documents documents) {
  std::vector<Record> out;
  const Status read =
      each_revision(session, rest, values, documents, [&out](Record&& record) -> Status {
        out.push_back(std::move(record));
        return Done{};
      });
  if (!read.ok()) return read.failure();
  return out;
}

Status each_part(soci::session& session, const std::string& rest, const Values& values,
                 const std::function<Status(PartLine&&)>& visit) {
  PartRow row;
  soci::statement statement(session);
  row.bind(statement);
  bind_values(statement, values);
  start(statement, fmt::format("SELECT {}, {} FROM bight_record r "
                               "JOIN bight_part p ON p.kind = r.kind AND p.id = r.id "
                               "JOIN bight_revision v ON v.kind = r.kind AND v.id = r.id "
                               "AND v.revision = r.revision {}",
                               kRevisionColumns, PartRow::kColumns, rest));
  statement.execute(false);
  while (statement.fetch()) {
    BIGHT_TRY(PartLine line, row.read());
    const Status went = visit(std::move(line));
    if (!went.ok()) return went;
  }
  return Done{};
}

void run(soci::session& session, const std::string& sql, const Values& values) {
  soci::statement statement(session);
  bind_values(statement, values);
  start(statement, sql);
  statement.execute(true);
}

std::optional<std::int64_t> number(soci::session& session, const std::string& sql,
                                   const Values& values) {
  return single<long long>(session, sql, values);
}

std::optional<std::string> text(soci::session& session, const std::string& sql,
                                const Values& values) {
  return single<std::string>(session, sql, values);
}

std::optional<Record> present_record(soci::session& session, Kind kind, const RecordId& id) {
  std::optional<Record> out;
  const Status read = each_revision(
      session,
      "FROM bight_record r JOIN bight_revision v ON v.kind = r.kind AND v.id = r.id AND "
      "v.revision = r.revision WHERE r.kind = :kind AND r.id = :id",
      {{"kind", std::string(kind_name(kind))}, {"id", id.text()}}, Documents::kWith,
      [&out](Record&& record) -> Status {
        out = std::move(record);
        return Done{};
      });
  if (!read.ok()) throw soci::soci_error(read.failure().message);
  return out;
}

std::int64_t locked_change(soci::session& session) {
  run(session, "UPDATE bight_state SET change = change");
  return number(session, "SELECT change FROM bight_state").value_or(0);
}

void set_change(soci::session& session, std::int64_t change) {
  run(session, "UPDATE bight_state SET change = :change",
      {{"change", static_cast<long long>(change)}});
}

bool keep_bytes(Dialect dialect, soci::session& session, const BlobId& id,
                const std::string& bytes) {
  if (number(session, "SELECT size FROM bight_blob WHERE id = :id", {{"id", id.text()}})) {
    return false;
  }
  // Another process may be faster in between.
  run(session,
      fmt::format("INSERT INTO bight_blob (id, size, bytes) VALUES (:id, :size, {}) "
                  "ON CONFLICT (id) DO NOTHING",
                  bytes_parameter(dialect, ":bytes")),
      {{"id", id.text()},
       {"size", static_cast<long long>(bytes.size())},
       {"bytes", bound_bytes(dialect, bytes)}});
  return true;
}

struct RevisionWriter::Statements {
  explicit Statements(soci::session& session)
      : head(session), revision(session), summary(session) {}

  soci::statement head;
  soci::statement revision;
  soci::statement summary;
  RevisionRow row;
  soci::indicator has_part = soci::i_null, has_blob = soci::i_null;
  PartRow part;
  bool summary_prepared = false;

  void prepare_head() {
    head.exchange(soci::use(row.kind, "kind"));
    head.exchange(soci::use(row.id, "id"));
    head.exchange(soci::use(row.revision, "revision"));
    head.exchange(soci::use(row.change, "change"));
    head.exchange(soci::use(row.withdrawn, "withdrawn"));
    head.exchange(soci::use(row.part, has_part, "part"));
    start(head,
          "INSERT INTO bight_record (kind, id, revision, change, withdrawn, part) "
          "VALUES (:kind, :id, :revision, :change, :withdrawn, :part) "
          "ON CONFLICT (kind, id) DO UPDATE SET revision = excluded.revision, "
          "change = excluded.change, withdrawn = excluded.withdrawn, part = excluded.part");
  }

  void prepare_revision() {
    revision.exchange(soci::use(row.kind, "kind"));
    revision.exchange(soci::use(row.id, "id"));
    revision.exchange(soci::use(row.revision, "revision"));
    revision.exchange(soci::use(row.change, "change"));
    revision.exchange(soci::use(row.deed, "deed"));
    revision.exchange(soci::use(row.content_of, "content_of"));
    revision.exchange(soci::use(row.at_ms, "at_ms"));
    revision.exchange(soci::use(row.who, "who"));
    revision.exchange(soci::use(row.withdrawn, "withdrawn"));
    revision.exchange(soci::use(row.part, has_part, "part"));
    revision.exchange(soci::use(row.blob, has_blob, "blob"));
    revision.exchange(soci::use(row.document, "document"));
    start(revision,
          "INSERT INTO bight_revision (kind, id, revision, change, deed, content_of, at_ms, who, "
          "withdrawn, part, blob, document) VALUES (:kind, :id, :revision, :change, :deed, "
          ":content_of, :at_ms, :who, :withdrawn, :part, :blob, :document)");
  }

  void prepare_summary() {
    if (std::exchange(summary_prepared, true)) return;
    summary.exchange(soci::use(row.id, "id"));
    summary.exchange(soci::use(part.name, "name"));
    summary.exchange(soci::use(part.customer, "customer"));
    summary.exchange(soci::use(part.drawing, "drawing"));
    summary.exchange(soci::use(part.tube, "tube"));
    summary.exchange(soci::use(part.od_mm, part.has_od, "od_mm"));
    summary.exchange(soci::use(part.wall_mm, part.has_wall, "wall_mm"));
    summary.exchange(soci::use(part.radii, "radii_mm"));
    summary.exchange(soci::use(part.material, "material"));
    summary.exchange(soci::use(part.bends, "bends"));
    summary.exchange(soci::use(part.hand, "hand"));
    summary.exchange(soci::use(part.search, "search"));
    summary.exchange(soci::use(part.picture, "picture"));
    start(summary,
          "INSERT INTO bight_part (id, name, customer, drawing, tube, od_mm, wall_mm, radii_mm, "
          "material, bends, hand, search, picture) VALUES (:id, :name, :customer, :drawing, :tube, "
          ":od_mm, :wall_mm, :radii_mm, :material, :bends, :hand, :search, :picture) "
          "ON CONFLICT (id) DO UPDATE SET name = excluded.name, customer = excluded.customer, "
          "drawing = excluded.drawing, tube = excluded.tube, od_mm = excluded.od_mm, "
          "wall_mm = excluded.wall_mm, radii_mm = excluded.radii_mm, "
          "material = excluded.material, bends = excluded.bends, hand = excluded.hand, "
          "search = excluded.search, picture = excluded.picture");
  }
};

RevisionWriter::RevisionWriter(soci::session& session)
    : statements_(std::make_unique<Statements>(session)) {
  statements_->prepare_head();
  statements_->prepare_revision();
}

RevisionWriter::~RevisionWriter() = default;

void RevisionWriter::write(const Record& record) {
  Statements& to = *statements_;
  const Revision& head = record.head;
  to.row.kind = kind_name(head.kind);
  to.row.id = head.id.text();
  to.row.revision = head.revision;
  to.row.change = head.change;
  to.row.deed = deed_name(head.deed);
  to.row.content_of = head.content_of;
  to.row.at_ms = head.at.time_since_epoch().count();
  to.row.who = head.by;
  to.row.withdrawn = head.withdrawn ? 1 : 0;
  to.row.part = head.part ? head.part->text() : "";
  to.has_part = head.part ? soci::i_ok : soci::i_null;
  to.row.blob = head.blob ? head.blob->text() : "";
  to.has_blob = head.blob ? soci::i_ok : soci::i_null;
  to.row.document = record.document;
  to.head.execute(true);
  to.revision.execute(true);
}

void RevisionWriter::write_summary(const RecordId& id, const PartSummary& summary) {
  Statements& to = *statements_;
  to.prepare_summary();
  to.row.id = id.text();
  to.part.name = cleaned(summary.name);
  to.part.customer = cleaned(summary.customer);
  to.part.drawing = cleaned(summary.drawing);
  to.part.tube = cleaned(summary.tube);
  const auto od_mm = usable_mm(summary.od_mm);
  const auto wall_mm = usable_mm(summary.wall_mm);
  to.part.od_mm = od_mm.value_or(0.0);
  to.part.has_od = od_mm ? soci::i_ok : soci::i_null;
  to.part.wall_mm = wall_mm.value_or(0.0);
  to.part.has_wall = wall_mm ? soci::i_ok : soci::i_null;
  to.part.radii.clear();
  for (const double radius_mm : summary.radii_mm) {
    if (!std::isfinite(radius_mm)) continue;
    if (!to.part.radii.empty()) to.part.radii += ' ';
    to.part.radii += base::print_number(radius_mm);
  }
  to.part.material = cleaned(summary.material);
  to.part.bends = summary.bends;
  to.part.hand = cleaned(summary.hand);
  to.part.search = cleaned(summary.search);
  to.part.picture = cleaned(summary.picture);
  to.summary.execute(true);
}

}  // namespace bight::records
