#include "exchange/toml_fields.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "base/angle_text.h"
#include "exchange/exact_text.h"

namespace bight::exchange {

using base::Failure;

base::Result<std::string> read_text_file(const std::string& path, std::size_t largest_bytes) {
  std::error_code error;
  const std::filesystem::file_status status = std::filesystem::status(path, error);
  if (error || !std::filesystem::exists(status)) {
    return Failure{"file.missing", path, "there is no such file", "check the name and the folder"};
  }
  if (std::filesystem::is_directory(status)) {
    return Failure{"file.read", path, "this is a folder, not a file", "name a file in it"};
  }
  std::ifstream stream(path, std::ios::binary);
  if (!stream) return Failure{"file.read", path, "the file cannot be opened", "check its rights"};
  // Reading one byte too many tells a file that is too large, also one without a size.
  std::string text(largest_bytes + 1, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(stream.gcount()));
  if (text.size() > largest_bytes) {
    return Failure{"file.size", path,
                   fmt::format("the file is larger than {} KiB", largest_bytes / 1024),
                   "a part or shop file is a few kilobytes; is this the right one?"};
  }
  return text;
}

base::Result<toml::table> parse_toml(std::string_view text, const std::string& file) {
  if (text.size() > kLargestTextFile_bytes) {
    return Failure{"file.size", file, "the text is larger than 1 MiB", "is this the right file?"};
  }
  if (std::all_of(text.begin(), text.end(),
                  [](char c) { return c == ' ' || c == '\n' || c == '\r' || c == '\t'; })) {
    return Failure{"toml.empty", file, "the file is empty", "a part file starts with: schema = 1"};
  }
  toml::parse_result result = toml::parse(text, file);
  if (!result) {
    const toml::source_position at = result.error().source().begin;
    return Failure{"toml.syntax", fmt::format("{}:{}:{}", file, at.line, at.column),
                   std::string(result.error().description()),
                   "texts stand in double quotes, lists in square brackets, key = value"};
  }
  return std::move(result).table();
}

TomlFields::TomlFields(const toml::table& table, const TomlContext& context, std::string path)
    : table_(table), context_(context), path_(std::move(path)) {}

std::string TomlFields::path_of(std::string_view key) const {
  return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
}

std::string TomlFields::where(std::string_view key) const {
  const toml::node* found = table_.get(key);
  const toml::source_region& region = found != nullptr ? found->source() : table_.source();
  if (region.begin.line == 0) return fmt::format("{}: {}", context_.file, path_of(key));
  return fmt::format("{}:{}: {}", context_.file, region.begin.line, path_of(key));
}

void TomlFields::fail(Failure failure) {
  if (!failure_) failure_ = std::move(failure);
}

void TomlFields::complain(std::string_view key, std::string code, std::string message,
                          std::string remedy) {
  fail({std::move(code), where(key), std::move(message), std::move(remedy)});
}

void TomlFields::adopt(const TomlFields& child) {
  if (child.failure_) fail(*child.failure_);
}

base::Status TomlFields::status() const {
  if (failure_) return *failure_;
  return base::Done{};
}

const toml::node* TomlFields::node(std::string_view key) {
  asked_.emplace_back(key);
  return table_.get(key);
}

bool TomlFields::has(std::string_view key) { return node(key) != nullptr; }

void TomlFields::wrong_type(std::string_view key, const toml::node& value, const char* wanted) {
  const char* got = value.is_string()      ? "a text"
                    : value.is_number()    ? "a number"
                    : value.is_boolean()   ? "true or false"
                    : value.is_array()     ? "a list"
                    : value.is_table()     ? "a table"
                    : value.is_date_time() ? "a date"
                                           : "something else";
  complain(key, "key.type", fmt::format("this is {}", got), fmt::format("give {}", wanted));
}

std::optional<std::string> TomlFields::text(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  if (const toml::value<std::string>* text = value->as_string()) return text->get();
  wrong_type(key, *value, "a text in double quotes");
  return std::nullopt;
}

std::optional<double> TomlFields::number(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  const std::optional<double> number = value->is_number() ? value->value<double>() : std::nullopt;
  if (!number) {
    wrong_type(key, *value, "a number");
    return std::nullopt;
  }
  if (!std::isfinite(*number)) {
    complain(key, "key.value", "this is not a finite number", "give a plain number");
    return std::nullopt;
  }
  return number;
}

std::optional<long> TomlFields::whole(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  if (const toml::value<int64_t>* number = value->as_integer()) return number->get();
  wrong_type(key, *value, "a whole number");
  return std::nullopt;
}

std::optional<bool> TomlFields::flag(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  if (const toml::value<bool>* flag = value->as_boolean()) return flag->get();
  wrong_type(key, *value, "true or false");
  return std::nullopt;
}

std::optional<double> TomlFields::length_of(const toml::node& value, std::string_view key) {
  if (value.is_number()) {
    const double number = value.value<double>().value_or(std::nan(""));
    const double length_mm =
        context_.lengths.default_unit == base::LengthUnit::kInch && std::isfinite(number)
            ? from_inches_mm(number)
            : number;
    if (std::isfinite(length_mm) && std::abs(length_mm) <= base::kLongestLength_mm) {
      return length_mm;
    }
    complain(key, "length.range", "this is not a length any workshop has",
             "give a length in millimetres or inches");
    return std::nullopt;
  }
  if (const toml::value<std::string>* text = value.as_string()) {
    base::Result<double> length_mm = base::parse_length_mm(text->get(), context_.lengths);
    if (length_mm.ok()) return *length_mm;
    const Failure& why = length_mm.failure();
    complain(key, why.code, why.message, why.remedy);
    return std::nullopt;
  }
  wrong_type(key, value, "a length: a number, or a text such as \"1-1/2 in\"");
  return std::nullopt;
}

std::optional<double> TomlFields::length_mm(std::string_view key) {
  const toml::node* value = node(key);
  return value == nullptr ? std::nullopt : length_of(*value, key);
}

std::optional<base::Angle> TomlFields::angle(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  if (value->is_number()) {
    const double number = value->value<double>().value_or(std::nan(""));
    if (std::isfinite(number) && std::abs(number) <= base::kLargestAngle_deg) {
      return base::Angle::degrees(number);
    }
    complain(key, "angle.range", "this is not an angle", "give degrees");
    return std::nullopt;
  }
  if (const toml::value<std::string>* text = value->as_string()) {
    base::Result<base::Angle> angle = base::parse_angle(text->get(), context_.lengths.decimal_mark);
    if (angle.ok()) return *angle;
    complain(key, angle.failure().code, angle.failure().message, angle.failure().remedy);
    return std::nullopt;
  }
  wrong_type(key, *value, "an angle in degrees: a number, or a text such as \"67d30'\"");
  return std::nullopt;
}

std::optional<std::vector<std::string>> TomlFields::texts(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  const toml::array* list = value->as_array();
  std::vector<std::string> out;
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    const toml::value<std::string>* text = (*list)[i].as_string();
    if (text == nullptr) break;
    out.push_back(text->get());
  }
  if (list == nullptr || out.size() != list->size()) {
    wrong_type(key, *value, "a list of texts");
    return std::nullopt;
  }
  return out;
}

std::optional<std::vector<double>> TomlFields::lengths_mm(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  const toml::array* list = value->as_array();
  if (list == nullptr) {
    wrong_type(key, *value, "a list of lengths");
    return std::nullopt;
  }
  std::vector<double> out;
  for (const toml::node& item : *list) {
    const std::optional<double> length_mm = length_of(item, key);
    if (!length_mm) return std::nullopt;
    out.push_back(*length_mm);
  }
  return out;
}

std::optional<std::vector<double>> TomlFields::numbers(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  const toml::array* list = value->as_array();
  std::vector<double> out;
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    const toml::node& item = (*list)[i];
    const double number = item.is_number() ? item.value<double>().value_or(NAN) : NAN;
    if (!std::isfinite(number)) break;
    out.push_back(number);
  }
  if (list == nullptr || out.size() != list->size()) {
    wrong_type(key, *value, "a list of numbers");
    return std::nullopt;
  }
  return out;
}

std::optional<std::vector<std::vector<double>>> TomlFields::length_rows_mm(std::string_view key,
                                                                           std::size_t width,
                                                                           std::size_t most_rows) {
  const toml::node* value = node(key);
  if (value == nullptr) return std::nullopt;
  const toml::array* list = value->as_array();
  if (list == nullptr) {
    wrong_type(key, *value, fmt::format("a list of rows of {} lengths", width).c_str());
    return std::nullopt;
  }
  if (list->size() > most_rows) {
    complain(
        key, "key.value",
        fmt::format("{} rows are more than a bent part has (at most {})", list->size(), most_rows),
        "a traced curve must first be turned into straights and arcs");
    return std::nullopt;
  }
  std::vector<std::vector<double>> rows;
  for (std::size_t i = 0; i < list->size(); ++i) {
    const toml::array* row = (*list)[i].as_array();
    if (row == nullptr || row->size() != width) {
      complain(key, "key.value", fmt::format("row {} does not hold {} numbers", i + 1, width),
               width == 3 ? "give each corner as [x, y, z]" : "give each row complete");
      return std::nullopt;
    }
    std::vector<double> lengths;
    for (const toml::node& item : *row) {
      const std::optional<double> length_mm = length_of(item, key);
      if (!length_mm) return std::nullopt;
      lengths.push_back(*length_mm);
    }
    rows.push_back(std::move(lengths));
  }
  return rows;
}

const toml::table* TomlFields::table(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return nullptr;
  if (value->as_table() == nullptr) wrong_type(key, *value, "a table of keys");
  return value->as_table();
}

const toml::array* TomlFields::tables(std::string_view key) {
  const toml::node* value = node(key);
  if (value == nullptr) return nullptr;
  const toml::array* list = value->as_array();
  const bool all_tables =
      list != nullptr && std::all_of(list->begin(), list->end(),
                                     [](const toml::node& item) { return item.is_table(); });
  if (!all_tables) {
    wrong_type(key, *value, "a list of tables, each in curly or double square brackets");
    return nullptr;
  }
  return list;
}

std::optional<std::size_t> TomlFields::choice(std::string_view key,
                                              const std::vector<std::string_view>& words) {
  const std::optional<std::string> word = text(key);
  if (!word) return std::nullopt;
  const auto found = std::find(words.begin(), words.end(), *word);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  complain(key, "key.value", fmt::format("\"{}\" is not one of the words allowed here", *word),
           fmt::format("one of: {}", fmt::join(words, ", ")));
  return std::nullopt;
}

std::string TomlFields::need_text(std::string_view key) {
  if (!has(key)) complain(key, "key.missing", "this key is missing", "give it as a text");
  return text(key).value_or("");
}

double TomlFields::need_length_mm(std::string_view key) {
  if (!has(key)) complain(key, "key.missing", "this key is missing", "give it as a length");
  return length_mm(key).value_or(0.0);
}

base::Angle TomlFields::need_angle(std::string_view key) {
  if (!has(key)) complain(key, "key.missing", "this key is missing", "give it in degrees");
  return angle(key).value_or(base::Angle());
}

void TomlFields::no_others() {
  for (const auto& [key, value] : table_) {
    if (std::find(asked_.begin(), asked_.end(), key.str()) != asked_.end()) continue;
    std::vector<std::string> known = asked_;
    std::sort(known.begin(), known.end());
    known.erase(std::unique(known.begin(), known.end()), known.end());
    complain(key.str(), "key.unknown", "this key is not known here",
             fmt::format("one of: {}", fmt::join(known, ", ")));
  }
}

}  // namespace bight::exchange
