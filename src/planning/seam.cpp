#include "planning/seam.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace bight::planning {

using base::Angle;

namespace {

// Angle between two clock positions, 0..180°.
double apart_deg(double a_deg, double b_deg) {
  return std::abs(std::remainder(a_deg - b_deg, 360.0));
}

}  // namespace

std::optional<Seam> best_seam(const geometry::BendTable& table, std::size_t first) {
  if (table.num_bends() == 0) return std::nullopt;
  // Seen from end A the direction of travel points away, so a right-hand turn looks clockwise:
  // the outside of bend i stands on the clock at its rotation from the first.
  std::vector<Angle> outsides = table.absolute_rotations();
  const Angle at_twelve = outsides[first - 1];
  for (Angle& outside : outsides) outside = outside - at_twelve;
  struct Place {
    double clock_deg, off_deg, away_deg;
  };
  std::vector<Place> places;
  double least_off_deg = 180.0;
  for (int i = 0; i < 720; ++i) {
    Place place{i * 0.5, 0.0, 180.0};
    for (const Angle outside : outsides) {
      const double distance_deg = apart_deg(place.clock_deg, outside.deg());
      place.off_deg = std::max(place.off_deg, std::abs(distance_deg - 90.0));
      place.away_deg = std::min(place.away_deg, distance_deg);
    }
    least_off_deg = std::min(least_off_deg, place.off_deg);
    places.push_back(place);
  }
  // Among the equally neutral, the one furthest from any stretched outside.
  constexpr double kEqual_deg = 0.25;
  std::erase_if(places, [&](const Place& p) { return p.off_deg > least_off_deg + kEqual_deg; });
  const Place best =
      *std::max_element(places.begin(), places.end(),
                        [](const Place& a, const Place& b) { return a.away_deg < b.away_deg; });
  const Angle clock = Angle::degrees(best.clock_deg);
  return Seam{first, clock, Angle::degrees(best.off_deg), clock_text(clock)};
}

std::string clock_text(Angle clock) {
  const int minutes = static_cast<int>(std::lround(clock.wrapped_positive().deg() * 2.0 / 5.0)) * 5;
  const int hour = (minutes / 60) % 12;
  return fmt::format("{}:{:02d}", hour == 0 ? 12 : hour, minutes % 60);
}

}  // namespace bight::planning
