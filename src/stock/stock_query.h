// What somebody typed to name a piece of stock, taken apart but not yet looked up.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/length.h"
#include "base/result.h"

namespace bight::stock {

// A wall by gauge number. Without a system ("16 ga") several are possible.
struct TypedGauge {
  std::string system;  // "BWG", "SWG" or empty
  std::string name;    // "16", "2/0"
};

// One size of a query. A bare number has two readings; with a unit, or as a fraction, one.
struct TypedSize {
  enum class Unit { kBare, kMillimetre, kInch };
  std::string text;  // as typed, "1-1/2"
  Unit unit = Unit::kBare;
  double millimetres_mm = 0.0;      // its length if a bare number means millimetres
  double inches_mm = 0.0;           // its length if a bare number means inches
  std::optional<int> whole;         // digits only, as in "DN 40" or "EMT 21"
  std::optional<TypedGauge> gauge;  // then the lengths are 0
};

struct StockQuery {
  // What kind of thing was said to be meant.
  bool pipe = false;
  bool tube = false;
  bool conduit = false;
  bool hollow = false;  // hollow section, box
  bool round = false;
  bool square = false;
  bool rectangular = false;
  bool bar = false;
  bool flat = false;
  bool angle = false;    // L: legs and thickness
  bool channel = false;  // U or C: depth, flange, thickness
  bool copper = false;
  bool steel = false;  // any steel: not copper
  bool hydraulic = false;
  bool nps = false;              // the first size is a pipe's name
  std::optional<int> dn;         // DN 40
  std::string standard;          // "EN 10219-2", "ASME B36.10M"; a part number may be missing
  std::string schedule;          // "40", "10S", "STD"
  std::string series;            // "light", "medium", "heavy"
  std::string type;              // copper: "K" ... "R290", "any"
  std::string conduit_kind;      // "EMT", "RMC", "IMC"
  std::vector<TypedSize> sizes;  // in the order typed
};

// Takes a query apart: "1-1/2 sch 40 pipe", "DN 40 sch 10S", "38.1 x 16 BWG", "22x1 copper",
// "1x1x.065", "3/4 EMT", "bar 20", "L 50x50x5", "U 100x50x6". Sizes are separated by x; capitals
// and spaces do not matter.
//
// Failure codes: stock.query (nothing there, longer than 120 bytes, a character that means
// nothing, two words that exclude each other, or two sizes with no x between), stock.word (a word
// that is not known here), stock.size (a size, gauge, DN or schedule that cannot be read).
base::Result<StockQuery> read_stock_query(std::string_view text,
                                          const base::LengthRules& rules = {});

}  // namespace bight::stock
