#include "clearance/convex_parts.h"

#include <algorithm>
#include <cmath>

namespace bight::clearance {

using Eigen::Vector2d;

namespace {

// Twice the signed area of a triangle: positive when c lies left of a→b.
double left_of_mm2(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

bool between(double a, double b, double x) { return std::min(a, b) <= x && x <= std::max(a, b); }

// Whether two closed segments share a point.
bool meet(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d) {
  const double d1 = left_of_mm2(a, b, c);
  const double d2 = left_of_mm2(a, b, d);
  const double d3 = left_of_mm2(c, d, a);
  const double d4 = left_of_mm2(c, d, b);
  if (((d1 > 0 && d2 < 0) || (d1 < 0 && d2 > 0)) && ((d3 > 0 && d4 < 0) || (d3 < 0 && d4 > 0))) {
    return true;
  }
  const auto on = [](const Vector2d& p, const Vector2d& q, const Vector2d& x, double side) {
    return side == 0.0 && between(p.x(), q.x(), x.x()) && between(p.y(), q.y(), x.y());
  };
  return on(a, b, c, d1) || on(a, b, d, d2) || on(c, d, a, d3) || on(c, d, b, d4);
}

bool crosses_itself(const Outline& outline_mm) {
  const std::size_t n = outline_mm.size();
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = i + 1; j < n; ++j) {
      const bool neighbours = j == i + 1 || (i == 0 && j == n - 1);
      if (neighbours) continue;
      if (meet(outline_mm[i], outline_mm[(i + 1) % n], outline_mm[j], outline_mm[(j + 1) % n])) {
        return true;
      }
    }
  }
  return false;
}

// Drops repeated corners and those on the straight between their neighbours.
Outline tidied(const Outline& outline_mm) {
  Outline out = outline_mm;
  bool changed = true;
  while (changed && out.size() >= 3) {
    changed = false;
    for (std::size_t i = 0; i < out.size(); ++i) {
      const Vector2d& before = out[(i + out.size() - 1) % out.size()];
      const Vector2d& after = out[(i + 1) % out.size()];
      const double reach_mm = (out[i] - before).norm() + (after - out[i]).norm();
      const bool doubles_back = (out[i] - before).dot(after - out[i]) < 0.0;
      if (std::abs(left_of_mm2(before, out[i], after)) <= 1e-12 * reach_mm * reach_mm &&
          !doubles_back) {
        out.erase(out.begin() + static_cast<std::ptrdiff_t>(i));
        changed = true;
        break;
      }
    }
  }
  return out;
}

bool is_ear(const Outline& rest, std::size_t i) {
  const std::size_t n = rest.size();
  const Vector2d& a = rest[(i + n - 1) % n];
  const Vector2d& b = rest[i];
  const Vector2d& c = rest[(i + 1) % n];
  if (left_of_mm2(a, b, c) <= 0.0) return false;
  for (std::size_t k = 0; k < n; ++k) {
    if (k == i || k == (i + n - 1) % n || k == (i + 1) % n) continue;
    const Vector2d& p = rest[k];
    if (left_of_mm2(a, b, p) >= 0.0 && left_of_mm2(b, c, p) >= 0.0 && left_of_mm2(c, a, p) >= 0.0) {
      return false;
    }
  }
  return true;
}

bool is_convex(const Outline& outline) {
  const std::size_t n = outline.size();
  for (std::size_t i = 0; i < n; ++i) {
    if (left_of_mm2(outline[i], outline[(i + 1) % n], outline[(i + 2) % n]) < 0.0) return false;
  }
  return true;
}

// The two pieces as one across a shared edge; nothing when they share none or would not be convex.
std::optional<Outline> merged(const Outline& a, const Outline& b) {
  for (std::size_t i = 0; i < a.size(); ++i) {
    for (std::size_t j = 0; j < b.size(); ++j) {
      const bool shared = a[i] == b[(j + 1) % b.size()] && a[(i + 1) % a.size()] == b[j];
      if (!shared) continue;
      Outline out;
      for (std::size_t k = 0; k < a.size(); ++k) out.push_back(a[(i + 1 + k) % a.size()]);
      for (std::size_t k = 0; k + 2 < b.size(); ++k) out.push_back(b[(j + 2 + k) % b.size()]);
      if (is_convex(out)) return tidied(out);
    }
  }
  return std::nullopt;
}

}  // namespace

double twice_area_mm2(const Outline& outline_mm) {
  double sum_mm2 = 0.0;
  for (std::size_t i = 0; i < outline_mm.size(); ++i) {
    const Vector2d& a = outline_mm[i];
    const Vector2d& b = outline_mm[(i + 1) % outline_mm.size()];
    sum_mm2 += a.x() * b.y() - a.y() * b.x();
  }
  return sum_mm2;
}

std::optional<std::vector<Outline>> convex_parts(const Outline& outline_mm) {
  Outline rest = tidied(outline_mm);
  if (rest.size() < 3 || crosses_itself(rest)) return std::nullopt;
  const double twice_mm2 = twice_area_mm2(rest);
  if (!(std::abs(twice_mm2) > 0.0)) return std::nullopt;
  if (twice_mm2 < 0.0) std::reverse(rest.begin(), rest.end());
  std::vector<Outline> parts;
  while (rest.size() > 3 && !is_convex(rest)) {
    std::size_t ear = 0;
    while (ear < rest.size() && !is_ear(rest, ear)) ++ear;
    if (ear == rest.size()) return std::nullopt;  // only where rounding hides every ear
    const std::size_t n = rest.size();
    parts.push_back({rest[(ear + n - 1) % n], rest[ear], rest[(ear + 1) % n]});
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(ear));
  }
  parts.push_back(rest);
  for (std::size_t i = 0; i < parts.size(); ++i) {
    for (std::size_t j = i + 1; j < parts.size();) {
      const std::optional<Outline> both = merged(parts[i], parts[j]);
      if (!both.has_value()) {
        ++j;
        continue;
      }
      parts[i] = *both;
      parts.erase(parts.begin() + static_cast<std::ptrdiff_t>(j));
      j = i + 1;
    }
  }
  return parts;
}

}  // namespace bight::clearance
