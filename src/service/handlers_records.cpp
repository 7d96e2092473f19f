// Records, the list of parts, attachments' bytes, and the stream of changes.
#include <fmt/format.h>

#include <charconv>
#include <chrono>
#include <nlohmann/json.hpp>
#include <thread>

#include "service/handlers.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

struct Address {
  records::Kind kind;
  records::RecordId id;
};

Result<Address> address_of(const Request& request) {
  BIGHT_TRY(const records::Kind kind, records::kind_named(request.holes[0]));
  BIGHT_TRY(const records::RecordId id, records::RecordId::parse(request.holes[1]));
  return Address{kind, id};
}

std::string tag_of(std::int64_t revision) { return fmt::format("\"r{}\"", revision); }

Reply record_reply(const records::Record& record, int status = 200, bool repeated = false) {
  Reply reply = json_reply(record_json(record), status);
  reply.headers.emplace_back("ETag", tag_of(record.head.revision));
  if (repeated) reply.headers.emplace_back("X-Bight-Repeated", "1");
  return reply;
}

Reply writing_reply(const records::Writing& writing, int status) {
  if (writing.result.ok()) return record_reply(*writing.result, status, writing.repeated);
  const Failure& failure = writing.result.failure();
  Json json = {{"error", complaint_json(failure)}};
  if (writing.present) json["present"] = record_json(*writing.present);
  return json_reply(json, status_of(failure.code));
}

// The revision that If-Match names, 0 for If-None-Match: *.
Result<std::int64_t> expected_of(const Request& request, bool may_be_new) {
  const std::string match = request.header("if-match");
  if (match.empty()) {
    if (may_be_new && request.header("if-none-match") == "*") return std::int64_t{0};
    return Failure{"request.match", "If-Match", "the revision this was made from is not said",
                   may_be_new ? "send If-Match with its ETag, or If-None-Match: * for a new record"
                              : "send If-Match with its ETag"};
  }
  std::int64_t revision = 0;
  const char* const end = match.data() + match.size();
  const bool quoted = match.size() > 3 && match.starts_with("\"r") && match.ends_with('"');
  const auto read = quoted ? std::from_chars(match.data() + 2, end - 1, revision)
                           : std::from_chars_result{match.data(), std::errc::invalid_argument};
  if (read.ec != std::errc() || read.ptr != end - 1 || revision < 1) {
    return Failure{"request.header", "If-Match", fmt::format("{} is no ETag of a record", match),
                   "an ETag as it was read, such as \"r3\""};
  }
  return revision;
}

std::string who_of(const Request& request) { return decoded(request.header("x-bight-by")); }

Result<records::Put> put_of(const Request& request, records::Kind kind) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  records::Put put;
  put.kind = kind;
  put.who = who_of(request);
  put.key = request.header("idempotency-key");
  if (!f.has("document") || !body.value.at("document").is_object()) {
    f.complain("document", "key.missing", "the document is missing or no object",
               "send {\"document\": {…}}");
  }
  const std::optional<std::string> part = f.text("part");
  const std::optional<std::string> blob = f.text("blob");
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  if (part) {
    BIGHT_TRY(put.part, records::RecordId::parse(*part));
  }
  if (blob) {
    BIGHT_TRY(put.blob, records::BlobId::parse(*blob));
  }
  put.document = body.value.at("document").dump();
  return put;
}

Result<Reply> add_record(Context& context, const Request& request) {
  BIGHT_TRY(const records::Kind kind, records::kind_named(request.holes[0]));
  BIGHT_TRY(const records::Put put, put_of(request, kind));
  const records::Writing writing = context.store.put(put);
  Reply reply = writing_reply(writing, 201);
  if (writing.result.ok()) {
    reply.headers.emplace_back("Location",
                               fmt::format("/api/v1/records/{}/{}", records::kind_name(kind),
                                           writing.result->head.id.text()));
  }
  return reply;
}

Result<Reply> put_record(Context& context, const Request& request) {
  BIGHT_TRY(const Address address, address_of(request));
  BIGHT_TRY(const std::int64_t expected, expected_of(request, true));
  BIGHT_TRY(records::Put put, put_of(request, address.kind));
  put.id = address.id;
  put.expected_revision = expected;
  return writing_reply(context.store.put(put), expected == 0 ? 201 : 200);
}

Result<Reply> get_record(Context& context, const Request& request) {
  BIGHT_TRY(const Address address, address_of(request));
  BIGHT_TRY(const records::Record record, context.store.get(address.kind, address.id));
  if (request.header("if-none-match") == tag_of(record.head.revision)) {
    Reply reply;
    reply.status = 304;
    reply.headers.emplace_back("ETag", tag_of(record.head.revision));
    return reply;
  }
  return record_reply(record);
}

Result<records::Act> act_of(const Request& request) {
  BIGHT_TRY(const Address address, address_of(request));
  BIGHT_TRY(const std::int64_t expected, expected_of(request, false));
  return records::Act{address.kind, address.id, expected, who_of(request),
                      request.header("idempotency-key")};
}

Result<Reply> undo_record(Context& context, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  const std::optional<long> to = f.whole("to");
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  BIGHT_TRY(const records::Act act, act_of(request));
  return writing_reply(
      context.store.undo(act, to ? std::optional<std::int64_t>(*to) : std::nullopt), 200);
}

Result<Reply> history(Context& context, const Request& request) {
  BIGHT_TRY(const Address address, address_of(request));
  BIGHT_TRY(base::Done done, only_asked(request, {"limit", "before"}));
  static_cast<void>(done);
  records::HistoryQuery query;
  query.kind = address.kind;
  query.id = address.id;
  BIGHT_TRY(query.limit, asked_whole(request, "limit", 50, 0, 100'000));
  BIGHT_TRY(query.before, asked_whole(request, "before", 0, 0, 1'000'000'000'000));
  BIGHT_TRY(const std::vector<records::Revision> revisions, context.store.history(query));
  Json list = Json::array();
  for (const records::Revision& revision : revisions) list.push_back(revision_json(revision));
  return json_reply({{"history", list}});
}

Result<Reply> one_revision(Context& context, const Request& request) {
  BIGHT_TRY(const Address address, address_of(request));
  std::int64_t revision = 0;
  const std::string& text = request.holes[2];
  const auto read = std::from_chars(text.data(), text.data() + text.size(), revision);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size()) revision = 0;
  BIGHT_TRY(const records::Record record,
            context.store.get_revision(address.kind, address.id, revision));
  return record_reply(record);
}

// The reply of `work`, or the same as last time where nothing has changed since.
Result<Reply> unless_known(Context& context, const Request& request,
                           Result<Reply> (*work)(Context&, const Request&)) {
  std::string address = request.path;
  for (const auto& [key, value] : request.query) {
    address += fmt::format("&{}={}={}", key.size(), key, value);
  }
  // Asked for first: what comes in meanwhile makes the reply newer than it says, never older.
  BIGHT_TRY(const std::int64_t change, context.store.latest_change());
  if (const auto known = context.lists.find(address, change)) {
    return bytes_reply(*known, "application/json");
  }
  BIGHT_TRY(Reply reply, work(context, request));
  context.lists.keep(address, change, reply.body);
  return reply;
}

Result<Reply> list_records(Context& context, const Request& request) {
  BIGHT_TRY(base::Done done, only_asked(request, {"part", "limit", "from", "withdrawn"}));
  static_cast<void>(done);
  records::ListQuery query;
  BIGHT_TRY(query.kind, records::kind_named(request.holes[0]));
  if (const auto part = request.asked("part")) {
    BIGHT_TRY(query.part, records::RecordId::parse(*part));
  }
  BIGHT_TRY(query.limit, asked_whole(request, "limit", 50, 0, 100'000));
  BIGHT_TRY(query.from, asked_whole(request, "from", 0, 0, 1'000'000'000));
  BIGHT_TRY(const std::string withdrawn, asked_word(request, "withdrawn", {"0", "1"}));
  query.with_withdrawn = withdrawn == "1";
  BIGHT_TRY(const records::RecordList list, context.store.list(query));
  Json out = Json::array();
  for (const records::Record& record : list.records) out.push_back(record_json(record));
  return json_reply({{"records", out}, {"total", list.total}});
}

Json number_or_null(const std::optional<double>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json part_line_json(const records::PartLine& line) {
  const records::PartSummary& s = line.summary;
  return {{"id", line.head.id.text()},
          {"revision", line.head.revision},
          {"change", line.head.change},
          {"at", time_text(line.head.at)},
          {"by", line.head.by},
          {"withdrawn", line.head.withdrawn},
          {"name", s.name},
          {"customer", s.customer},
          {"drawing", s.drawing},
          {"tube", s.tube},
          {"od_mm", number_or_null(s.od_mm)},
          {"wall_mm", number_or_null(s.wall_mm)},
          {"radii_mm", s.radii_mm},
          {"material", s.material},
          {"bends", s.bends},
          {"hand", s.hand},
          {"picture", s.picture}};
}

Result<Reply> find_parts(Context& context, const Request& request) {
  BIGHT_TRY(base::Done done, only_asked(request, {"words", "limit", "from", "withdrawn"}));
  static_cast<void>(done);
  records::PartQuery query;
  query.words = request.asked("words").value_or("");
  BIGHT_TRY(query.limit, asked_whole(request, "limit", 50, 0, 100'000));
  BIGHT_TRY(query.from, asked_whole(request, "from", 0, 0, 1'000'000'000));
  BIGHT_TRY(const std::string withdrawn, asked_word(request, "withdrawn", {"0", "1"}));
  query.with_withdrawn = withdrawn == "1";
  BIGHT_TRY(const records::PartList list, context.store.find_parts(query));
  Json out = Json::array();
  for (const records::PartLine& line : list.parts) out.push_back(part_line_json(line));
  return json_reply({{"parts", out}, {"total", list.total}});
}

Result<Reply> known_parts(Context& context, const Request& request) {
  return unless_known(context, request, find_parts);
}

Result<Reply> known_records(Context& context, const Request& request) {
  return unless_known(context, request, list_records);
}

Result<Reply> get_blob(Context& context, const Request& request) {
  BIGHT_TRY(base::Done done, only_asked(request, {"type", "name"}));
  static_cast<void>(done);
  BIGHT_TRY(const records::BlobId id, records::BlobId::parse(request.holes[0]));
  BIGHT_TRY(const std::string type, asked_word(request, "type",
                                               {"application/octet-stream", "image/png",
                                                "image/jpeg", "image/webp", "application/pdf"}));
  BIGHT_TRY(std::string bytes, context.store.blob(id));
  Reply reply = bytes_reply(std::move(bytes), type);
  std::string name;
  for (const char c : request.asked("name").value_or("")) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '.' || c == '-' || c == '_' || c == ' ';
    name += plain ? c : '_';
  }
  const bool shown = type != "application/octet-stream";
  reply.headers.emplace_back("Content-Disposition",
                             (shown ? "inline" : "attachment") +
                                 (name.empty() ? std::string() : "; filename=\"" + name + "\""));
  reply.headers.emplace_back("Cache-Control", "private, max-age=31536000, immutable");
  reply.headers.emplace_back("ETag", "\"" + id.text() + "\"");
  return reply;
}

Result<Reply> keep_blob(Context& context, const Request& request) {
  BIGHT_TRY(const records::BlobId id, context.store.keep_blob(request.body));
  return json_reply({{"id", id.text()}, {"bytes", request.body.size()}}, 201);
}

std::string event_text(const records::Revision& head) {
  Json json = {
      {"change", head.change},     {"kind", records::kind_name(head.kind)}, {"id", head.id.text()},
      {"revision", head.revision}, {"deed", records::deed_name(head.deed)}, {"by", head.by}};
  if (head.part) json["part"] = head.part->text();
  return fmt::format("id: {}\nevent: change\ndata: {}\n\n", head.change, json.dump());
}

constexpr int kMostStreams = 64;
constexpr std::chrono::milliseconds kLookEvery{200};
constexpr std::chrono::seconds kBeatEvery{15};

// Sends what is new until nobody listens or the server ends.
void send_changes(records::Store& store, std::int64_t seen, Sink& sink) {
  auto last = std::chrono::steady_clock::now();
  if (!sink.write(": changes follow\nretry: 1000\n\n")) return;
  while (!sink.stopping()) {
    const Result<std::vector<records::Revision>> changes = store.changes_since(seen);
    std::string text;
    if (changes.ok()) {
      for (const records::Revision& head : *changes) {
        text += event_text(head);
        seen = head.change;
      }
    }
    const auto now = std::chrono::steady_clock::now();
    if (text.empty() && now - last >= kBeatEvery) text = ": \n\n";
    if (!text.empty()) {
      if (!sink.write(text)) return;
      last = now;
    }
    std::this_thread::sleep_for(kLookEvery);
  }
}

Result<Reply> events(Context& context, const Request& request,
                     const std::shared_ptr<std::atomic<int>>& streams) {
  BIGHT_TRY(base::Done done, only_asked(request, {"since"}));
  static_cast<void>(done);
  BIGHT_TRY(const std::int64_t latest, context.store.latest_change());
  BIGHT_TRY(std::int64_t since, asked_whole(request, "since", latest, 0, 1'000'000'000'000'000));
  const std::string last = request.header("last-event-id");
  std::int64_t heard = 0;
  const auto read = std::from_chars(last.data(), last.data() + last.size(), heard);
  if (!last.empty() && read.ec == std::errc() && read.ptr == last.data() + last.size()) {
    since = heard;
  }
  if (streams->fetch_add(1) >= kMostStreams) {
    streams->fetch_sub(1);
    return Failure{"request.busy", "", "too many pages are listening", "close some of them"};
  }
  Reply reply;
  reply.type = "text/event-stream";
  reply.headers.emplace_back("Cache-Control", "no-store");
  reply.headers.emplace_back("X-Accel-Buffering", "no");
  const std::shared_ptr<void> place(nullptr, [streams](void*) { streams->fetch_sub(1); });
  reply.stream = [&context, since, place](Sink& sink) { send_changes(context.store, since, sink); };
  return reply;
}

}  // namespace

void add_records(Router& router, Context& context) {
  const std::string one = "/records/{kind}/{id}";
  router.add({"GET", "/parts", with(context, known_parts)});
  router.add({"GET", "/records/{kind}", with(context, known_records)});
  router.add({"POST", "/records/{kind}", with(context, add_record)});
  router.add({"GET", one, with(context, get_record)});
  router.add({"PUT", one, with(context, put_record)});
  router.add({"POST", one + "/undo", with(context, undo_record)});
  for (const bool withdraw : {true, false}) {
    router.add({"POST", one + (withdraw ? "/withdraw" : "/restore"),
                [&context, withdraw](const Request& request) {
                  const Result<records::Act> act = act_of(request);
                  if (!act.ok()) return failed(act.failure());
                  return writing_reply(
                      withdraw ? context.store.withdraw(*act) : context.store.restore(*act), 200);
                }});
  }
  router.add({"GET", one + "/history", with(context, history)});
  router.add({"GET", one + "/revisions/{revision}", with(context, one_revision)});
  router.add({"POST", "/blobs", with(context, keep_blob), records::kLargestBlob});
  router.add({"GET", "/blobs/{id}", with(context, get_blob)});
  const auto streams = std::make_shared<std::atomic<int>>(0);
  router.add({"GET", "/events", [&context, streams](const Request& request) {
                Result<Reply> reply = events(context, request, streams);
                return reply.ok() ? std::move(reply).value() : failed(reply.failure());
              }});
}

}  // namespace bight::service
