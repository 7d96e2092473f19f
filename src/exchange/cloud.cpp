#include "exchange/cloud.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "exchange/cloud_ply.h"
#include "exchange/cloud_stl.h"
#include "exchange/cloud_text.h"
#include "exchange/text_file.h"
#include "geometry/fit_surface.h"

namespace bight::exchange {

using base::Result;

namespace {

constexpr std::uint64_t kSamplingSeed = 20;

std::string_view without_mark(std::string_view head) {
  if (head.substr(0, 3) == "\xEF\xBB\xBF") head.remove_prefix(3);
  return head;
}

}  // namespace

bool looks_like_ply(std::string_view head) {
  head = without_mark(head);
  return head.substr(0, 4) == "ply\n" || head.substr(0, 4) == "ply\r";
}

bool looks_like_stl_text(std::string_view head) {
  head = without_mark(head);
  return head.substr(0, 5) == "solid" && head.find("facet") != std::string_view::npos;
}

Result<Cloud> read_cloud(std::string_view bytes, const std::string& file) {
  BIGHT_TRY(Cloud cloud, looks_like_ply(bytes)   ? read_ply(bytes, file)
                         : looks_like_stl(bytes) ? read_stl(bytes, file)
                                                 : read_point_list(bytes, file));
  if (cloud.points.empty()) {
    return base::Failure{"cloud.empty", file, "the file holds no points", "check the export"};
  }
  return cloud;
}

Result<Cloud> read_cloud_file(const std::string& path) {
  std::error_code error;
  const std::uintmax_t size = std::filesystem::file_size(path, error);
  if (error) {
    // Says why: missing, a folder, no file at all.
    BIGHT_TRY(const std::string text, read_text_file(path));
    return read_cloud(text, path);
  }
  if (size > kLargestCloud_bytes) {
    return base::Failure{"file.size", path, fmt::format("the file has {} MB", size / 1000000),
                         "thin the scan out"};
  }
  std::ifstream stream(path, std::ios::binary);
  std::string bytes(size, '\0');
  if (!stream || !stream.read(bytes.data(), static_cast<std::streamsize>(size))) {
    return base::Failure{"file.read", path, "the file cannot be read", "check its rights"};
  }
  return read_cloud(bytes, path);
}

geometry::Points evenly_on(const Cloud& mesh, std::size_t num) {
  std::vector<double> sums;  // area up to and with each triangle
  double sum = 0.0;
  for (const auto& [a, b, c] : mesh.triangles) {
    const geometry::Vec3 normal =
        (mesh.points[b] - mesh.points[a]).cross(mesh.points[c] - mesh.points[a]);
    sum += 0.5 * normal.norm();
    sums.push_back(sum);
  }
  geometry::Points out;
  if (!(sum > 0.0) || !std::isfinite(sum)) return out;
  geometry::Shuffler shuffler(kSamplingSeed);
  std::size_t at = 0;
  for (std::size_t i = 0; i < num; ++i) {
    // One point in each equal share of the area.
    const double area =
        sum * (static_cast<double>(i) + shuffler.unit_ratio()) / static_cast<double>(num);
    while (at + 1 < sums.size() && sums[at] < area) ++at;
    double u = shuffler.unit_ratio();
    double v = shuffler.unit_ratio();
    if (u + v > 1.0) {
      u = 1.0 - u;
      v = 1.0 - v;
    }
    const auto& [a, b, c] = mesh.triangles[at];
    out.push_back(mesh.points[a] + u * (mesh.points[b] - mesh.points[a]) +
                  v * (mesh.points[c] - mesh.points[a]));
  }
  return out;
}

}  // namespace bight::exchange
