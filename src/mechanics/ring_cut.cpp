#include "mechanics/ring_cut.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "base/positive.h"

namespace bight::mechanics {
using base::positive;

namespace {

base::Failure bad_ring(std::string message) {
  return base::Failure{"ring.size", "", std::move(message), "give sizes in order"};
}

}  // namespace

base::Result<RingCut> ring_cut(const RingRequest& request) {
  if (!positive(request.diameter_mm) || !positive(request.depth_mm) || !(request.flats_mm >= 0) ||
      !std::isfinite(request.flats_mm)) {
    return bad_ring(fmt::format("ring {} mm of depth {} mm with {} mm of flats cannot be cut",
                                request.diameter_mm, request.depth_mm, request.flats_mm));
  }
  RingCut cut;
  switch (request.measure) {
    case RingMeasure::kNotSaid:
      return base::Failure{
          "ring.measure", "",
          fmt::format("is {} mm the inside, the centreline or the outside?", request.diameter_mm),
          "say which; the cut length differs by pi times the depth for each"};
    case RingMeasure::kInside:
      cut.mean_diameter_mm = request.diameter_mm + request.depth_mm;
      break;
    case RingMeasure::kCentreline:
      cut.mean_diameter_mm = request.diameter_mm;
      break;
    case RingMeasure::kOutside:
      cut.mean_diameter_mm = request.diameter_mm - request.depth_mm;
      break;
  }
  if (cut.mean_diameter_mm <= request.depth_mm) {
    return bad_ring(fmt::format("ring {} mm has no hole left at depth {} mm", request.diameter_mm,
                                request.depth_mm));
  }
  cut.circumference_mm = std::numbers::pi * cut.mean_diameter_mm;
  cut.cut_mm = cut.circumference_mm + request.flats_mm;
  return cut;
}

base::Result<int> pieces_per_stick(double cut_mm, double stick_mm, double kerf_mm) {
  if (!positive(cut_mm) || !positive(stick_mm) || !(kerf_mm >= 0) || !std::isfinite(kerf_mm) ||
      stick_mm / cut_mm > 1e6) {
    return bad_ring(
        fmt::format("pieces of {} mm from {} mm with kerf {} mm", cut_mm, stick_mm, kerf_mm));
  }
  // The hair keeps an exact fit from being lost to rounding.
  return static_cast<int>(std::floor((stick_mm + kerf_mm) / (cut_mm + kerf_mm) + 1e-9));
}

}  // namespace bight::mechanics
