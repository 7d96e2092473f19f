#include "exchange/document.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "exchange/text_file.h"
#include "exchange/toml_guard.h"
#include "exchange/utf8.h"

#define TOML_EXCEPTIONS 0
// The library asserts, before it looks, that a table's name starts well; the code behind the
// assertion then says in words that it does not. With NDEBUG it would assume it instead.
#ifdef NDEBUG
#error "build without NDEBUG: the TOML reader must meet bad input with a sentence"
#endif
#define TOML_ASSERT(expression) static_cast<void>(0)
#include <toml++/toml.h>

namespace bight::exchange {

using base::Failure;
using nlohmann::ordered_json;

namespace {

// Turns the library's tree into a document.
class Conversion {
 public:
  Conversion(const GuardedToml& guarded, Document& document)
      : guarded_(guarded), document_(document) {}

  ordered_json value_of(const toml::node& node, const std::string& pointer) {
    if (++num_values_ > kMostValues) too_large_ = true;
    if (node.is_table() || node.is_array()) {
      ++depth_;
      if (depth_ > kDeepestBrackets) too_deep_ = true;
      ordered_json out = node.is_table() ? object_of(*node.as_table(), pointer)
                                         : array_of(*node.as_array(), pointer);
      --depth_;
      return out;
    }
    if (const auto* text = node.as_string()) return unguarded(text->get(), guarded_.mark);
    if (const auto* number = node.as_integer()) return number->get();
    if (const auto* number = node.as_floating_point()) return number->get();
    if (const auto* flag = node.as_boolean()) return flag->get();
    std::ostringstream date;
    node.visit([&](const auto& value) {
      if constexpr (toml::is_chronological<decltype(value)>) date << value.get();
    });
    return date.str();
  }

  bool too_large() const { return too_large_; }
  bool too_deep() const { return too_deep_; }

 private:
  bool stopped() const { return too_large_ || too_deep_; }

  ordered_json object_of(const toml::table& table, const std::string& pointer) {
    ordered_json object = ordered_json::object();
    if (table.size() > kMostKeysInATable) too_large_ = true;
    if (stopped()) return object;
    // The library sorts keys by name; people read them in the order written.
    struct Member {
      const toml::key* key;
      const toml::node* node;
    };
    std::vector<Member> members;
    for (auto&& [key, node] : table) members.push_back({&key, &node});
    std::stable_sort(members.begin(), members.end(), [](const Member& a, const Member& b) {
      const toml::source_position p = a.key->source().begin;
      const toml::source_position q = b.key->source().begin;
      return p.line != q.line ? p.line < q.line : p.column < q.column;
    });
    for (const Member& member : members) {
      const std::string key = unguarded(member.key->str(), guarded_.mark);
      const std::string below = pointer_to(pointer, key);
      document_.lines[below] = static_cast<int>(member.key->source().begin.line);
      object[key] = value_of(*member.node, below);
    }
    return object;
  }

  ordered_json array_of(const toml::array& list, const std::string& pointer) {
    ordered_json array = ordered_json::array();
    for (std::size_t i = 0; i < list.size() && !stopped(); ++i) {
      const std::string below = pointer_to(pointer, i);
      document_.lines[below] = static_cast<int>(list[i].source().begin.line);
      array.push_back(value_of(list[i], below));
    }
    return array;
  }

  const GuardedToml& guarded_;
  Document& document_;
  std::size_t num_values_ = 0;
  int depth_ = 0;
  bool too_large_ = false;
  bool too_deep_ = false;
};

// Characters in the given line before the column, as the text was before it was guarded.
std::size_t true_column(const GuardedToml& guarded, std::size_t line, std::size_t column) {
  std::size_t start = 0;
  for (std::size_t i = 1; i < line && start != std::string::npos; ++i) {
    start = guarded.ascii.find('\n', start);
    if (start != std::string::npos) ++start;
  }
  if (start == std::string::npos || column == 0) return column;
  const std::string before =
      unguarded(std::string_view(guarded.ascii).substr(start, column - 1), guarded.mark);
  std::size_t num = 1;
  for (std::size_t at = 0; at < before.size(); ++num) {
    if (next_utf8(before, at) == kNoCharacter) return column;
  }
  return num;
}

}  // namespace

std::string pointer_to(const std::string& parent, std::string_view key) {
  std::string out = parent + '/';
  for (const char c : key) {
    if (c == '~') {
      out += "~0";
    } else if (c == '/') {
      out += "~1";
    } else {
      out += c;
    }
  }
  return out;
}

std::string pointer_to(const std::string& parent, std::size_t index) {
  return fmt::format("{}/{}", parent, index);
}

base::Result<Document> parse_toml(std::string_view text, const std::string& name) {
  if (text.size() > kLargestTextFile_bytes) {
    return Failure{"file.size", name, "the text is larger than 1 MiB", "is this the right file?"};
  }
  if (std::all_of(text.begin(), text.end(),
                  [](char c) { return c == ' ' || c == '\n' || c == '\r' || c == '\t'; })) {
    return Failure{"toml.empty", name, "the file is empty", "a part file starts with: schema = 1"};
  }
  BIGHT_TRY(const GuardedToml guarded, guard_toml(text, name));
  const toml::parse_result result = toml::parse(std::string_view(guarded.ascii), std::string(name));
  if (!result) {
    const toml::source_position at = result.error().source().begin;
    return Failure{"toml.syntax",
                   fmt::format("{}:{}:{}", name, at.line, true_column(guarded, at.line, at.column)),
                   unguarded(result.error().description(), guarded.mark),
                   "texts stand in double quotes, lists in square brackets, key = value"};
  }
  Document document;
  document.name = name;
  document.lines[""] = 1;
  Conversion conversion(guarded, document);
  document.value = conversion.value_of(result.table(), "");
  if (conversion.too_large()) {
    return Failure{"file.size", name, "the file holds more values than any part or shop",
                   "is this the right file?"};
  }
  if (conversion.too_deep()) {
    return Failure{"toml.syntax", name, "lists, tables or keys are nested too deep",
                   "is this the right file?"};
  }
  return document;
}

Document document_of(ordered_json value, std::string name, KnownMetals metals) {
  return {std::move(value), {}, std::move(name), std::move(metals)};
}

}  // namespace bight::exchange
