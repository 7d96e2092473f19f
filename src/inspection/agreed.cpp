#include "inspection/agreed.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace bight::inspection {

using base::Failure;

namespace {

void take(Agreement& into, const Agreed& place) {
  if (place.align) into.align = *place.align;
  if (place.length_mm) into.length_mm = place.length_mm;
  if (place.angle) into.angle = place.angle;
  if (place.zone_radius_mm) into.zone_radius_mm = place.zone_radius_mm;
  if (place.corner_mm) into.corner_mm = place.corner_mm;
  if (place.end_mm) into.end_mm = place.end_mm;
  if (place.guard_band) into.guard_band = *place.guard_band;
  for (const std::string& rule : place.rules) {
    if (std::find(into.rules.begin(), into.rules.end(), rule) == into.rules.end()) {
      into.rules.push_back(rule);
    }
  }
}

base::Result<std::vector<std::size_t>> datum_points(const std::vector<std::string>& names,
                                                    std::size_t num_points) {
  std::vector<std::size_t> out;
  for (const std::string& name : names) {
    const std::optional<std::size_t> index = point_index(name, num_points);
    if (!index) {
      return Failure{"agreed.point", name, "the part has no point of this name",
                     fmt::format("A, 1 to {}, or B", num_points - 2)};
    }
    if (std::find(out.begin(), out.end(), *index) == out.end()) out.push_back(*index);
  }
  return out;
}

base::Status check_agreement(const Agreement& agreement) {
  const auto fine = [](const std::optional<double>& limit) {
    return !limit || (std::isfinite(*limit) && *limit > 0.0);
  };
  std::optional<double> angle_deg;
  if (agreement.angle) angle_deg = agreement.angle->deg();
  const std::pair<const char*, const std::optional<double>&> limits[] = {
      {"length", agreement.length_mm},
      {"angle", angle_deg},
      {"zone_radius", agreement.zone_radius_mm},
      {"corner", agreement.corner_mm},
      {"end", agreement.end_mm}};
  for (const auto& [name, limit] : limits) {
    if (fine(limit)) continue;
    return Failure{"agreed.limit", name, "an agreed limit is more than zero",
                   "leave it out where nothing was agreed"};
  }
  return base::Done{};
}

}  // namespace

std::optional<std::size_t> point_index(std::string_view name, std::size_t num_points) {
  const auto without = [&](std::string_view word) {
    if (name.starts_with(word)) name.remove_prefix(word.size());
    while (name.starts_with(' ')) name.remove_prefix(1);
  };
  without("end");
  without("corner");
  if (name == "A" || name == "a") return 0;
  if (name == "B" || name == "b") return num_points - 1;
  std::size_t index = 0;
  const auto [rest, error] = std::from_chars(name.data(), name.data() + name.size(), index);
  if (error != std::errc{} || rest != name.data() + name.size()) return std::nullopt;
  if (index == 0 || index + 1 >= num_points) return std::nullopt;
  return index;
}

std::string point_name(std::size_t point, std::size_t num_points) {
  if (point == 0) return "end A";
  return point + 1 == num_points ? "end B" : fmt::format("corner {}", point);
}

base::Result<Agreement> agreement_of(const part::Part& part, std::size_t num_points,
                                     const std::vector<Agreed>& places) {
  Agreement out;
  out.length_mm = part.tolerance.length_mm;
  out.angle = part.tolerance.angle;
  const std::vector<std::string>* datum = nullptr;
  for (const Agreed& place : places) {
    take(out, place);
    if (!place.datum_points.empty()) datum = &place.datum_points;
  }
  if (datum != nullptr) {
    BIGHT_TRY(out.datum_points, datum_points(*datum, num_points));
  }
  if (out.align == AlignBy::kDatumPoints && out.datum_points.size() < 3) {
    return Failure{"agreed.point", "datum_points",
                   "laying a piece over by agreed points needs three of them",
                   "name at least three, such as A, 1, B"};
  }
  BIGHT_TRY(const base::Done done, check_agreement(out));
  static_cast<void>(done);
  return out;
}

}  // namespace bight::inspection
