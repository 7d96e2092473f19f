// Reading typed values out of a document, with the place of everything that is wrong.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/angle.h"
#include "base/length.h"
#include "base/result.h"
#include "exchange/document.h"
#include "stock/metals.h"

namespace bight::exchange {

// One table of a document being read. The first thing wrong is kept; later reads still return
// something, so a reader runs straight through and asks status() once at the end.
// Where something is wrong is said as "file:line: line.corners[3][2]" for a document from a text,
// where people count from one, and as the key path alone, "line.corners[2][1]", counted from zero,
// for any other.
// Failure codes: key.missing, key.type, key.unknown, key.value, and those of base/length.h,
// base/angle_text.h and base/stress_text.h with the place added.
class Fields {
 public:
  // The document's own table. The document must outlive the fields.
  explicit Fields(const Document& document, base::LengthRules lengths = {});

  bool has(std::string_view key);
  std::optional<std::string> text(std::string_view key);
  std::optional<double> number(std::string_view key);
  std::optional<long> whole(std::string_view key);
  std::optional<bool> flag(std::string_view key);
  // A bare number in the file's unit, or text with a unit of its own.
  std::optional<double> length_mm(std::string_view key);
  // A bare number in degrees, or text.
  std::optional<base::Angle> angle(std::string_view key);
  std::optional<std::vector<base::Angle>> angles(std::string_view key);
  std::optional<std::vector<std::string>> texts(std::string_view key);
  std::optional<std::vector<double>> lengths_mm(std::string_view key);
  // Plain finite numbers.
  std::optional<std::vector<double>> numbers(std::string_view key);
  // Rows of lengths, each of the given width.
  std::optional<std::vector<std::vector<double>>> length_rows_mm(std::string_view key,
                                                                 std::size_t width,
                                                                 std::size_t most_rows);
  // The table below this one, or the tables in a list; none when absent or wrong.
  std::optional<Fields> table(std::string_view key);
  std::vector<Fields> tables(std::string_view key);
  // A strength in MPa: a number that counts `bare_mpa` each, or a text with a unit of its own.
  std::optional<double> stress_mpa(std::string_view key, double bare_mpa = 1.0);
  // How many items the list has; 0 when it is none.
  std::size_t count(std::string_view key);
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
  void adopt(const Fields& child);

  // The metal of this name among those that the document is read with.
  // Failure codes: those of stock::find_metal.
  base::Result<stock::MetalAnswer> find_metal(std::string_view name) const;

  base::Status status() const;
  // The place of a key, and of the table itself.
  std::string where(std::string_view key) const;
  std::string where() const;
  const base::LengthRules& lengths() const { return lengths_; }
  void set_lengths(const base::LengthRules& lengths) { lengths_ = lengths; }

 private:
  using Json = nlohmann::ordered_json;
  Fields(const Document& document, base::LengthRules lengths, const Json& table,
         std::string pointer);

  const Json* find(std::string_view key);
  std::string path_text(const std::string& pointer) const;
  std::string place(const std::string& pointer) const;
  std::optional<double> number_of(const Json& value, const std::string& pointer);
  std::optional<double> length_of(const Json& value, const std::string& pointer);
  std::optional<base::Angle> angle_of(const Json& value, const std::string& pointer);
  std::optional<std::vector<double>> lengths_of(const Json& list, const std::string& pointer);
  void wrong_type(const std::string& pointer, const Json& value, const std::string& wanted);
  void fail(const std::string& pointer, std::string code, std::string message, std::string remedy);

  const Document* document_;
  base::LengthRules lengths_;
  const Json* table_;
  std::string pointer_;
  std::vector<std::string> asked_;
  std::optional<base::Failure> failure_;
};

// The keys that say how a file is written: schema, which must be 1, units and decimal_mark. Sets
// the fields' lengths. Failure codes: those of Fields, and `schema_code` for a newer schema.
base::Status read_rules(Fields& top, const char* schema_code);

}  // namespace bight::exchange
