// A file of ours as a neutral document: what TOML and JSON both can say.
#pragma once

#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "base/result.h"

namespace bight::stock {
class Metals;
}

namespace bight::exchange {

// Where the names of metals are looked up; none: in the catalogue alone.
using KnownMetals = std::shared_ptr<const stock::Metals>;

// The keys in the order they were written. TOML's dates are texts.
struct Document {
  nlohmann::ordered_json value;
  // JSON pointer of each value to its line in the text; empty when it did not come from a text.
  std::map<std::string, int> lines;
  std::string name;  // as the user named the file; for messages
  KnownMetals metals = nullptr;
};

// More than the largest shop has.
inline constexpr std::size_t kMostKeysInATable = 1000;
inline constexpr std::size_t kMostValues = 200'000;

// Parses TOML 1.0. Failure codes: file.size (above kLargestTextFile_bytes, or more values than
// kMostValues, or more keys in a table than kMostKeysInATable), toml.syntax (with line and column),
// toml.empty (nothing in it).
base::Result<Document> parse_toml(std::string_view text, const std::string& name);

// A document that was never a text of its own. Complaints about it name key paths alone.
Document document_of(nlohmann::ordered_json value, std::string name, KnownMetals metals = nullptr);

// The JSON pointer (RFC 6901) of a member or an item below another.
std::string pointer_to(const std::string& parent, std::string_view key);
std::string pointer_to(const std::string& parent, std::size_t index);

}  // namespace bight::exchange
