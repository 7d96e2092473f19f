// DXF as its stream of groups: a code and a value, in text or binary, of any release since R12.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace bight::exchange {

// No drawing of ours is larger.
inline constexpr std::size_t kLargestDxf_bytes = std::size_t{64} << 20;

// One group. Which of the values counts follows from the code: 10 to 59 and the like are numbers,
// 60 to 79 and the like whole numbers, the rest text.
struct DxfGroup {
  int code = 0;
  std::string_view text;  // as written; empty for numbers out of a binary file
  double number = 0.0;    // of a number or whole number; not finite is never let through
  std::size_t line = 0;   // of a text file, from 1; byte offset in a binary one
};

// Hands out the groups one by one. The bytes must outlive it.
class DxfGroups {
 public:
  // Failure codes: dxf.empty, dxf.size, dxf.syntax (neither text nor binary DXF).
  static base::Result<DxfGroups> open(std::string_view bytes, const std::string& file);

  // The next group; false at the end. A group 0 EOF is an end, and so is the end of the bytes.
  // Failure codes: dxf.syntax (a code that is none, a number that is none), dxf.truncated (the
  // bytes end inside a group).
  base::Result<bool> next(DxfGroup& group);

  bool saw_end() const { return saw_end_; }  // group 0 EOF
  std::string where(const DxfGroup& group) const;

 private:
  enum class Form { kText, kBinary, kBinaryShortCodes };

  DxfGroups(std::string_view bytes, std::string file) : bytes_(bytes), file_(std::move(file)) {}
  base::Result<bool> next_text(DxfGroup& group);
  base::Result<bool> next_binary(DxfGroup& group);
  std::string_view take_line();
  base::Failure broken(std::size_t line, std::string message) const;
  base::Failure cut_off() const;

  std::string_view bytes_;
  std::string file_;
  Form form_ = Form::kText;
  std::size_t at_ = 0;
  std::size_t line_ = 0;
  bool saw_end_ = false;
};

}  // namespace bight::exchange
