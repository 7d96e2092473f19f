#include "records/archive_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>
#include <limits>
#include <nlohmann/json.hpp>
#include <utility>

#include "records/text_rules.h"

namespace bight::records {

base::Failure bad_content(const std::string& where, std::string message) {
  return base::Failure{"archive.content", where, std::move(message),
                       "Take the archive as Bight wrote it."};
}

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;
using Json = nlohmann::ordered_json;

constexpr std::string_view kFormat = "bight-shop";
constexpr std::int64_t kSchema = 1;

// An object of which each key is asked for once; what nobody asks for is refused.
class Fields {
 public:
  Fields(const Json& object, std::string where) : object_(object), where_(std::move(where)) {}

  Status check_keys(std::initializer_list<std::string_view> known) const {
    if (!object_.is_object()) return bad_content(where_, "It does not hold a JSON object.");
    for (const auto& [key, value] : object_.items()) {
      if (std::find(known.begin(), known.end(), key) == known.end()) {
        return bad_content(
            where_, fmt::format("It holds something unknown, \"{}\".", cleaned(key.substr(0, 40))));
      }
    }
    return Done{};
  }

  bool has(const char* key) const { return object_.contains(key) && !object_[key].is_null(); }

  Result<std::string> text(const char* key) const {
    if (has(key) && object_[key].is_string()) return object_[key].get<std::string>();
    return bad_content(where_, fmt::format("\"{}\" is not a text.", key));
  }

  Result<std::int64_t> whole(const char* key) const {
    if (has(key) && object_[key].is_number_integer()) {
      const Json& value = object_[key];
      const bool fits =
          !value.is_number_unsigned() ||
          value.get<std::uint64_t>() <= std::uint64_t{std::numeric_limits<std::int64_t>::max()};
      if (fits && value.get<std::int64_t>() >= 0) return value.get<std::int64_t>();
    }
    return bad_content(where_, fmt::format("\"{}\" is not a whole number from 0 on.", key));
  }

  Result<bool> yes_or_no(const char* key) const {
    if (has(key) && object_[key].is_boolean()) return object_[key].get<bool>();
    return bad_content(where_, fmt::format("\"{}\" is neither true nor false.", key));
  }

  const std::string& where() const { return where_; }
  const Json& operator[](const char* key) const { return object_[key]; }

 private:
  const Json& object_;
  std::string where_;
};

// Another failure's words under the archive's code.
Failure inner(const std::string& where, const Failure& failure) {
  return bad_content(where, failure.message);
}

Result<Json> parsed(const std::string& text, const std::string& where) {
  // A document stands four levels deep in a record's file.
  if (nesting(text) > kDeepestDocument + 4) return bad_content(where, "It is nested too deep.");
  if (text.find('\0') == std::string::npos) {
    Json json = Json::parse(text, nullptr, false);
    if (!json.is_discarded()) return json;
  }
  return bad_content(where, "It is not JSON.");
}

// The document as JSON where writing that out gives the same bytes, else as a text.
void put_document(Json& to, const std::string& document) {
  Json value = Json::parse(document, nullptr, false);
  if (!value.is_discarded() && value.dump() == document) {
    to["document"] = std::move(value);
  } else {
    to["document_text"] = document;
  }
}

Result<std::string> read_document(const Fields& fields) {
  if (fields.has("document") == fields.has("document_text")) {
    return bad_content(fields.where(), "It holds no document, or two.");
  }
  if (fields.has("document_text")) return fields.text("document_text");
  return fields["document"].dump();
}

Result<Revision> read_head(const Fields& fields, Kind kind, const RecordId& id) {
  Revision head{.kind = kind, .id = id};
  BIGHT_TRY(head.revision, fields.whole("revision"));
  BIGHT_TRY(head.change, fields.whole("change"));
  BIGHT_TRY(head.content_of, fields.whole("content_of"));
  BIGHT_TRY(head.by, fields.text("by"));
  BIGHT_TRY(head.withdrawn, fields.yes_or_no("withdrawn"));
  BIGHT_TRY(const std::string at, fields.text("at"));
  BIGHT_TRY(head.at, read_instant(at));
  BIGHT_TRY(const std::string deed_text, fields.text("deed"));
  const auto deed = deed_named(deed_text);
  if (!deed.ok()) return inner(fields.where(), deed.failure());
  head.deed = *deed;
  if (fields.has("part")) {
    BIGHT_TRY(const std::string text, fields.text("part"));
    auto part = RecordId::parse(text);
    if (!part.ok()) return inner(fields.where(), part.failure());
    head.part = std::move(part).value();
  }
  if (fields.has("blob")) {
    BIGHT_TRY(const std::string text, fields.text("blob"));
    auto blob = BlobId::parse(text);
    if (!blob.ok()) return inner(fields.where(), blob.failure());
    head.blob = std::move(blob).value();
  }
  return head;
}

}  // namespace

std::string instant_text(Instant at) {
  using namespace std::chrono;
  const auto day = floor<days>(at);
  const year_month_day date(day);
  const hh_mm_ss time(at - day);
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                     time.hours().count(), time.minutes().count(), time.seconds().count(),
                     time.subseconds().count());
}

Result<Instant> read_instant(std::string_view text) {
  using namespace std::chrono;
  constexpr std::string_view kShape = "dddd-dd-ddTdd:dd:dd.dddZ";
  bool shaped = text.size() == kShape.size();
  for (std::size_t i = 0; shaped && i < kShape.size(); ++i) {
    shaped = kShape[i] == 'd' ? text[i] >= '0' && text[i] <= '9' : text[i] == kShape[i];
  }
  const auto digits = [&](std::size_t at, std::size_t count) {
    int value = 0;
    for (std::size_t i = at; i < at + count; ++i) value = 10 * value + (text[i] - '0');
    return value;
  };
  if (shaped) {
    const year_month_day date(year(digits(0, 4)), month(static_cast<unsigned>(digits(5, 2))),
                              day(static_cast<unsigned>(digits(8, 2))));
    const int hour = digits(11, 2);
    const int minute = digits(14, 2);
    const int second = digits(17, 2);
    if (date.ok() && digits(0, 4) >= 1970 && hour < 24 && minute < 60 && second < 60) {
      return sys_days(date) + hours(hour) + minutes(minute) + seconds(second) +
             milliseconds(digits(20, 3));
    }
  }
  return bad_content("at", "This is no moment.");
}

std::string manifest_json(const Manifest& manifest) {
  Json json;
  json["format"] = kFormat;
  json["schema"] = kSchema;
  if (manifest.part) json["part"] = manifest.part->text();
  json["records"] = manifest.inventory.records;
  json["revisions"] = manifest.inventory.revisions;
  json["blobs"] = manifest.inventory.blobs;
  json["change"] = manifest.inventory.change;
  json["fingerprint"] = manifest.inventory.fingerprint;
  return json.dump(2) + "\n";
}

Result<Manifest> read_manifest(const std::string& text) {
  const std::string where = "bight.json";
  BIGHT_TRY(const Json json, parsed(text, where));
  const Fields fields(json, where);
  // A newer one may hold what is unknown here: its number is looked at first.
  if (!json.is_object()) return bad_content(where, "It does not hold a JSON object.");
  BIGHT_TRY(const std::string format, fields.text("format"));
  BIGHT_TRY(const std::int64_t schema, fields.whole("schema"));
  if (format != kFormat) return bad_content(where, "This is not the archive of a shop.");
  if (schema > kSchema) {
    return Failure{"archive.newer", where,
                   fmt::format("A newer Bight has written this archive (form {}, known up to {}).",
                               schema, kSchema),
                   "Read it with that version, or a later one."};
  }
  const Status known = fields.check_keys(
      {"format", "schema", "part", "records", "revisions", "blobs", "change", "fingerprint"});
  if (!known.ok()) return known.failure();
  Manifest out;
  if (fields.has("part")) {
    BIGHT_TRY(const std::string part_text, fields.text("part"));
    auto part = RecordId::parse(part_text);
    if (!part.ok()) return inner(where, part.failure());
    out.part = std::move(part).value();
  }
  BIGHT_TRY(out.inventory.records, fields.whole("records"));
  BIGHT_TRY(out.inventory.revisions, fields.whole("revisions"));
  BIGHT_TRY(out.inventory.blobs, fields.whole("blobs"));
  BIGHT_TRY(out.inventory.change, fields.whole("change"));
  BIGHT_TRY(out.inventory.fingerprint, fields.text("fingerprint"));
  return out;
}

std::string bundle_json(const Bundle& bundle) {
  Json json;
  const Revision& first = bundle.revisions.front().head;
  json["kind"] = kind_name(first.kind);
  json["id"] = first.id.text();
  json["revisions"] = Json::array();
  for (const Record& record : bundle.revisions) {
    const Revision& head = record.head;
    Json one;
    one["revision"] = head.revision;
    one["change"] = head.change;
    one["deed"] = deed_name(head.deed);
    one["content_of"] = head.content_of;
    one["at"] = instant_text(head.at);
    one["by"] = head.by;
    one["withdrawn"] = head.withdrawn;
    if (head.part) one["part"] = head.part->text();
    if (head.blob) one["blob"] = head.blob->text();
    put_document(one, record.document);
    json["revisions"].push_back(std::move(one));
  }
  return json.dump(1) + "\n";
}

Result<Bundle> read_bundle(const std::string& text, const std::string& where) {
  BIGHT_TRY(const Json json, parsed(text, where));
  const Fields fields(json, where);
  const Status known = fields.check_keys({"kind", "id", "revisions"});
  if (!known.ok()) return known.failure();
  BIGHT_TRY(const std::string kind_text, fields.text("kind"));
  BIGHT_TRY(const std::string id_text, fields.text("id"));
  const auto kind = kind_named(kind_text);
  if (!kind.ok()) return inner(where, kind.failure());
  const auto id = RecordId::parse(id_text);
  if (!id.ok()) return inner(where, id.failure());
  if (!fields.has("revisions") || !fields["revisions"].is_array()) {
    return bad_content(where, "\"revisions\" is not a list.");
  }
  Bundle bundle;
  for (const Json& item : fields["revisions"]) {
    const Fields one(item, fmt::format("{} revisions[{}]", where, bundle.revisions.size()));
    const Status keys = one.check_keys({"revision", "change", "deed", "content_of", "at", "by",
                                        "withdrawn", "part", "blob", "document", "document_text"});
    if (!keys.ok()) return keys.failure();
    BIGHT_TRY(Revision head, read_head(one, *kind, *id));
    BIGHT_TRY(std::string document, read_document(one));
    bundle.revisions.push_back({.head = std::move(head), .document = std::move(document)});
  }
  if (bundle.revisions.empty()) return bad_content(where, "It holds no revision.");
  return bundle;
}

}  // namespace bight::records
