#include "exchange/dxf_groups.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstring>

#include "base/typed_text.h"

namespace bight::exchange {

using base::Failure;
using base::Result;

namespace {

// What kind of value follows a group code (DXF reference, "Group code value types").
enum class Kind { kText, kNumber, kShort, kLong, kLongLong, kByte, kChunk };

struct Span {
  int first, last;
  Kind kind;
};

constexpr Span kKinds[] = {
    {0, 9, Kind::kText},         {10, 59, Kind::kNumber},   {60, 79, Kind::kShort},
    {90, 99, Kind::kLong},       {100, 109, Kind::kText},   {110, 149, Kind::kNumber},
    {160, 169, Kind::kLongLong}, {170, 179, Kind::kShort},  {210, 239, Kind::kNumber},
    {270, 289, Kind::kShort},    {290, 299, Kind::kByte},   {300, 309, Kind::kText},
    {310, 319, Kind::kChunk},    {320, 369, Kind::kText},   {370, 389, Kind::kShort},
    {390, 399, Kind::kText},     {400, 409, Kind::kShort},  {410, 419, Kind::kText},
    {420, 429, Kind::kLong},     {430, 439, Kind::kText},   {440, 459, Kind::kLong},
    {460, 469, Kind::kNumber},   {470, 481, Kind::kText},   {999, 1003, Kind::kText},
    {1004, 1004, Kind::kChunk},  {1005, 1009, Kind::kText}, {1010, 1059, Kind::kNumber},
    {1060, 1070, Kind::kShort},  {1071, 1071, Kind::kLong}};

Kind kind_of(int code) {
  for (const Span& span : kKinds) {
    if (code >= span.first && code <= span.last) return span.kind;
  }
  return Kind::kText;
}

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

// A plain finite number that is all of the text.
bool to_number(std::string_view text, double& value) {
  if (text.starts_with('+')) text.remove_prefix(1);
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc() && end == text.data() + text.size() && std::isfinite(value);
}

// A binary DXF begins with a fixed text of 22 bytes; this is its tail.
constexpr std::string_view kBinaryTail("Binary DXF\r\n\x1a\0", 14);
constexpr std::size_t kSentinel_bytes = 22;

}  // namespace

Result<DxfGroups> DxfGroups::open(std::string_view bytes, const std::string& file) {
  if (bytes.size() > kLargestDxf_bytes) {
    return Failure{"dxf.size", file,
                   fmt::format("the drawing is larger than {} MiB", kLargestDxf_bytes >> 20),
                   "save the centreline alone"};
  }
  DxfGroups groups(bytes, file);
  if (bytes.size() > kSentinel_bytes + 2 &&
      bytes.substr(kSentinel_bytes - kBinaryTail.size(), kBinaryTail.size()) == kBinaryTail) {
    // Group codes took one byte up to R12 and two after it; the first group is 0, "SECTION".
    groups.form_ = bytes[kSentinel_bytes + 1] == '\0' ? Form::kBinary : Form::kBinaryShortCodes;
    groups.at_ = kSentinel_bytes;
    return groups;
  }
  if (bytes.starts_with("\xEF\xBB\xBF")) groups.at_ = 3;
  if (bytes.find_first_not_of(" \t\r\n", groups.at_) == std::string_view::npos) {
    return Failure{"dxf.empty", file, "there is nothing in it", "export the drawing again"};
  }
  return groups;
}

std::string DxfGroups::where(const DxfGroup& group) const {
  return form_ == Form::kText ? fmt::format("{}:{}", file_, group.line)
                              : fmt::format("{}, byte {}", file_, group.line);
}

Failure DxfGroups::broken(std::size_t line, std::string message) const {
  DxfGroup group;
  group.line = line;
  return {"dxf.syntax", where(group), std::move(message),
          "export the drawing again as DXF; DWG and others are not read"};
}

Failure DxfGroups::cut_off() const {
  return {"dxf.truncated", file_, "the drawing ends in the middle of a group",
          "it was not copied to its end; export it again"};
}

Result<bool> DxfGroups::next(DxfGroup& group) {
  if (saw_end_) return false;
  group = DxfGroup();
  Result<bool> more = form_ == Form::kText ? next_text(group) : next_binary(group);
  if (more.ok() && *more && group.code == 0 && group.text == "EOF") {
    saw_end_ = true;
    return false;
  }
  return more;
}

std::string_view DxfGroups::take_line() {
  const std::size_t end = std::min(bytes_.find('\n', at_), bytes_.size());
  const std::string_view line = bytes_.substr(at_, end - at_);
  at_ = end + 1;
  ++line_;
  return trimmed(line);
}

Result<bool> DxfGroups::next_text(DxfGroup& group) {
  if (at_ >= bytes_.size()) return false;
  const std::string_view code = take_line();
  const std::size_t line = line_;
  // A last empty line is no group.
  if (code.empty() && at_ >= bytes_.size()) return false;
  const auto [end, error] = std::from_chars(code.data(), code.data() + code.size(), group.code);
  if (error != std::errc() || end != code.data() + code.size()) {
    return broken(line, fmt::format("{} stands where a group code should", base::as_typed(code)));
  }
  if (at_ >= bytes_.size()) return cut_off();
  group.text = take_line();
  group.line = line_;
  const Kind kind = kind_of(group.code);
  if (kind == Kind::kText || kind == Kind::kChunk) return true;
  if (!to_number(group.text, group.number)) {
    return broken(
        line_, fmt::format("{} is no number (group {})", base::as_typed(group.text), group.code));
  }
  return true;
}

Result<bool> DxfGroups::next_binary(DxfGroup& group) {
  if (at_ >= bytes_.size()) return false;
  group.line = at_;
  bool enough = true;
  // Little-endian, as the format has it on every machine.
  const auto take = [&](std::size_t size) {
    std::uint64_t value = 0;
    enough = enough && bytes_.size() - at_ >= size;
    for (std::size_t i = 0; enough && i < size; ++i) {
      value |= std::uint64_t{static_cast<unsigned char>(bytes_[at_ + i])} << (8 * i);
    }
    if (enough) at_ += size;
    return value;
  };
  std::uint64_t code = take(form_ == Form::kBinary ? 2 : 1);
  if (form_ == Form::kBinaryShortCodes && code == 255) code = take(2);
  group.code = static_cast<int>(code);
  switch (kind_of(group.code)) {
    case Kind::kNumber: {
      const std::uint64_t bits = take(8);
      std::memcpy(&group.number, &bits, sizeof group.number);
      break;
    }
    case Kind::kShort:
      group.number = static_cast<std::int16_t>(take(2));
      break;
    case Kind::kLong:
      group.number = static_cast<std::int32_t>(take(4));
      break;
    case Kind::kLongLong:
      group.number = static_cast<double>(static_cast<std::int64_t>(take(8)));
      break;
    case Kind::kByte:
      group.number = static_cast<double>(take(1));
      break;
    case Kind::kChunk:
      take(take(1));
      break;
    case Kind::kText: {
      const std::size_t end = enough ? bytes_.find('\0', at_) : std::string_view::npos;
      enough = end != std::string_view::npos;
      if (enough) {
        group.text = bytes_.substr(at_, end - at_);
        at_ = end + 1;
      }
      break;
    }
  }
  if (!enough) return cut_off();
  if (std::isfinite(group.number)) return true;
  return broken(group.line, fmt::format("a number is not finite (group {})", group.code));
}

}  // namespace bight::exchange
