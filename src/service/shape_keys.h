// The named shapes of part files with their keys, for forms.
#pragma once

#include <string_view>
#include <vector>

namespace bight::service {

struct ShapeKey {
  std::string_view key;
  std::string_view kind;  // "length", "angle", "whole", "number", "choice", "flag"
  bool required = true;
  std::string_view meaning;
  std::vector<std::string_view> choices = {};
};

struct ShapeForm {
  std::string_view name;  // as after shape =
  std::string_view title;
  std::vector<ShapeKey> keys;  // radius, which all have, first
};

const std::vector<ShapeForm>& shape_forms();

}  // namespace bight::service
