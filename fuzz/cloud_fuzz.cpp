// Any bytes as a scan: points and triangles that hold together, or a failure with a code.
#include "exchange/cloud.h"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "base/check.h"

using namespace bight::exchange;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  const auto cloud = read_cloud(bytes, "fuzz");
  if (!cloud.ok()) {
    BIGHT_CHECK(!cloud.failure().message.empty());
    BIGHT_CHECK(cloud.failure().code.find('.') != std::string::npos);
    return 0;
  }
  BIGHT_CHECK(!cloud->points.empty() && cloud->points.size() <= kMostCloudPoints);
  for (const auto& point : cloud->points) BIGHT_CHECK(point.allFinite());
  for (const auto& triangle : cloud->triangles) {
    for (const std::uint32_t corner : triangle) BIGHT_CHECK(corner < cloud->points.size());
  }
  return 0;
}
