#include "exchange/fields.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/angle_text.h"
#include "base/stress_text.h"
#include "exchange/complaints.h"
#include "exchange/exact_text.h"

namespace bight::exchange {

using base::Failure;

namespace {

constexpr long kSchema = 1;

const nlohmann::ordered_json& empty_table() {
  static const nlohmann::ordered_json kEmpty = nlohmann::ordered_json::object();
  return kEmpty;
}

std::string unescaped(std::string_view token) {
  std::string out;
  for (std::size_t i = 0; i < token.size(); ++i) {
    if (token[i] == '~' && i + 1 < token.size()) {
      out += token[++i] == '0' ? '~' : '/';
    } else {
      out += token[i];
    }
  }
  return out;
}

// The item or member of that name; null when there is none.
const nlohmann::ordered_json* below(const nlohmann::ordered_json* value, const std::string& token) {
  if (value == nullptr) return nullptr;
  if (value->is_object()) {
    const auto found = value->find(token);
    return found == value->end() ? nullptr : &*found;
  }
  std::size_t index = 0;
  const auto read = std::from_chars(token.data(), token.data() + token.size(), index);
  const bool is_item = value->is_array() && read.ec == std::errc() && index < value->size();
  return is_item ? &(*value)[index] : nullptr;
}

}  // namespace

Fields::Fields(const Document& document, base::LengthRules lengths)
    : Fields(document, lengths, document.value.is_object() ? document.value : empty_table(), "") {
  if (!document.value.is_object()) wrong_type("", document.value, "a table of keys");
}

Fields::Fields(const Document& document, base::LengthRules lengths, const Json& table,
               std::string pointer)
    : document_(&document), lengths_(lengths), table_(&table), pointer_(std::move(pointer)) {}

std::string Fields::path_text(const std::string& pointer) const {
  const std::size_t first_index = document_->lines.empty() ? 0 : 1;
  std::string out;
  const Json* value = &document_->value;
  for (std::size_t at = 1; at <= pointer.size();) {
    const std::size_t end = std::min(pointer.find('/', at), pointer.size());
    const std::string token = unescaped(std::string_view(pointer).substr(at, end - at));
    if (value != nullptr && value->is_array()) {
      out += fmt::format("[{}]", std::strtoul(token.c_str(), nullptr, 10) + first_index);
    } else {
      out += (out.empty() ? "" : ".") + token;
    }
    value = below(value, token);
    at = end + 1;
  }
  return out;
}

std::string Fields::place(const std::string& pointer) const {
  const std::string path = path_text(pointer);
  if (document_->lines.empty()) return path.empty() ? document_->name : path;
  std::string known = pointer;
  while (!known.empty() && document_->lines.count(known) == 0) known.resize(known.rfind('/'));
  const std::string line = fmt::format("{}:{}", document_->name, document_->lines.at(known));
  return path.empty() ? line : line + ": " + path;
}

std::string Fields::where(std::string_view key) const { return place(pointer_to(pointer_, key)); }

std::string Fields::where() const { return place(pointer_); }

void Fields::fail(const std::string& pointer, std::string code, std::string message,
                  std::string remedy) {
  if (failure_ && Complaints::present() == nullptr) return;
  Failure failure{std::move(code), place(pointer), std::move(message), std::move(remedy)};
  if (Complaints::present() != nullptr) Complaints::present()->add(failure);
  if (!failure_) failure_ = std::move(failure);
}

void Fields::complain(std::string_view key, std::string code, std::string message,
                      std::string remedy) {
  fail(pointer_to(pointer_, key), std::move(code), std::move(message), std::move(remedy));
}

void Fields::adopt(const Fields& child) {
  if (!failure_) failure_ = child.failure_;
}

base::Status Fields::status() const {
  if (failure_) return *failure_;
  return base::Done{};
}

const nlohmann::ordered_json* Fields::find(std::string_view key) {
  asked_.emplace_back(key);
  return below(table_, asked_.back());
}

bool Fields::has(std::string_view key) { return find(key) != nullptr; }

void Fields::wrong_type(const std::string& pointer, const Json& value, const std::string& wanted) {
  const char* got = value.is_string()    ? "a text"
                    : value.is_number()  ? "a number"
                    : value.is_boolean() ? "true or false"
                    : value.is_array()   ? "a list"
                    : value.is_object()  ? "a table"
                                         : "nothing";
  fail(pointer, "key.type", fmt::format("this is {}", got), "give " + wanted);
}

std::optional<std::string> Fields::text(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  if (value->is_string()) return value->get<std::string>();
  wrong_type(pointer_to(pointer_, key), *value, "a text in double quotes");
  return std::nullopt;
}

std::optional<double> Fields::number_of(const Json& value, const std::string& pointer) {
  if (!value.is_number()) {
    wrong_type(pointer, value, "a number");
    return std::nullopt;
  }
  if (std::isfinite(value.get<double>())) return value.get<double>();
  fail(pointer, "key.value", "this is not a finite number", "give a plain number");
  return std::nullopt;
}

std::optional<double> Fields::number(std::string_view key) {
  const Json* value = find(key);
  return value == nullptr ? std::nullopt : number_of(*value, pointer_to(pointer_, key));
}

std::optional<long> Fields::whole(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  const bool fits =
      value->is_number_integer() &&
      (!value->is_number_unsigned() || value->get<std::uint64_t>() <= std::uint64_t{INT64_MAX});
  if (fits) return value->get<long>();
  wrong_type(pointer_to(pointer_, key), *value, "a whole number");
  return std::nullopt;
}

std::optional<bool> Fields::flag(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  if (value->is_boolean()) return value->get<bool>();
  wrong_type(pointer_to(pointer_, key), *value, "true or false");
  return std::nullopt;
}

std::optional<double> Fields::length_of(const Json& value, const std::string& pointer) {
  if (value.is_number()) {
    const double number = value.get<double>();
    const double length_mm =
        lengths_.default_unit == base::LengthUnit::kInch && std::isfinite(number)
            ? from_inches_mm(number)
            : number;
    if (std::isfinite(length_mm) && std::abs(length_mm) <= base::kLongestLength_mm) {
      return length_mm;
    }
    fail(pointer, "length.range", "this is not a length any workshop has",
         "give a length in millimetres or inches");
    return std::nullopt;
  }
  if (value.is_string()) {
    const base::Result<double> length_mm =
        base::parse_length_mm(value.get_ref<const std::string&>(), lengths_);
    if (length_mm.ok()) return *length_mm;
    const Failure& why = length_mm.failure();
    fail(pointer, why.code, why.message, why.remedy);
    return std::nullopt;
  }
  wrong_type(pointer, value, "a length: a number, or a text such as \"1-1/2 in\"");
  return std::nullopt;
}

std::optional<double> Fields::length_mm(std::string_view key) {
  const Json* value = find(key);
  return value == nullptr ? std::nullopt : length_of(*value, pointer_to(pointer_, key));
}

std::optional<double> Fields::stress_mpa(std::string_view key, double bare_mpa) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  const std::string pointer = pointer_to(pointer_, key);
  if (!value->is_string()) {
    const std::optional<double> number = number_of(*value, pointer);
    return number ? std::optional(*number * bare_mpa) : std::nullopt;
  }
  const base::Result<double> read =
      base::parse_stress_mpa(value->get_ref<const std::string&>(), bare_mpa, lengths_.decimal_mark);
  if (read.ok()) return *read;
  fail(pointer, read.failure().code, read.failure().message, read.failure().remedy);
  return std::nullopt;
}

base::Result<stock::MetalAnswer> Fields::find_metal(std::string_view name) const {
  if (document_->metals) return stock::find_metal(*document_->metals, name);
  BIGHT_TRY(const stock::Metals metals, stock::Metals::built_in());
  return stock::find_metal(metals, name);
}

std::optional<base::Angle> Fields::angle_of(const Json& value, const std::string& pointer) {
  if (value.is_number()) {
    const double number = value.get<double>();
    if (std::isfinite(number) && std::abs(number) <= base::kLargestAngle_deg) {
      return base::Angle::degrees(number);
    }
    fail(pointer, "angle.range", "this is not an angle", "give degrees");
    return std::nullopt;
  }
  if (value.is_string()) {
    const base::Result<base::Angle> angle =
        base::parse_angle(value.get_ref<const std::string&>(), lengths_.decimal_mark);
    if (angle.ok()) return *angle;
    fail(pointer, angle.failure().code, angle.failure().message, angle.failure().remedy);
    return std::nullopt;
  }
  wrong_type(pointer, value, "an angle in degrees: a number, or a text such as \"67d30'\"");
  return std::nullopt;
}

std::optional<base::Angle> Fields::angle(std::string_view key) {
  const Json* value = find(key);
  return value == nullptr ? std::nullopt : angle_of(*value, pointer_to(pointer_, key));
}

std::optional<std::vector<base::Angle>> Fields::angles(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  const std::string pointer = pointer_to(pointer_, key);
  if (!value->is_array()) {
    wrong_type(pointer, *value, "a list of angles");
    return std::nullopt;
  }
  std::vector<base::Angle> out;
  for (const Json& item : *value) {
    const std::optional<base::Angle> angle = angle_of(item, pointer_to(pointer, out.size()));
    if (!angle) return std::nullopt;
    out.push_back(*angle);
  }
  return out;
}

std::optional<std::vector<std::string>> Fields::texts(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  const std::string pointer = pointer_to(pointer_, key);
  if (!value->is_array()) {
    wrong_type(pointer, *value, "a list of texts");
    return std::nullopt;
  }
  std::vector<std::string> out;
  for (const Json& item : *value) {
    if (!item.is_string()) {
      wrong_type(pointer_to(pointer, out.size()), item, "a text in double quotes");
      return std::nullopt;
    }
    out.push_back(item.get<std::string>());
  }
  return out;
}

std::optional<std::vector<double>> Fields::lengths_of(const Json& list,
                                                      const std::string& pointer) {
  std::vector<double> out;
  for (const Json& item : list) {
    const std::optional<double> length_mm = length_of(item, pointer_to(pointer, out.size()));
    if (!length_mm) return std::nullopt;
    out.push_back(*length_mm);
  }
  return out;
}

std::optional<std::vector<double>> Fields::lengths_mm(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  if (value->is_array()) return lengths_of(*value, pointer_to(pointer_, key));
  wrong_type(pointer_to(pointer_, key), *value, "a list of lengths");
  return std::nullopt;
}

std::optional<std::vector<double>> Fields::numbers(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  const std::string pointer = pointer_to(pointer_, key);
  if (!value->is_array()) {
    wrong_type(pointer, *value, "a list of numbers");
    return std::nullopt;
  }
  std::vector<double> out;
  for (const Json& item : *value) {
    const std::optional<double> number = number_of(item, pointer_to(pointer, out.size()));
    if (!number) return std::nullopt;
    out.push_back(*number);
  }
  return out;
}

std::optional<std::vector<std::vector<double>>> Fields::length_rows_mm(std::string_view key,
                                                                       std::size_t width,
                                                                       std::size_t most_rows) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  const std::string pointer = pointer_to(pointer_, key);
  if (!value->is_array()) {
    wrong_type(pointer, *value, fmt::format("a list of rows of {} lengths", width));
    return std::nullopt;
  }
  if (value->size() > most_rows) {
    fail(
        pointer, "key.value",
        fmt::format("{} rows are more than this list takes (at most {})", value->size(), most_rows),
        "a traced curve must first be turned into straights and arcs");
    return std::nullopt;
  }
  std::vector<std::vector<double>> rows;
  for (const Json& row : *value) {
    const std::string at_row = pointer_to(pointer, rows.size());
    if (!row.is_array() || row.size() != width) {
      fail(at_row, "key.value", fmt::format("this row does not hold {} numbers", width),
           width == 2   ? "give each corner as [x, y]"
           : width == 3 ? "give each corner as [x, y, z]"
                        : "give each row complete");
      return std::nullopt;
    }
    std::optional<std::vector<double>> lengths = lengths_of(row, at_row);
    if (!lengths) return std::nullopt;
    rows.push_back(std::move(*lengths));
  }
  return rows;
}

std::optional<Fields> Fields::table(std::string_view key) {
  const Json* value = find(key);
  if (value == nullptr) return std::nullopt;
  const std::string pointer = pointer_to(pointer_, key);
  if (value->is_object()) return Fields(*document_, lengths_, *value, pointer);
  wrong_type(pointer, *value, "a table of keys");
  return std::nullopt;
}

std::vector<Fields> Fields::tables(std::string_view key) {
  std::vector<Fields> out;
  const Json* value = find(key);
  if (value == nullptr) return out;
  const std::string pointer = pointer_to(pointer_, key);
  const bool all_tables =
      value->is_array() &&
      std::all_of(value->begin(), value->end(), [](const Json& item) { return item.is_object(); });
  if (!all_tables) {
    wrong_type(pointer, *value, "a list of tables, each in curly or double square brackets");
    return out;
  }
  for (const Json& item : *value) {
    out.push_back(Fields(*document_, lengths_, item, pointer_to(pointer, out.size())));
  }
  return out;
}

std::size_t Fields::count(std::string_view key) {
  const Json* value = find(key);
  return value != nullptr && value->is_array() ? value->size() : 0;
}

std::optional<std::size_t> Fields::choice(std::string_view key,
                                          const std::vector<std::string_view>& words) {
  const std::optional<std::string> word = text(key);
  if (!word) return std::nullopt;
  const auto found = std::find(words.begin(), words.end(), *word);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  complain(key, "key.value", fmt::format("\"{}\" is not one of the words allowed here", *word),
           fmt::format("one of: {}", fmt::join(words, ", ")));
  return std::nullopt;
}

std::string Fields::need_text(std::string_view key) {
  if (!has(key)) complain(key, "key.missing", "this key is missing", "give it as a text");
  return text(key).value_or("");
}

double Fields::need_length_mm(std::string_view key) {
  if (!has(key)) complain(key, "key.missing", "this key is missing", "give it as a length");
  return length_mm(key).value_or(0.0);
}

base::Angle Fields::need_angle(std::string_view key) {
  if (!has(key)) complain(key, "key.missing", "this key is missing", "give it in degrees");
  return angle(key).value_or(base::Angle());
}

void Fields::no_others() {
  for (const auto& [key, value] : table_->items()) {
    if (std::find(asked_.begin(), asked_.end(), key) != asked_.end()) continue;
    std::vector<std::string> known = asked_;
    std::sort(known.begin(), known.end());
    known.erase(std::unique(known.begin(), known.end()), known.end());
    complain(key, "key.unknown", "this key is not known here",
             fmt::format("one of: {}", fmt::join(known, ", ")));
  }
}

base::Status read_rules(Fields& top, const char* schema_code) {
  const long schema = top.whole("schema").value_or(kSchema);
  if (schema != kSchema) {
    top.complain("schema", schema_code,
                 fmt::format("this file says schema {}, this program reads {}", schema, kSchema),
                 "use a newer Bight, or write the file for schema 1");
  }
  base::LengthRules lengths;
  if (top.choice("units", {"mm", "in"}).value_or(0) == 1) {
    lengths.default_unit = base::LengthUnit::kInch;
  }
  if (top.choice("decimal_mark", {"point", "comma"}).value_or(0) == 1) {
    lengths.decimal_mark = base::DecimalMark::kComma;
  }
  top.set_lengths(lengths);
  return top.status();
}

}  // namespace bight::exchange
