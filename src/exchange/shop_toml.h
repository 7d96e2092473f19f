// A shop as a folder of TOML files.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "workshop/shop.h"

namespace bight::exchange {

// The files of a shop folder. All but the first may be absent.
struct ShopTexts {
  std::string shop;      // shop.toml
  std::string benders;   // benders.toml
  std::string die_sets;  // die_sets.toml
  std::string trials;    // trials.toml
};

// Reads the four texts; `folder` names them in messages. docs/formats/shop.md describes the keys.
// Failure codes: those of toml_fields.h; shop.name-twice (two benders or die sets of one name),
// shop.value (a number no machine or die can have).
base::Result<workshop::Shop> read_shop(const ShopTexts& texts, const std::string& folder);

// Reads a shop folder. Failure codes: file.missing (no shop.toml in it), and those of read_shop.
base::Result<workshop::Shop> read_shop_folder(const std::string& folder);

}  // namespace bight::exchange
