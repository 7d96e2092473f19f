// Numbers as bytes, lowest first, on every machine.
#pragma once

#include <bit>
#include <cstdint>
#include <string>

namespace bight::exchange {

inline void append_u32(std::string& out, std::uint32_t value) {
  for (int i = 0; i < 4; ++i) out += static_cast<char>((value >> (8 * i)) & 0xFF);
}

inline void append_f32(std::string& out, float value) {
  append_u32(out, std::bit_cast<std::uint32_t>(value));
}

}  // namespace bight::exchange
