#include "exchange/stl_write.h"

#include <Eigen/Geometry>

#include "exchange/little_endian.h"

namespace bight::exchange {

namespace {

constexpr std::size_t kHeader_bytes = 80;
constexpr std::size_t kTriangle_bytes = 50;

void append(std::string& out, const Eigen::Vector3f& v) {
  for (int i = 0; i < 3; ++i) append_f32(out, v[i]);
}

}  // namespace

std::string stl_bytes(const TubeMesh& mesh, const std::string& name) {
  // A text that began with "solid" would be taken for the other kind of STL.
  std::string out = "Bight, millimetres: " + name;
  out.resize(kHeader_bytes, ' ');
  out.reserve(kHeader_bytes + 4 + kTriangle_bytes * mesh.triangles.size());
  append_u32(out, 0);
  std::uint32_t num = 0;
  for (const auto& triangle : mesh.triangles) {
    const Eigen::Vector3f a = mesh.points_mm[triangle[0]].cast<float>();
    const Eigen::Vector3f b = mesh.points_mm[triangle[1]].cast<float>();
    const Eigen::Vector3f c = mesh.points_mm[triangle[2]].cast<float>();
    const Eigen::Vector3f normal = (b - a).cross(c - a);
    if (!(normal.norm() > 0.0F)) continue;
    append(out, normal.normalized());
    append(out, a);
    append(out, b);
    append(out, c);
    out += std::string(2, '\0');
    ++num;
  }
  std::string count;
  append_u32(count, num);
  out.replace(kHeader_bytes, 4, count);
  return out;
}

}  // namespace bight::exchange
