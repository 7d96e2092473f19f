#include "exchange/toml_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "base/number.h"

namespace bight::exchange {

using nlohmann::ordered_json;

namespace {

// A list of tables below a section reads better as rows in it.
constexpr std::size_t kDeepestDoubleSection = 1;
// Further down, the names of sections say more than their members.
constexpr std::size_t kDeepestSection = 4;

std::string in_quotes(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (byte < 0x20 || byte == 0x7F) {
      out += fmt::format("\\u{:04X}", byte);
    } else {
      out += c;
    }
  }
  return out + "\"";
}

std::string key_text(std::string_view key) {
  const bool bare = !key.empty() && std::all_of(key.begin(), key.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-';
  });
  return bare ? std::string(key) : in_quotes(key);
}

std::string number_text(const ordered_json& value) {
  const bool whole =
      value.is_number_integer() &&
      (!value.is_number_unsigned() || value.get<std::uint64_t>() <= std::uint64_t{INT64_MAX});
  if (whole) return std::to_string(value.get<std::int64_t>());
  const auto number = value.get<double>();
  if (std::isnan(number)) return "nan";
  if (std::isinf(number)) return number > 0.0 ? "inf" : "-inf";
  return base::print_number(number);
}

std::string inline_text(const ordered_json& value);

std::string inline_members(const ordered_json& object) {
  std::string out;
  for (const auto& [key, member] : object.items()) {
    if (member.is_null()) continue;
    out += (out.empty() ? " " : ", ") + key_text(key) + " = " + inline_text(member);
  }
  return out.empty() ? "{}" : "{" + out + " }";
}

std::string inline_items(const ordered_json& list) {
  std::string out;
  for (const ordered_json& item : list) {
    if (!item.is_null()) out += (out.empty() ? "" : ", ") + inline_text(item);
  }
  return "[" + out + "]";
}

// A value on one line.
std::string inline_text(const ordered_json& value) {
  if (value.is_object()) return inline_members(value);
  if (value.is_array()) return inline_items(value);
  if (value.is_string()) return in_quotes(value.get_ref<const std::string&>());
  if (value.is_boolean()) return value.get<bool>() ? "true" : "false";
  return number_text(value);
}

bool holds_tables(const ordered_json& value) {
  return value.is_array() && !value.empty() &&
         std::all_of(value.begin(), value.end(),
                     [](const ordered_json& item) { return item.is_object(); });
}

// A value after its key: a list of tables takes a line for each.
std::string value_text(const ordered_json& value) {
  if (!holds_tables(value)) return inline_text(value);
  std::string out = "[\n";
  for (const ordered_json& item : value) out += "  " + inline_text(item) + ",\n";
  return out + "]";
}

bool can_be_section(const ordered_json& value, std::size_t depth) {
  return (value.is_object() && depth < kDeepestSection) ||
         (holds_tables(value) && depth < kDeepestDoubleSection);
}

// Writes the members of a table whose header has been written. Plain keys cannot follow a section,
// so only the tables after the last plain key become sections.
void write_members(std::string& out, const ordered_json& object, const std::string& path,
                   std::size_t depth) {
  std::size_t first_section = 0, index = 0;
  for (const auto& [key, member] : object.items()) {
    ++index;
    if (!member.is_null() && !can_be_section(member, depth)) first_section = index;
  }
  index = 0;
  for (const auto& [key, member] : object.items()) {
    if (index++ < first_section) {
      if (!member.is_null()) out += key_text(key) + " = " + value_text(member) + "\n";
      continue;
    }
    const std::string name = path.empty() ? key_text(key) : path + "." + key_text(key);
    if (member.is_object()) {
      out += fmt::format("{}[{}]\n", out.empty() || depth > 0 ? "" : "\n", name);
      write_members(out, member, name, depth + 1);
    } else if (!member.is_null()) {
      for (const ordered_json& item : member) {
        out += fmt::format("{}[[{}]]\n", out.empty() ? "" : "\n", name);
        write_members(out, item, name, depth + 1);
      }
    }
  }
}

}  // namespace

std::string toml_text(const ordered_json& document) {
  BIGHT_CHECK(document.is_object());
  std::string out;
  write_members(out, document, "", 0);
  return out;
}

}  // namespace bight::exchange
