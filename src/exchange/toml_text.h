// A document as TOML text.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

namespace bight::exchange {

// TOML 1.0 that parse_toml reads back as the same value, keys in the same order: plain keys first
// as far as the order allows, then a section for each table, rows of tables one a line. Without
// what TOML cannot hold: null members and items are left out. @pre an object, texts in UTF-8,
// nested no deeper than kDeepestBrackets (toml_guard.h).
std::string toml_text(const nlohmann::ordered_json& document);

}  // namespace bight::exchange
