// Reading typed values out of a TOML table, with file, line and key in every complaint.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#define TOML_EXCEPTIONS 0
#include <toml++/toml.h>

#include "base/angle.h"
#include "base/length.h"
#include "base/result.h"

namespace bight::exchange {

// Where a table comes from and how its numbers are written.
struct TomlContext {
  std::string file;           // as the user named it
  base::LengthRules lengths;  // what a bare number means
};

// No file of ours is larger; a larger one is not ours.
inline constexpr std::size_t kLargestTextFile_bytes = 1u << 20;

// Parses TOML text. Failure codes: toml.size (above kLargestTextFile_bytes), toml.syntax (with
// line and column), toml.empty (nothing in it).
base::Result<toml::table> parse_toml(std::string_view text, const std::string& file);

// Reads a text file. Failure codes: file.missing, file.size, file.read.
base::Result<std::string> read_text_file(const std::string& path,
                                         std::size_t largest_bytes = kLargestTextFile_bytes);

// One table being read. The first thing wrong is kept; later reads still return something, so a
// reader runs straight through and asks status() once at the end.
// Failure codes: key.missing, key.type, key.unknown, key.value, and those of base/length.h and
// base/angle_text.h with the place added.
class TomlFields {
 public:
  // path is the dotted name of the table for messages, empty for the file itself.
  TomlFields(const toml::table& table, const TomlContext& context, std::string path);

  bool has(std::string_view key);
  std::optional<std::string> text(std::string_view key);
  std::optional<double> number(std::string_view key);
  std::optional<long> whole(std::string_view key);
  std::optional<bool> flag(std::string_view key);
  // A bare number in the file's unit, or text with a unit of its own.
  std::optional<double> length_mm(std::string_view key);
  // A bare number in degrees, or text.
  std::optional<base::Angle> angle(std::string_view key);
  std::optional<std::vector<std::string>> texts(std::string_view key);
  std::optional<std::vector<double>> lengths_mm(std::string_view key);
  // Plain finite numbers.
  std::optional<std::vector<double>> numbers(std::string_view key);
  // Rows of lengths, each of the given width.
  std::optional<std::vector<std::vector<double>>> length_rows_mm(std::string_view key,
                                                                 std::size_t width,
                                                                 std::size_t most_rows);
  // A table or an array of tables below this one.
  const toml::table* table(std::string_view key);
  const toml::array* tables(std::string_view key);
  // The index of the text among the words allowed.
  std::optional<std::size_t> choice(std::string_view key,
                                    const std::vector<std::string_view>& words);

  // As the optional readers, but absent is a failure; returns a harmless value then.
  std::string need_text(std::string_view key);
  double need_length_mm(std::string_view key);
  base::Angle need_angle(std::string_view key);

  // Complains about every key that was never asked for: a misspelt key must not be passed over.
  void no_others();
  // Adds a complaint about a key found wrong by the caller.
  void complain(std::string_view key, std::string code, std::string message, std::string remedy);
  // Takes over what a child table found wrong.
  void adopt(const TomlFields& child);

  base::Status status() const;
  std::string path_of(std::string_view key) const;
  const TomlContext& context() const { return context_; }
  // "file:line: key".
  std::string where(std::string_view key) const;

 private:
  const toml::node* node(std::string_view key);
  std::optional<double> length_of(const toml::node& value, std::string_view key);
  void wrong_type(std::string_view key, const toml::node& value, const char* wanted);
  void fail(base::Failure failure);

  const toml::table& table_;
  TomlContext context_;
  std::string path_;
  std::vector<std::string> asked_;
  std::optional<base::Failure> failure_;
};

}  // namespace bight::exchange
