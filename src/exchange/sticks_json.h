// Tube in the rack, as a document; and what is cut from it and what bought, as JSON.
// docs/formats/sticks.md describes both.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "exchange/document.h"
#include "exchange/fields.h"
#include "exchange/part_tube.h"
#include "planning/sticks.h"

namespace bight::exchange {

struct RackTube {
  Tube tube;
  std::optional<double> length_mm;  // of one stick; none: not said
  int sticks = 1;
  std::string place;  // "rack 3"
};

// Failure codes: those of fields.h and read_tube, shop.schema (a newer schema), shop.value (a
// length or number no rack can have).
base::Result<RackTube> read_rack_tube(const Document& document);
// One entry of a list, its rules read already.
base::Result<RackTube> read_rack_tube(Fields& f);

// The [[tube]] entries of a text like stock.toml; `file` names it in messages. An empty text has
// none.
base::Result<std::vector<RackTube>> read_rack(const std::string& text, const std::string& file,
                                              KnownMetals metals = nullptr);

// The same size and metal, whichever way a rectangle is to be bent.
bool same_stock(const Tube& a, const Tube& b);

// Lengths in mm.
nlohmann::ordered_json sticks_json(const planning::SticksRequest& request,
                                   const planning::SticksPlan& plan);

}  // namespace bight::exchange
