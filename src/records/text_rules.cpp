#include "records/text_rules.h"

#include <fmt/format.h>
#include <utf8proc.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "records/record.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Status;

Failure bad_document(std::string message) {
  return Failure{"record.document", "", std::move(message),
                 "A record's document is one JSON object in UTF-8."};
}

// The next character and how many bytes it takes; below zero: no UTF-8.
struct Character {
  utf8proc_int32_t code = -1;
  std::size_t bytes = 1;
};

Character next_character(std::string_view text) {
  Character out;
  const auto* bytes = reinterpret_cast<const utf8proc_uint8_t*>(text.data());
  const auto taken = utf8proc_iterate(bytes, static_cast<utf8proc_ssize_t>(text.size()), &out.code);
  if (taken > 0) out.bytes = static_cast<std::size_t>(taken);
  return out;
}

// C0 and C1 controls and delete.
bool is_control(utf8proc_int32_t code) { return code < 0x20 || (code >= 0x7f && code < 0xa0); }

}  // namespace

int nesting(std::string_view json) {
  int depth = 0;
  int deepest = 0;
  bool in_text = false;
  for (std::size_t i = 0; i < json.size(); ++i) {
    const char c = json[i];
    if (in_text) {
      if (c == '\\') ++i;
      if (c == '"') in_text = false;
    } else if (c == '"') {
      in_text = true;
    } else if (c == '{' || c == '[') {
      deepest = std::max(deepest, ++depth);
    } else if (c == '}' || c == ']') {
      --depth;
    }
  }
  return deepest;
}

Status check_document(std::string_view text) {
  if (text.size() > kLargestDocument) {
    return bad_document(
        fmt::format("The document has {} bytes; {} are the most.", text.size(), kLargestDocument));
  }
  if (nesting(text) > kDeepestDocument) {
    return bad_document(fmt::format("The document is nested more than {} deep.", kDeepestDocument));
  }
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos || text[first] != '{') {
    return bad_document("The document is not a JSON object.");
  }
  // The parser takes a zero byte for the end.
  if (text.find('\0') != std::string_view::npos || !nlohmann::json::accept(text)) {
    return bad_document("The document is not JSON.");
  }
  return Done{};
}

Status check_text(std::string_view what, std::string_view text, std::size_t longest) {
  if (text.size() > longest) {
    return Failure{"record.text", std::string(what),
                   fmt::format("The {} has {} bytes.", what, text.size()),
                   fmt::format("At most {} bytes.", longest)};
  }
  for (std::size_t i = 0; i < text.size();) {
    const Character character = next_character(text.substr(i));
    if (is_control(character.code)) {
      return Failure{"record.text", std::string(what),
                     fmt::format("The {} holds a character that is no text.", what),
                     "Letters, digits and marks in UTF-8, on one line."};
    }
    i += character.bytes;
  }
  return Done{};
}

std::string cleaned(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    const Character character = next_character(text.substr(i));
    if (is_control(character.code)) {
      out += ' ';
    } else {
      out += text.substr(i, character.bytes);
    }
    i += character.bytes;
  }
  return out;
}

}  // namespace bight::records
