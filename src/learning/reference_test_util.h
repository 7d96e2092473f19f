// Reading data/reference in tests, and counting digits that agree.
#pragma once

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <string_view>

#include "base/csv.h"

namespace bight::reference {

inline base::CsvTable table(const std::string& path) {
  std::ifstream stream(std::string(BIGHT_SOURCE_DIR) + "/data/reference/" + path);
  std::stringstream text;
  text << stream.rdbuf();
  return *base::CsvTable::parse(text.str(), path);
}

// Decimal digits in which two numbers agree, at most 16 (the log relative error of NIST's StRD
// pages; absolute where the certified value is 0).
inline double digits(double got, double certified) {
  const double off = std::abs(got - certified) / (certified == 0.0 ? 1.0 : std::abs(certified));
  return off == 0.0 ? 16.0 : std::min(16.0, -std::log10(off));
}

}  // namespace bight::reference
