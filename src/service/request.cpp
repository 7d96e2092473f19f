#include "service/request.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <nlohmann/json.hpp>
#include <regex>

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

// A document of 64 levels within a request of two, and some.
constexpr int kDeepest = 80;

// Brackets outside texts never nest deeper than allowed. Broken texts are left to the parser.
bool shallow(std::string_view text) {
  int depth = 0;
  bool in_text = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (in_text) {
      if (c == '\\') ++i;
      if (c == '"') in_text = false;
    } else if (c == '"') {
      in_text = true;
    } else if (c == '[' || c == '{') {
      if (++depth > kDeepest) return false;
    } else if (c == ']' || c == '}') {
      --depth;
    }
  }
  return true;
}

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

std::string dump(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace

std::string Request::header(const std::string& name) const {
  const auto found = headers.find(name);
  return found == headers.end() ? "" : found->second;
}

std::optional<std::string> Request::asked(const std::string& key) const {
  const auto found = query.find(key);
  if (found == query.end()) return std::nullopt;
  return found->second;
}

Reply json_reply(const Json& json, int status) {
  Reply reply;
  reply.status = status;
  reply.body = dump(json);
  return reply;
}

Reply bytes_reply(std::string bytes, std::string type) {
  Reply reply;
  reply.type = std::move(type);
  reply.body = std::move(bytes);
  return reply;
}

int status_of(std::string_view code) {
  static const std::map<std::string_view, int> kStatus = {
      {"request.json", 400},        {"request.object", 400},   {"request.query", 400},
      {"request.header", 400},      {"request.route", 404},    {"request.method", 405},
      {"request.size", 413},        {"request.host", 421},     {"request.origin", 403},
      {"request.by", 403},          {"request.match", 428},    {"request.busy", 503},
      {"request.stopping", 503},    {"request.broken", 500},   {"session.needed", 401},
      {"session.pass", 401},        {"session.limit", 429},    {"job.none", 404},
      {"record.none", 404},         {"record.kind", 404},      {"record.id", 404},
      {"record.conflict", 412},     {"record.withdrawn", 409}, {"record.key", 409},
      {"blob.none", 404},           {"blob.id", 404},          {"blob.size", 413},
      {"record.undo", 409},         {"store.busy", 503},       {"store.full", 507},
      {"store.read-only", 503},     {"store.damaged", 500},    {"store.lost", 503},
      {"store.failed", 500},        {"blob.damaged", 500},     {"papers.drawing", 500},
      {"plan.unknown-bender", 422}, {"plan.unknown-die", 422}, {"sandbox.time", 504}};
  const auto found = kStatus.find(code);
  return found == kStatus.end() ? 422 : found->second;
}

Json complaint_json(const Failure& failure) {
  static const std::regex kRow(
      R"(^((?:line|measured)\.(?:bends|corners)), (?:bend|corner) (\d+)$)");
  std::string where = failure.where;
  std::smatch match;
  if (std::regex_match(where, match, kRow)) {
    where = fmt::format("{}[{}]", match[1].str(),
                        std::strtoul(match[2].str().c_str(), nullptr, 10) - 1);
  }
  return {{"code", failure.code},
          {"where", where},
          {"message", failure.message},
          {"remedy", failure.remedy}};
}

Json complaints_json(const std::vector<Failure>& failures) {
  Json list = Json::array();
  for (const Failure& failure : failures) list.push_back(complaint_json(failure));
  return list;
}

Reply failed(const Failure& failure) { return failed(failure, status_of(failure.code)); }

Reply failed(const Failure& failure, int status) {
  return json_reply({{"error", complaint_json(failure)}}, status);
}

Reply failed(const std::vector<Failure>& failures, int status) {
  return json_reply(
      {{"error", complaint_json(failures.front())}, {"errors", complaints_json(failures)}}, status);
}

Result<exchange::Document> read_body(const Request& request) {
  if (request.body.empty()) return exchange::document_of(Json::object(), "");
  if (!shallow(request.body)) {
    return Failure{"request.json", "", "the body is nested too deeply", ""};
  }
  Json json = Json::parse(request.body, nullptr, false);
  if (json.is_discarded()) {
    return Failure{"request.json", "", "the body is not JSON in UTF-8", "send one JSON object"};
  }
  if (!json.is_object()) {
    return Failure{"request.object", "", "the body is not a JSON object", "send one JSON object"};
  }
  return exchange::document_of(std::move(json), "");
}

Result<Beside> keys_beside(const Request& request, const std::vector<std::string>& keys) {
  BIGHT_TRY(exchange::Document body, read_body(request));
  Json apart = Json::object();
  for (const std::string& key : keys) {
    const auto found = body.value.find(key);
    if (found == body.value.end()) continue;
    apart[key] = std::move(*found);
    body.value.erase(found);
  }
  Request rest = request;
  rest.body = dump(body.value);
  return Beside{exchange::document_of(std::move(apart), ""), std::move(rest)};
}

Result<long> asked_whole(const Request& request, const std::string& key, long otherwise, long least,
                         long most) {
  const std::optional<std::string> text = request.asked(key);
  if (!text) return otherwise;
  long value = 0;
  const auto read = std::from_chars(text->data(), text->data() + text->size(), value);
  if (read.ec != std::errc() || read.ptr != text->data() + text->size() || value < least ||
      value > most) {
    return Failure{"request.query", key, fmt::format("\"{}\" is out of range", *text),
                   fmt::format("a whole number from {} to {}", least, most)};
  }
  return value;
}

Result<std::string> asked_word(const Request& request, const std::string& key,
                               const std::vector<std::string>& words) {
  const std::optional<std::string> text = request.asked(key);
  if (!text) return words.front();
  if (std::find(words.begin(), words.end(), *text) != words.end()) return *text;
  return Failure{"request.query", key, fmt::format("\"{}\" is not known here", *text),
                 fmt::format("one of: {}", fmt::join(words, ", "))};
}

base::Status only_asked(const Request& request, const std::vector<std::string>& keys) {
  for (const auto& [key, value] : request.query) {
    if (std::find(keys.begin(), keys.end(), key) != keys.end()) continue;
    return Failure{"request.query", key, "nothing here reads this",
                   keys.empty() ? "leave it out" : fmt::format("known: {}", fmt::join(keys, ", "))};
  }
  return base::Done{};
}

Result<base::LengthStyle> style_of(const std::string& units, base::LengthUnit own) {
  base::LengthStyle style;
  style.unit = own;
  if (units == "mm") style.unit = base::LengthUnit::kMillimetre;
  if (units.starts_with("in")) style.unit = base::LengthUnit::kInch;
  style.decimals = style.unit == base::LengthUnit::kInch ? 3 : 1;
  if (units.empty() || units == "mm" || units == "in") return style;
  if (units != "in/16" && units != "in/32" && units != "in/64") {
    return Failure{"request.units", "units", fmt::format("\"{}\" is no unit of lengths", units),
                   "one of: mm, in, in/16, in/32, in/64"};
  }
  style.form = base::LengthStyle::Form::kFraction;
  style.denominator = std::atoi(units.c_str() + 3);
  return style;
}

std::string decoded(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool escape = text[i] == '%' && i + 2 < text.size() && hex_digit(text[i + 1]) >= 0 &&
                        hex_digit(text[i + 2]) >= 0;
    if (!escape) {
      out += text[i];
      continue;
    }
    out += static_cast<char>(hex_digit(text[i + 1]) * 16 + hex_digit(text[i + 2]));
    i += 2;
  }
  return out;
}

}  // namespace bight::service
