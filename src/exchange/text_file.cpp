#include "exchange/text_file.h"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>

namespace bight::exchange {

using base::Failure;

base::Result<std::string> read_text_file(const std::string& path, std::size_t largest_bytes) {
  std::error_code error;
  const std::filesystem::file_status status = std::filesystem::status(path, error);
  if (error || !std::filesystem::exists(status)) {
    return Failure{"file.missing", path, "there is no such file", "check the name and the folder"};
  }
  if (std::filesystem::is_directory(status)) {
    return Failure{"file.read", path, "this is a folder, not a file", "name a file in it"};
  }
  std::ifstream stream(path, std::ios::binary);
  if (!stream) return Failure{"file.read", path, "the file cannot be opened", "check its rights"};
  // Reading one byte too many tells a file that is too large, also one without a size.
  std::string text(largest_bytes + 1, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(stream.gcount()));
  if (text.size() > largest_bytes) {
    return Failure{"file.size", path,
                   fmt::format("the file is larger than {} KiB", largest_bytes / 1024),
                   "a part or shop file is a few kilobytes; is this the right one?"};
  }
  return text;
}

}  // namespace bight::exchange
