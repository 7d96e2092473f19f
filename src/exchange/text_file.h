// Reading a whole text file.
#pragma once

#include <string>

#include "base/result.h"

namespace bight::exchange {

// No file of ours is larger; a larger one is not ours.
inline constexpr std::size_t kLargestTextFile_bytes = 1u << 20;

// Reads a text file. Failure codes: file.missing, file.size, file.read.
base::Result<std::string> read_text_file(const std::string& path,
                                         std::size_t largest_bytes = kLargestTextFile_bytes);

}  // namespace bight::exchange
