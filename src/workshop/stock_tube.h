// What lies in the rack.
#pragma once

#include <optional>
#include <string>

namespace bight::workshop {

// Tube, bar or section that lies in the rack. Nothing is planned by it.
struct StockTube {
  std::string size;  // as people name it
  std::string material;
  std::string heat;
  std::optional<double> length_mm;  // of a stick
  std::optional<long> pieces;
  std::string place;
  std::string note;

  friend bool operator==(const StockTube&, const StockTube&) = default;
};

}  // namespace bight::workshop
