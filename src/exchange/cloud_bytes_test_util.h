// For tests only: scans written byte by byte, sharing no code with the readers.
#pragma once

#include <array>
#include <cstdint>
#include <cstring>
#include <sstream>
#include <string>
#include <vector>

#include "geometry/frame.h"

namespace bight::exchange::made {

using Points = std::vector<geometry::Vec3>;
using Faces = std::vector<std::array<std::uint32_t, 3>>;

// The object's bytes in memory order, turned round for the other byte order. This machine stores
// the lowest first.
template <typename T>
std::string bytes_of(T value, bool big_endian) {
  std::string out(sizeof value, '\0');
  std::memcpy(out.data(), &value, sizeof value);
  return big_endian ? std::string(out.rbegin(), out.rend()) : out;
}

enum class Ply { kText, kLittle, kBig };

// float x, y, z with a colour between points, and faces where given.
inline std::string ply(const Points& points, const Faces& faces, Ply form,
                       const char* type = "float") {
  std::ostringstream out;
  out.precision(17);
  out << "ply\nformat "
      << (form == Ply::kText     ? "ascii"
          : form == Ply::kLittle ? "binary_little_endian"
                                 : "binary_big_endian")
      << " 1.0\ncomment made for a test\nelement vertex " << points.size() << "\nproperty " << type
      << " x\nproperty " << type << " y\nproperty " << type << " z\nproperty uchar red\n";
  if (!faces.empty()) {
    out << "element face " << faces.size() << "\nproperty list uchar int vertex_indices\n";
  }
  out << "end_header\n";
  const bool big = form == Ply::kBig;
  for (const auto& p : points) {
    for (int k = 0; k < 3; ++k) {
      if (form == Ply::kText) {
        out << p[k] << ' ';
      } else if (std::string(type) == "double") {
        out << bytes_of(p[k], big);
      } else {
        out << bytes_of(static_cast<float>(p[k]), big);
      }
    }
    if (form == Ply::kText) {
      out << "200\n";
    } else {
      out << '\xC8';
    }
  }
  for (const auto& f : faces) {
    if (form == Ply::kText) {
      out << "3 " << f[0] << ' ' << f[1] << ' ' << f[2] << '\n';
    } else {
      out << '\x03';
      for (const std::uint32_t i : f) out << bytes_of(static_cast<std::int32_t>(i), big);
    }
  }
  return out.str();
}

inline std::string stl_binary(const Points& points, const Faces& faces) {
  std::string out(80, '\0');
  out.replace(0, 5, "solid");  // as some programs write, to confuse
  out += bytes_of(static_cast<std::uint32_t>(faces.size()), false);
  for (const auto& f : faces) {
    out += std::string(12, '\0');
    for (const std::uint32_t i : f) {
      for (int k = 0; k < 3; ++k) out += bytes_of(static_cast<float>(points[i][k]), false);
    }
    out += std::string(2, '\0');
  }
  return out;
}

inline std::string stl_text(const Points& points, const Faces& faces) {
  std::ostringstream out;
  out << "solid made for a test\n";
  for (const auto& f : faces) {
    out << "  facet normal 0 0 1\n    outer loop\n";
    for (const std::uint32_t i : f) {
      out << "      vertex " << points[i][0] << ' ' << points[i][1] << ' ' << points[i][2] << '\n';
    }
    out << "    endloop\n  endfacet\n";
  }
  out << "endsolid made for a test\n";
  return out.str();
}

inline std::string xyz(const Points& points) {
  std::ostringstream out;
  out.precision(9);
  for (const auto& p : points) out << p[0] << ' ' << p[1] << ' ' << p[2] << '\n';
  return out.str();
}

}  // namespace bight::exchange::made
