#include "exchange/cloud_ply.h"

#include <fmt/format.h>

#include <bit>
#include <cmath>
#include <cstring>
#include <optional>
#include <vector>

#include "base/number.h"
#include "base/typed_text.h"
#include "exchange/cloud_text.h"

namespace bight::exchange {

using base::Failure;
using base::Result;

namespace {

enum class Type { kInt8, kUint8, kInt16, kUint16, kInt32, kUint32, kFloat, kDouble };
enum class Storage { kText, kLittle, kBig };

std::size_t size_of(Type type) {
  constexpr std::size_t kSizes[] = {1, 1, 2, 2, 4, 4, 4, 8};
  return kSizes[static_cast<std::size_t>(type)];
}

std::optional<Type> type_of(std::string_view word) {
  constexpr std::string_view kWords[][2] = {
      {"char", "int8"}, {"uchar", "uint8"}, {"short", "int16"},   {"ushort", "uint16"},
      {"int", "int32"}, {"uint", "uint32"}, {"float", "float32"}, {"double", "float64"}};
  for (std::size_t i = 0; i < std::size(kWords); ++i) {
    if (word == kWords[i][0] || word == kWords[i][1]) return static_cast<Type>(i);
  }
  return std::nullopt;
}

struct Property {
  std::string name;
  Type type = Type::kFloat;
  std::optional<Type> count_type;  // of a list
};

struct Element {
  std::string name;
  std::uint64_t num = 0;
  std::vector<Property> properties;
};

struct Header {
  Storage encoding = Storage::kText;
  std::vector<Element> elements;
};

constexpr std::size_t kMostProperties = 256;
constexpr std::size_t kMostElements = 64;

class PlyReader {
 public:
  PlyReader(std::string_view bytes, const std::string& file) : rest_(bytes), file_(file) {}

  Result<Cloud> read() {
    BIGHT_TRY(header_, read_header());
    Cloud cloud;
    cloud.format = header_.encoding == Storage::kText     ? "PLY, text"
                   : header_.encoding == Storage::kLittle ? "PLY, binary little-endian"
                                                          : "PLY, binary big-endian";
    for (const Element& element : header_.elements) {
      BIGHT_TRY(const base::Done done, read_element(element, cloud));
      static_cast<void>(done);
    }
    BIGHT_TRY(const base::Done checked, check_indices(cloud));
    static_cast<void>(checked);
    return cloud;
  }

 private:
  Failure bad(std::string message, std::string remedy = "check the export") const {
    return {"cloud.ply", file_, std::move(message), std::move(remedy)};
  }

  std::string_view take_line() {
    const std::size_t end = std::min(rest_.find('\n'), rest_.size());
    std::string_view line = rest_.substr(0, end);
    rest_.remove_prefix(std::min(rest_.size(), end + 1));
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    return line;
  }

  static std::vector<std::string_view> words_of(std::string_view line) {
    std::vector<std::string_view> words;
    while (!line.empty()) {
      const std::size_t start = std::min(line.find_first_not_of(" \t"), line.size());
      line.remove_prefix(start);
      const std::size_t end = std::min(line.find_first_of(" \t"), line.size());
      if (end > 0) words.push_back(line.substr(0, end));
      line.remove_prefix(end);
    }
    return words;
  }

  Result<Header> read_header() {
    Header header;
    bool has_format = false;
    take_line();  // ply
    while (true) {
      if (rest_.empty()) return bad("the header has no end_header");
      const std::string_view line = take_line();
      const std::vector<std::string_view> words = words_of(line);
      if (words.empty() || words[0] == "comment" || words[0] == "obj_info") continue;
      if (words[0] == "end_header") break;
      if (words[0] == "format" && words.size() == 3) {
        has_format = true;
        if (words[1] == "ascii") {
          header.encoding = Storage::kText;
        } else if (words[1] == "binary_little_endian") {
          header.encoding = Storage::kLittle;
        } else if (words[1] == "binary_big_endian") {
          header.encoding = Storage::kBig;
        } else {
          has_format = false;
        }
        if (has_format) continue;
      } else if (words[0] == "element" && words.size() == 3) {
        const Result<std::int64_t> num = base::parse_whole_number(words[2]);
        if (num.ok() && *num >= 0 && header.elements.size() < kMostElements) {
          header.elements.push_back({std::string(words[1]), static_cast<std::uint64_t>(*num), {}});
          continue;
        }
      } else if (words[0] == "property" && !header.elements.empty() &&
                 take_property(words, header.elements.back())) {
        continue;
      }
      return bad(fmt::format("{} is no line of a PLY header", base::as_typed(line)));
    }
    if (!has_format) return bad("the header names no format");
    return header;
  }

  static bool take_property(const std::vector<std::string_view>& words, Element& element) {
    if (element.properties.size() >= kMostProperties) return false;
    if (words.size() == 3) {
      const std::optional<Type> type = type_of(words[1]);
      if (type) element.properties.push_back({std::string(words[2]), *type, std::nullopt});
      return type.has_value();
    }
    if (words.size() != 5 || words[1] != "list") return false;
    const std::optional<Type> count = type_of(words[2]);
    const std::optional<Type> type = type_of(words[3]);
    if (!count || !type || *count == Type::kFloat || *count == Type::kDouble) return false;
    element.properties.push_back({std::string(words[4]), *type, *count});
    return true;
  }

  Failure truncated(const Element& element, std::uint64_t at) const {
    return {"cloud.truncated", file_,
            fmt::format("the file ends in {} {} of {}", element.name, at + 1, element.num),
            "the transfer or the export broke off; send the file again"};
  }

  // One number of the body.
  bool take(Type type, double& number) {
    if (header_.encoding == Storage::kText) {
      const std::size_t start = std::min(rest_.find_first_not_of(" \t\r\n"), rest_.size());
      rest_.remove_prefix(start);
      return take_number(rest_, number);
    }
    const std::size_t size = size_of(type);
    if (rest_.size() < size) return false;
    std::uint64_t bits = 0;
    for (std::size_t i = 0; i < size; ++i) {
      const std::size_t at = header_.encoding == Storage::kLittle ? size - 1 - i : i;
      bits = (bits << 8) | static_cast<unsigned char>(rest_[at]);
    }
    rest_.remove_prefix(size);
    switch (type) {
      case Type::kInt8:
        number = static_cast<std::int8_t>(bits);
        break;
      case Type::kInt16:
        number = static_cast<std::int16_t>(bits);
        break;
      case Type::kInt32:
        number = static_cast<std::int32_t>(bits);
        break;
      case Type::kUint8:
      case Type::kUint16:
      case Type::kUint32:
        number = static_cast<double>(bits);
        break;
      case Type::kFloat:
        number = static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(bits)));
        break;
      case Type::kDouble:
        number = std::bit_cast<double>(bits);
        break;
    }
    return true;
  }

  base::Status read_element(const Element& element, Cloud& cloud) {
    const bool vertices = element.name == "vertex";
    int axes = 0;
    for (const Property& p : element.properties) {
      axes += !p.count_type && (p.name == "x" || p.name == "y" || p.name == "z");
    }
    if (vertices && axes != 3) return bad("the points have no x, y and z");
    if (vertices && element.num > kMostCloudPoints) {
      return Failure{"cloud.many", file_, fmt::format("{} points", element.num),
                     "thin the scan out"};
    }
    if (element.properties.empty()) return base::Done{};
    for (std::uint64_t i = 0; i < element.num; ++i) {
      // Each element takes at least a byte, so that a false count ends with the file.
      geometry::Vec3 point = geometry::Vec3::Zero();
      for (const Property& property : element.properties) {
        if (property.count_type) {
          if (!read_list(element, property, cloud)) return truncated(element, i);
          continue;
        }
        double number = 0.0;
        if (!take(property.type, number)) return truncated(element, i);
        if (vertices && property.name.size() == 1 && property.name[0] >= 'x' &&
            property.name[0] <= 'z') {
          point[property.name[0] - 'x'] = number;
        }
      }
      if (!vertices) continue;
      if (!point.allFinite()) {
        return Failure{"cloud.number", file_, fmt::format("point {} is not finite", i + 1),
                       "take such points out of the export"};
      }
      cloud.points.push_back(point);
    }
    return base::Done{};
  }

  bool read_list(const Element& element, const Property& property, Cloud& cloud) {
    double length = 0.0;
    if (!take(*property.count_type, length) || !(length >= 0.0)) return false;
    const bool face = element.name == "face" &&
                      (property.name == "vertex_indices" || property.name == "vertex_index");
    std::array<double, 2> fan{};
    for (std::uint64_t k = 0; k < static_cast<std::uint64_t>(std::min(length, 1e9)); ++k) {
      double index = 0.0;
      if (!take(property.type, index)) return false;
      if (!face) continue;
      if (k < 2) {
        fan[k] = index;
        continue;
      }
      if (cloud.triangles.size() >= 2 * kMostCloudPoints) return false;
      for (const double corner : {fan[0], fan[1], index}) {
        bad_index_ = bad_index_ || !(corner >= 0.0 && corner < 4e9);
      }
      if (bad_index_) continue;
      cloud.triangles.push_back({static_cast<std::uint32_t>(fan[0]),
                                 static_cast<std::uint32_t>(fan[1]),
                                 static_cast<std::uint32_t>(index)});
      fan[1] = index;
    }
    return true;
  }

  base::Status check_indices(const Cloud& cloud) const {
    bool beyond = bad_index_;
    for (const auto& triangle : cloud.triangles) {
      for (const std::uint32_t corner : triangle) beyond = beyond || corner >= cloud.points.size();
    }
    if (beyond) return bad("a face names a point that is not there");
    return base::Done{};
  }

  std::string_view rest_;
  const std::string& file_;
  Header header_;
  bool bad_index_ = false;
};

}  // namespace

Result<Cloud> read_ply(std::string_view bytes, const std::string& file) {
  if (bytes.substr(0, 3) == "\xEF\xBB\xBF") bytes.remove_prefix(3);
  return PlyReader(bytes, file).read();
}

}  // namespace bight::exchange
