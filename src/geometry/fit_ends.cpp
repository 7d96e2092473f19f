#include "geometry/fit_ends.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace bight::geometry {

namespace {

double normal_cdf(double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); }

// Outer border of the outermost crowded bin, with the usual crowd of a bin.
double crowded_until_mm(const std::vector<double>& along_mm, double bin_mm) {
  const double least = along_mm.front();
  const auto num_bins = static_cast<std::size_t>((along_mm.back() - least) / bin_mm) + 1;
  std::vector<std::size_t> bins(num_bins, 0);
  for (const double s : along_mm) {
    ++bins[std::min(num_bins - 1, static_cast<std::size_t>((s - least) / bin_mm))];
  }
  std::vector<std::size_t> filled;
  for (const std::size_t count : bins) {
    if (count > 0) filled.push_back(count);
  }
  std::sort(filled.begin(), filled.end());
  const double usual = static_cast<double>(filled[filled.size() * 6 / 10]);
  for (std::size_t i = num_bins; i-- > 0;) {
    const bool crowded = 4.0 * static_cast<double>(bins[i]) >= usual;
    const bool inner_too = i == 0 || 4.0 * static_cast<double>(bins[i - 1]) >= usual;
    if (crowded && inner_too) return least + bin_mm * static_cast<double>(i + 1);
  }
  return along_mm.back();
}

struct EdgeData {
  std::vector<double>::const_iterator first;
  std::vector<double>::const_iterator last;
  double from_mm;
  double blur_mm;
};

// Log-likelihood of an even spread from from_mm to the edge, blurred, with a crowd on the edge
// itself worth face_mm of the spread: points on the cut face.
double likelihood(const EdgeData& data, double face_mm, double edge_mm) {
  const double num = static_cast<double>(data.last - data.first);
  double sum = -num * std::log(std::max(edge_mm - data.from_mm + face_mm, 1e-9));
  const double peak = face_mm / (data.blur_mm * std::sqrt(2.0 * std::numbers::pi));
  for (auto s = data.first; s != data.last; ++s) {
    const double z = (edge_mm - *s) / data.blur_mm;
    if (z > 6.0) continue;
    // One point in a thousand is a stray.
    sum += std::log(normal_cdf(z) + peak * std::exp(-0.5 * z * z) + 1e-3);
  }
  return sum;
}

// Coarse steps, then golden section: the likelihood may have small bumps at single points.
double best_edge_mm(const EdgeData& data, double face_mm, double least_mm, double most_mm) {
  constexpr int kSteps = 45;
  const double step_mm = (most_mm - least_mm) / kSteps;
  double best_mm = least_mm;
  double most = -1e300;
  for (int i = 0; i <= kSteps; ++i) {
    const double edge_mm = least_mm + step_mm * i;
    const double value = likelihood(data, face_mm, edge_mm);
    if (value > most) {
      most = value;
      best_mm = edge_mm;
    }
  }
  double low_mm = best_mm - step_mm;
  double high_mm = best_mm + step_mm;
  const double golden = 0.5 * (std::sqrt(5.0) - 1.0);
  while (high_mm - low_mm > 1e-3 * step_mm) {
    const double a_mm = high_mm - golden * (high_mm - low_mm);
    const double b_mm = low_mm + golden * (high_mm - low_mm);
    if (likelihood(data, face_mm, a_mm) > likelihood(data, face_mm, b_mm)) {
      high_mm = b_mm;
    } else {
      low_mm = a_mm;
    }
  }
  return 0.5 * (low_mm + high_mm);
}

}  // namespace

EndFit upper_end(std::vector<double> along_mm, double tube_radius_mm, double noise_mm) {
  std::sort(along_mm.begin(), along_mm.end());
  const double bin_mm = 0.25 * tube_radius_mm;
  const double border_mm = crowded_until_mm(along_mm, bin_mm);
  const double from_mm = border_mm - 4.0 * bin_mm;
  const double to_mm = border_mm + 2.0 * bin_mm;
  const auto first = std::lower_bound(along_mm.begin(), along_mm.end(), from_mm);
  const auto last = std::upper_bound(along_mm.begin(), along_mm.end(), to_mm);
  const double num = static_cast<double>(last - first);
  if (num < 3.0) return {along_mm.back(), tube_radius_mm, false};
  const double crowd_per_mm = num / (4.0 * bin_mm);
  const double blur_mm = std::max(noise_mm, 1.0 / crowd_per_mm);
  const EdgeData data{first, last, from_mm, blur_mm};
  double best_mm = border_mm;
  double most = -1e300;
  bool on_face = false;
  for (const double face : {0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0}) {
    const double end_mm =
        best_edge_mm(data, face * blur_mm, border_mm - 2.0 * bin_mm, border_mm + bin_mm);
    // A crowd on the face is believed only when it explains clearly more.
    const double value = likelihood(data, face * blur_mm, end_mm) - (face > 0.0 ? 5.0 : 0.0);
    if (value > most) {
      most = value;
      best_mm = end_mm;
      on_face = face > 0.0;
    }
  }
  // Information about the edge of a uniform spread of rho points per mm blurred by sigma is
  // 0.903 rho / sigma (integral of phi^2 / Phi).
  return {best_mm, std::sqrt(blur_mm / (0.903 * crowd_per_mm)), on_face};
}

}  // namespace bight::geometry
