// A scan of a million points to a bend table, against a plain pass over the same file: reading it
// and building a k-d tree over its points. Goals: below 3 s on one core; the table within 0.3 mm
// and 0.2° of the tube that was scanned. The two alternate in one process.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <string>
#include <vector>

#include "exchange/cloud_bytes_test_util.h"
#include "exchange/cloud_scan.h"
#include "geometry/fit_neighbours.h"
#include "geometry/scan_maker_test_util.h"

namespace {

// Processor time of this one thread: other work on the machine does not count.
template <typename Work>
double seconds(const Work& work) {
  const std::clock_t from = std::clock();
  work();
  return static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

}  // namespace

int main() {
  using namespace bight;  // NOLINT
  const geometry::made::Tube tube{{{150, 0, 50, 60},
                                   {70, 170, 50, 90},
                                   {120, -40, 75, 60},
                                   {60, 90, 95, 90},
                                   {90, -100, 45, 60},
                                   {140, 20, 110, 75}},
                                  90,
                                  22};
  geometry::made::Scan scan;
  scan.num = 1000000;
  scan.strays_ratio = 0.01;
  const std::string bytes =
      exchange::made::ply(geometry::made::scanned(tube, scan), {}, exchange::made::Ply::kLittle);
  exchange::ScanOptions options;
  options.answers["units"] = "mm";
  std::vector<double> plain_s;
  std::vector<double> ours_s;
  double off_mm = 0.0;
  double off_deg = 0.0;
  for (int round = 0; round < 7; ++round) {
    plain_s.push_back(seconds([&] {
      const auto cloud = exchange::read_cloud(bytes, "scan");
      const geometry::PointTree tree(cloud->points);
      std::vector<std::size_t> found;
      tree.nearest(cloud->points[0], 1, found);
      if (found.empty()) std::abort();
    }));
    ours_s.push_back(seconds([&] {
      const auto cloud = exchange::read_cloud(bytes, "scan");
      const auto reading = exchange::read_scan(*cloud, "scan", options);
      if (!reading.ok() || !reading->fit || reading->table().num_bends() != 6) std::abort();
      const auto& rows = reading->table().rows();
      for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto& wanted = tube.bends[i];
        off_mm = std::max(off_mm, std::abs(rows[i].straight_mm - wanted.straight_mm));
        off_deg = std::max(off_deg, std::abs(rows[i].angle.deg() - wanted.angle_deg));
      }
    }));
  }
  fmt::print("1 010 000 points, {:.0f} MB binary PLY, processor seconds, medians of {}\n",
             static_cast<double>(bytes.size()) / 1e6, plain_s.size());
  fmt::print("  read and k-d tree   {:.2f}\n", median(plain_s));
  fmt::print("  read and bend table {:.2f}   ratio {:.2f}\n", median(ours_s),
             median(ours_s) / median(plain_s));
  fmt::print("  straights within {:.3f} mm, angles within {:.4f}°\n", off_mm, off_deg);
  return 0;
}
