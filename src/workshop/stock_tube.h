// What lies in the rack.
#pragma once

#include <optional>
#include <string>

#include "stock/section.h"

namespace bight::workshop {

// Tube, bar or section that lies in the rack.
struct StockTube {
  std::string size;         // as people name it
  std::string designation;  // the same as the catalogue names it, whatever unit was meant
  std::optional<stock::Section> section;  // none where the size was not read
  std::string material;                   // as the catalogue names it
  std::string heat;
  std::optional<double> length_mm;  // of a stick
  std::optional<long> pieces;
  std::string place;
  std::string note;

  friend bool operator==(const StockTube&, const StockTube&) = default;
};

}  // namespace bight::workshop
