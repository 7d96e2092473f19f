// Files that travel inside the program (catalogues, the demo shop, fonts' names).
#pragma once

#include <span>
#include <string_view>

namespace bight::embedded {

struct File {
  std::string_view name;  // file name without folder
  std::string_view text;
};

}  // namespace bight::embedded
