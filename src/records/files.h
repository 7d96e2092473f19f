// Files that appear whole or not at all.
#pragma once

#include <filesystem>
#include <string>

#include "base/result.h"

namespace bight::records {

// The name a file is written under until it is whole: beside `path`, on the same disk.
std::filesystem::path unfinished(const std::filesystem::path& path);

// Brings unfinished(path) safely onto the disk and gives it its name, in place of a file of that
// name. `code` is the failure's code.
base::Status finish_file(const std::filesystem::path& path, const std::string& code);

// The same, for bytes at hand.
base::Status write_whole(const std::filesystem::path& path, const std::string& bytes,
                         const std::string& code);

// Removes a file if it is there; failing does not matter to the caller.
void discard(const std::filesystem::path& path);

}  // namespace bight::records
