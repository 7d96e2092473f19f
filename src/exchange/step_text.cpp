#include "exchange/step_text.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cstdint>

namespace bight::exchange {

using geometry::Vec3;

namespace {

// One character of UTF-8 from the front of the text, or '?' for a byte that starts none.
std::uint32_t take_character(std::string_view& text) {
  const auto first = static_cast<unsigned char>(text.front());
  const std::size_t length = first < 0x80             ? 1
                             : (first & 0xE0) == 0xC0 ? 2
                             : (first & 0xF0) == 0xE0 ? 3
                             : (first & 0xF8) == 0xF0 ? 4
                                                      : 0;
  if (length == 0 || length > text.size()) {
    text.remove_prefix(1);
    return '?';
  }
  std::uint32_t value = length == 1 ? first : first & (0x7FU >> length);
  for (std::size_t i = 1; i < length; ++i) {
    const auto next = static_cast<unsigned char>(text[i]);
    if ((next & 0xC0) != 0x80) {
      text.remove_prefix(1);
      return '?';
    }
    value = (value << 6U) | (next & 0x3FU);
  }
  text.remove_prefix(length);
  return value;
}

}  // namespace

std::string step_real(double value) {
  if (value == 0.0) return "0.";  // also for -0
  std::array<char, 40> buffer;
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  std::string text(buffer.data(), end);
  const std::size_t exponent = text.find('e');
  std::string mantissa = text.substr(0, exponent);
  if (mantissa.find('.') == std::string::npos) mantissa += '.';
  return exponent == std::string::npos ? mantissa : mantissa + 'E' + text.substr(exponent + 1);
}

std::string step_string(std::string_view utf8) {
  std::string text = "'";
  while (!utf8.empty()) {
    const std::uint32_t character = take_character(utf8);
    if (character < 0x20 || character == 0x7F) continue;
    if (character == '\'' || character == '\\') text += static_cast<char>(character);
    if (character < 0x7F) {
      text += static_cast<char>(character);
    } else if (character < 0x10000) {
      text += fmt::format("\\X2\\{:04X}\\X0\\", character);
    } else {
      text += fmt::format("\\X4\\{:08X}\\X0\\", character);
    }
  }
  return text + "'";
}

std::string step_list(const std::vector<StepName>& names) {
  return fmt::format("({})", fmt::join(names, ","));
}

StepName StepText::add(const std::string& instance) {
  StepName name = fmt::format("#{}", ++count_);
  data_ += name + "=" + instance + ";\n";
  return name;
}

std::string StepText::length(double value_mm) const { return step_real(value_mm / unit_mm_); }

StepName StepText::point(const Vec3& p_mm) {
  return add(fmt::format("CARTESIAN_POINT('',({},{},{}))", length(p_mm.x()), length(p_mm.y()),
                         length(p_mm.z())));
}

StepName StepText::direction(const Vec3& unit) {
  return add(fmt::format("DIRECTION('',({},{},{}))", step_real(unit.x()), step_real(unit.y()),
                         step_real(unit.z())));
}

StepName StepText::placement(const Vec3& origin_mm, const Vec3& axis, const Vec3& reference) {
  const StepName origin = point(origin_mm);
  const StepName z = direction(axis);
  const StepName x = direction(reference);
  return add(fmt::format("AXIS2_PLACEMENT_3D('',{},{},{})", origin, z, x));
}

StepName StepText::line(const Vec3& from_mm, const Vec3& along) {
  const StepName from = point(from_mm);
  const StepName towards = direction(along);
  const StepName vector = add(fmt::format("VECTOR('',{},1.)", towards));
  return add(fmt::format("LINE('',{},{})", from, vector));
}

StepName StepText::circle(const Vec3& centre_mm, const Vec3& axis, const Vec3& reference,
                          double radius_mm) {
  const StepName place = placement(centre_mm, axis, reference);
  return add(fmt::format("CIRCLE('',{},{})", place, length(radius_mm)));
}

}  // namespace bight::exchange
