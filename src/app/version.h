#pragma once

namespace bight::app {

inline constexpr const char* kVersion = "0.1.0";

}  // namespace bight::app
