#include "exchange/cloud_stl.h"

#include <fmt/format.h>

#include <bit>
#include <cmath>
#include <cstring>

#include "base/typed_text.h"
#include "exchange/cloud_text.h"

namespace bight::exchange {

using base::Failure;
using base::Result;
using geometry::Vec3;

namespace {

constexpr std::size_t kHead_bytes = 84;
constexpr std::size_t kFacet_bytes = 50;

std::uint32_t u32_at(std::string_view bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    value |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[at + i])) << (8 * i);
  }
  return value;
}

// Corners by place: the same bits are the same point.
class Corners {
 public:
  explicit Corners(std::size_t num_expected) {
    while (slots_.size() < 2 * num_expected) slots_.resize(2 * slots_.size(), kNone);
  }

  std::uint32_t index_of(const Vec3& p, geometry::Points& points) {
    if (2 * (points.size() + 1) > slots_.size()) grow(points);
    std::size_t slot = hash(p) & (slots_.size() - 1);
    while (slots_[slot] != kNone && points[slots_[slot]] != p) {
      slot = (slot + 1) & (slots_.size() - 1);
    }
    if (slots_[slot] == kNone) {
      slots_[slot] = static_cast<std::uint32_t>(points.size());
      points.push_back(p);
    }
    return slots_[slot];
  }

 private:
  static constexpr std::uint32_t kNone = ~std::uint32_t{0};

  static std::size_t hash(const Vec3& p) {
    std::uint64_t z = 0x9e3779b97f4a7c15ULL;
    for (int axis = 0; axis < 3; ++axis) {
      // -0 is 0.
      z ^= std::bit_cast<std::uint64_t>(p[axis] + 0.0);
      z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
      z ^= z >> 27;
    }
    return z;
  }

  void grow(const geometry::Points& points) {
    slots_.assign(2 * slots_.size(), kNone);
    for (std::size_t i = 0; i < points.size(); ++i) {
      std::size_t slot = hash(points[i]) & (slots_.size() - 1);
      while (slots_[slot] != kNone) slot = (slot + 1) & (slots_.size() - 1);
      slots_[slot] = static_cast<std::uint32_t>(i);
    }
  }

  std::vector<std::uint32_t> slots_ = std::vector<std::uint32_t>(1024, kNone);
};

Failure not_finite(const std::string& file, std::size_t facet) {
  return {"cloud.number", file, fmt::format("facet {} has a corner that is not finite", facet + 1),
          "take such facets out of the export"};
}

Result<Cloud> read_binary(std::string_view bytes, const std::string& file) {
  const std::size_t num = u32_at(bytes, 80);
  if (num > kMostCloudPoints) {
    return Failure{"cloud.many", file, fmt::format("{} facets", num), "thin the mesh out"};
  }
  Cloud cloud;
  cloud.format = "STL, binary";
  Corners corners(num / 2);
  for (std::size_t i = 0; i < num; ++i) {
    std::array<std::uint32_t, 3> triangle{};
    for (std::size_t corner = 0; corner < 3; ++corner) {
      // After the facet's normal.
      const std::size_t at = kHead_bytes + i * kFacet_bytes + 12 + 12 * corner;
      Vec3 p;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        p[static_cast<Eigen::Index>(axis)] =
            static_cast<double>(std::bit_cast<float>(u32_at(bytes, at + 4 * axis)));
      }
      if (!p.allFinite()) return not_finite(file, i);
      triangle[corner] = corners.index_of(p, cloud.points);
    }
    cloud.triangles.push_back(triangle);
  }
  return cloud;
}

class TextReader {
 public:
  TextReader(std::string_view text, const std::string& file) : rest_(text), file_(file) {}

  Result<Cloud> read() {
    Cloud cloud;
    cloud.format = "STL, text";
    Corners corners(1024);
    rest_.remove_prefix(std::min(rest_.find('\n'), rest_.size()));  // solid and its name
    while (true) {
      const std::string_view word = take_word();
      if (word == "endsolid" || (word == "solid" && !cloud.triangles.empty())) {
        // Several solids may follow each other; the rest of the line is a name.
        rest_.remove_prefix(std::min(rest_.find('\n'), rest_.size()));
        continue;
      }
      if (word.empty()) return cloud;
      if (word != "facet") return unexpected(word, "facet");
      BIGHT_TRY(const base::Done taken, take_facet(cloud, corners));
      static_cast<void>(taken);
    }
  }

 private:
  std::string_view take_word() {
    const std::size_t start = std::min(rest_.find_first_not_of(" \t\r\n"), rest_.size());
    rest_.remove_prefix(start);
    const std::size_t end = std::min(rest_.find_first_of(" \t\r\n"), rest_.size());
    const std::string_view word = rest_.substr(0, end);
    rest_.remove_prefix(end);
    return word;
  }

  Failure unexpected(std::string_view word, const char* wanted) const {
    if (word.empty()) {
      return {"cloud.truncated", file_, fmt::format("the file ends where {} should come", wanted),
              "the transfer or the export broke off; send the file again"};
    }
    return {"cloud.stl", file_,
            fmt::format("{} stands where {} should be", base::as_typed(word), wanted),
            "check the export"};
  }

  base::Status take_facet(Cloud& cloud, Corners& corners) {
    const std::size_t facet = cloud.triangles.size();
    if (facet >= kMostCloudPoints) {
      return Failure{"cloud.many", file_, "too many facets", "thin the mesh out"};
    }
    for (const char* wanted : {"normal", "", "", "", "outer", "loop"}) {
      const std::string_view word = take_word();
      if (word.empty() || (*wanted != '\0' && word != wanted)) {
        return unexpected(word, *wanted == '\0' ? "a normal" : wanted);
      }
    }
    std::array<std::uint32_t, 3> triangle{};
    for (std::uint32_t& index : triangle) {
      const std::string_view word = take_word();
      if (word != "vertex") return unexpected(word, "vertex");
      Vec3 p;
      for (Eigen::Index axis = 0; axis < 3; ++axis) {
        std::string_view number = take_word();
        const std::string_view whole = number;
        if (!take_number(number, p[axis]) || !number.empty()) return unexpected(whole, "a number");
      }
      if (!p.allFinite()) return not_finite(file_, facet);
      index = corners.index_of(p, cloud.points);
    }
    for (const char* wanted : {"endloop", "endfacet"}) {
      const std::string_view word = take_word();
      if (word != wanted) return unexpected(word, wanted);
    }
    cloud.triangles.push_back(triangle);
    return base::Done{};
  }

  std::string_view rest_;
  const std::string& file_;
};

bool fits_binary(std::string_view bytes) {
  return bytes.size() >= kHead_bytes &&
         (bytes.size() - kHead_bytes) / kFacet_bytes >= u32_at(bytes, 80) &&
         bytes.size() - kHead_bytes - std::size_t{kFacet_bytes} * u32_at(bytes, 80) < 512;
}

// Bytes that no text holds.
bool binary_inside(std::string_view bytes) {
  return bytes.substr(0, 1024).find('\0') != std::string_view::npos;
}

}  // namespace

bool looks_like_stl(std::string_view bytes) {
  // A file cut short still has its header and bytes of no text.
  return (binary_inside(bytes) && bytes.size() >= kHead_bytes) || bytes.substr(0, 5) == "solid";
}

Result<Cloud> read_stl(std::string_view bytes, const std::string& file) {
  if (binary_inside(bytes) && bytes.size() >= kHead_bytes) {
    if (fits_binary(bytes)) return read_binary(bytes, file);
    const std::size_t num = u32_at(bytes, 80);
    const std::size_t held = (bytes.size() - kHead_bytes) / kFacet_bytes;
    if (held < num && num <= kMostCloudPoints) {
      return Failure{"cloud.truncated", file,
                     fmt::format("the file says {} facets and holds {}", num, held),
                     "the transfer or the export broke off; send the file again"};
    }
    return Failure{"cloud.stl", file, "the bytes are neither STL nor another scan format",
                   "scans are read as PLY, STL or lines of x y z"};
  }
  if (bytes.substr(0, 5) != "solid") {
    return Failure{"cloud.stl", file, "the file does not begin as STL does", "check the export"};
  }
  return TextReader(bytes, file).read();
}

}  // namespace bight::exchange
