// A part written as the part file or part document that read_part reads.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "base/length.h"
#include "part/part.h"

namespace bight::exchange {

// The line is written as bends with the place of end A, whatever it was read from; lengths as
// numbers of the unit, where no number of inches gives the same millimetres as text in millimetres.
// Reading it gives the same part: every field equal, angles that no number of degrees gives to the
// last digit of a double. The tube is named by its designation where the catalogue answers with the
// same section, else by its dimensions. A certificate's K and n that were replaced because they
// contradict Rm are written as what replaced them.
nlohmann::ordered_json part_document(const part::Part& part,
                                     base::LengthUnit unit = base::LengthUnit::kMillimetre);

// The same as TOML text.
std::string part_toml(const part::Part& part,
                      base::LengthUnit unit = base::LengthUnit::kMillimetre);

}  // namespace bight::exchange
