// The bytes of a spreadsheet export or a paste as tidy UTF-8.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"

namespace bight::exchange {

// Which way the bytes spelt their characters.
enum class Encoding { kUtf8, kUtf16, kWindows1252 };

struct TidyText {
  std::string text;
  Encoding encoding = Encoding::kUtf8;
};

// UTF-8 with or without a byte order mark; UTF-16 with one; anything that is not UTF-8 is taken for
// Windows-1252. Line ends become LF; no-break, thin and figure spaces become spaces, typographic
// minus signs and dashes become -, characters of no width go.
// Failure codes: table.empty (nothing but white space), table.binary (zero bytes: no text).
base::Result<TidyText> tidy_text(std::string_view bytes, const std::string& file);

// Small letters without accents, everything but letters and digits a single space: "Länge [mm]"
// and "LANGE (mm)" both give "lange mm". The degree sign becomes "deg", inch marks "in", # "no".
std::string folded(std::string_view text);

}  // namespace bight::exchange
