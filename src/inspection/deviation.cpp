#include "inspection/deviation.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace bight::inspection {

using base::Angle;
using base::Failure;
using geometry::Vec3;

namespace {

struct Way {
  AlignBy by;
  std::string_view word;
  std::string_view words;
};

constexpr std::array<Way, 5> kWays = {{
    {AlignBy::kEndA, "ends", "end A, first leg and first plane"},
    {AlignBy::kFirstLeg, "leg", "end A and first leg, turned about it to fit"},
    {AlignBy::kBestFit, "fit", "best fit of all points"},
    {AlignBy::kZone, "zone", "smallest zone"},
    {AlignBy::kDatumPoints, "points", "best fit of the agreed points"},
}};

// Chords of the sampled centreline miss it by no more; far below what anyone measures.
constexpr double kSagitta_mm = 0.002;
// Bends are shown by the corners of parts above this; the second is tried where the measured angle
// falls on the other side of the first.
constexpr Angle kSplit[] = {Angle::degrees(150), Angle::degrees(165), Angle::degrees(135)};

// Corner points of both, with as many points each.
std::optional<std::pair<Points, Points>> both_corners(const geometry::BendTable& drawn,
                                                      const geometry::Frame& start,
                                                      const geometry::BendTable& measured) {
  for (const Angle split : kSplit) {
    Points a = geometry::corner_points_mm(drawn, start, split);
    Points b = geometry::corner_points_mm(measured, start, split);
    if (a.size() == b.size()) return std::pair{std::move(a), std::move(b)};
  }
  return std::nullopt;
}

double segment_distance_mm(const geometry::Segment& segment, const Vec3& point_mm, bool from_ever,
                           bool to_ever) {
  const geometry::Frame& start = segment.start;
  if (!segment.is_arc()) {
    double along_mm = start.ahead.dot(point_mm - start.origin_mm);
    if (!from_ever) along_mm = std::max(along_mm, 0.0);
    if (!to_ever) along_mm = std::min(along_mm, segment.length_mm);
    return (point_mm - start.origin_mm - along_mm * start.ahead).norm();
  }
  const Vec3 from_centre_mm = point_mm - segment.centre_mm();
  const double angle_rad =
      std::atan2(from_centre_mm.dot(start.ahead), -from_centre_mm.dot(start.inward));
  const Angle angle = Angle::radians(angle_rad).wrapped_positive();
  if (angle <= segment.angle) {
    const double up_mm = from_centre_mm.dot(start.normal);
    const double out_mm = (from_centre_mm - up_mm * start.normal).norm() - segment.radius_mm;
    return std::hypot(up_mm, out_mm);
  }
  return std::min((point_mm - start.origin_mm).norm(),
                  (point_mm - segment.at(segment.length_mm).origin_mm).norm());
}

std::string name_of(std::size_t point, std::size_t num_points) {
  if (point == 0) return "end A";
  if (point + 1 == num_points) return "end B";
  return fmt::format("corner {}", point);
}

}  // namespace

std::string_view words(AlignBy by) {
  for (const Way& way : kWays) {
    if (way.by == by) return way.words;
  }
  return "";
}

std::string_view word(AlignBy by) {
  for (const Way& way : kWays) {
    if (way.by == by) return way.word;
  }
  return "";
}

std::optional<AlignBy> align_by(std::string_view word) {
  for (const Way& way : kWays) {
    if (way.word == word) return way.by;
  }
  return std::nullopt;
}

double distance_mm(const geometry::Centreline& line, const Vec3& point_mm) {
  double least_mm = 1e300;
  for (std::size_t i = 0; i < line.segments.size(); ++i) {
    least_mm = std::min(least_mm, segment_distance_mm(line.segments[i], point_mm, i == 0,
                                                      i + 1 == line.segments.size()));
  }
  return least_mm;
}

base::Result<Pairing> Pairing::make(const geometry::BendTable& drawn,
                                    const geometry::Frame& drawn_start, const Measured& measured) {
  Pairing out;
  const std::optional<geometry::BendTable> table = whole_table(measured, drawn);
  out.drawn_mm_ = geometry::corner_points_mm(drawn, drawn_start);
  out.drawn_line_ = geometry::lay_out(drawn, drawn_start);
  if (measured.any_point()) {
    if (measured.points_mm.size() != out.drawn_mm_.size()) {
      return Failure{
          "inspect.points", measured.name,
          fmt::format("{} points are given, the part has {}: end A, {} corners, end B",
                      measured.points_mm.size(), out.drawn_mm_.size(), out.drawn_mm_.size() - 2),
          "give one row for each, empty where it was not measured"};
    }
    for (std::size_t i = 0; i < measured.points_mm.size(); ++i) {
      if (!measured.points_mm[i]) continue;
      out.index_.push_back(i);
      out.pair_drawn_mm_.push_back(out.drawn_mm_[i]);
      out.pair_mm_.push_back(*measured.points_mm[i]);
    }
    return out;
  }
  if (!table) {
    return Failure{"inspect.points", measured.name,
                   "neither points nor a whole table were measured, so the piece cannot be laid "
                   "over the drawing",
                   "measure every straight, rotation and angle, or the ends and corners"};
  }
  const auto corners = both_corners(drawn, drawn_start, *table);
  if (!corners) {
    return Failure{"inspect.points", measured.name,
                   "the measured bends have other corners than the drawn ones",
                   "measure points instead"};
  }
  out.drawn_mm_ = corners->first;
  out.pair_drawn_mm_ = corners->first;
  out.pair_mm_ = corners->second;
  for (std::size_t i = 0; i < out.pair_mm_.size(); ++i) out.index_.push_back(i);
  out.line_ = geometry::lay_out(*table, drawn_start);
  return out;
}

base::Result<Alignment> Pairing::align(AlignBy by, const std::vector<std::size_t>& datum_points,
                                       Deviation& out) const {
  const bool has_leg = index_.size() >= 2 && index_[0] == 0 && index_[1] == 1;
  switch (by) {
    case AlignBy::kEndA:
    case AlignBy::kFirstLeg:
      if (!has_leg) {
        return Failure{"align.datum", "", "end A and the first corner were not both measured",
                       "measure them, or agree another way of laying the part over"};
      }
      return datum_fit(pair_mm_, pair_drawn_mm_,
                       by == AlignBy::kEndA ? Datum::kFirstPlane : Datum::kFirstLeg);
    case AlignBy::kBestFit:
      return best_fit(pair_mm_, pair_drawn_mm_);
    case AlignBy::kZone: {
      BIGHT_TRY(const MinimaxAlignment zone, minimax_fit(pair_mm_, pair_drawn_mm_));
      out.at_least_mm = zone.at_least_mm;
      return zone.alignment;
    }
    case AlignBy::kDatumPoints: {
      std::vector<double> weights(index_.size(), 0.0);
      std::size_t count = 0;
      for (std::size_t i = 0; i < index_.size(); ++i) {
        if (std::find(datum_points.begin(), datum_points.end(), index_[i]) == datum_points.end()) {
          continue;
        }
        weights[i] = 1.0;
        ++count;
      }
      if (count < 3 || count < datum_points.size()) {
        return Failure{"align.datum", "",
                       "the agreed points are fewer than three, or not all were measured",
                       "name at least three measured points: 0 is end A, then the corners, then "
                       "end B"};
      }
      return best_fit(pair_mm_, pair_drawn_mm_, weights);
    }
  }
  return best_fit(pair_mm_, pair_drawn_mm_);
}

Vec3 Pairing::leg_at(std::size_t point) const {
  const bool first = point == 0;
  const Vec3 leg_mm = first ? drawn_mm_[0] - drawn_mm_[1] : drawn_mm_[point] - drawn_mm_[point - 1];
  return leg_mm.norm() > 0.0 ? leg_mm.normalized() : Vec3(Vec3::Zero());
}

base::Result<Deviation> Pairing::deviation(AlignBy by,
                                           const std::vector<std::size_t>& datum_points) const {
  Deviation out;
  out.by = by;
  BIGHT_TRY(const Alignment fit, align(by, datum_points, out));
  out.move = fit.move;
  out.turn_loose = fit.turn_loose;
  for (std::size_t i = 0; i < index_.size(); ++i) {
    PointOff off;
    off.point = index_[i];
    off.name = name_of(off.point, drawn_mm_.size());
    off.off_mm = fit.move(pair_mm_[i]) - pair_drawn_mm_[i];
    off.distance_mm = off.off_mm.norm();
    off.along_mm = off.off_mm.dot(leg_at(off.point));
    out.worst_mm = std::max(out.worst_mm, off.distance_mm);
    out.points.push_back(std::move(off));
  }
  if (line_) {
    double zone_mm = 0.0;
    for (const Vec3& point : line_->sampled_mm(kSagitta_mm)) {
      zone_mm = std::max(zone_mm, distance_mm(*drawn_line_, fit.move(point)));
    }
    out.zone_mm = zone_mm;
  }
  return out;
}

}  // namespace bight::inspection
