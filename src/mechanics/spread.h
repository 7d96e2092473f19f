// A prediction that admits its width: low, likely, high, and why it is that wide.
#pragma once

#include <string>

namespace bight::mechanics {

// A dimensionless prediction (a strain, an ovality). low_ratio <= likely_ratio <= high_ratio.
struct RatioSpread {
  double low_ratio = 0.0;
  double likely_ratio = 0.0;
  double high_ratio = 0.0;
  std::string reason;  // a sentence: what makes it this wide
};

// A predicted length. low_mm <= likely_mm <= high_mm.
struct LengthSpread {
  double low_mm = 0.0;
  double likely_mm = 0.0;
  double high_mm = 0.0;
  std::string reason;
};

}  // namespace bight::mechanics
