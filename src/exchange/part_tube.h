// The [tube] table of a part file: what the part is made from.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "exchange/fields.h"
#include "part/finding.h"
#include "stock/material.h"
#include "stock/section.h"

namespace bight::exchange {

struct Tube {
  std::string text;  // designation as the catalogue names it
  stock::Section section;
  stock::Material material;
  bool welded = true;
  std::vector<part::Finding> findings;  // what the catalogue had to say
};

// The size alone of a [tube] table: its designation and section. Nothing else may stand in it.
struct TubeSize {
  std::string text;
  stock::Section section;
  std::vector<part::Finding> findings;
};
base::Result<TubeSize> read_tube_size(Fields f);

// Reads the fields of [tube]. Failure codes: those of fields.h, stock and part.tube.
base::Result<Tube> read_tube(Fields f);

}  // namespace bight::exchange
