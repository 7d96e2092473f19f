// Points as lines of numbers: XYZ, PTS, ASC, CSV.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "exchange/cloud.h"

namespace bight::exchange {

// One point a line: x, y, z, then anything. Numbers are parted by blanks, tabs, commas or
// semicolons; with semicolons a comma parts decimals. A first line may hold words (columns named x,
// y and z are then looked for), or the number of points; lines that start with # or // are
// comments. Every line holds as many numbers as the first.
// Failure codes: cloud.columns, cloud.number, cloud.comma, cloud.many, all with the line.
base::Result<Cloud> read_point_list(std::string_view text, const std::string& file);

// A number at the start of the text, moved past it; false when there is none. For the readers of
// text formats.
bool take_number(std::string_view& text, double& number);

}  // namespace bight::exchange
