// Invented shops with hidden springback, for tests of coverage. A seed gives the same shop always.
#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <string>

#include "learning/springback_model.h"

namespace bight::learning::invented {

using base::Angle;

// The engine's value misses by what published analytic models missed on average (14.2, 14.4 and
// 38.9 %, Science Progress 2020, doi 10.1177/0036850420984303, abstract; a mean absolute miss is
// 0.8 standard deviations of a normal error), the fixed part lies between nothing and twice the
// engine's and a play of 0.4°. Heats differ by 3 to 25 %, readings scatter by 0.05° to 0.27°.
class Shop {
 public:
  explicit Shop(std::uint64_t seed) : random_(seed) {
    first.constant = Angle::degrees(between(0.2, 0.7));
    first.proportional_ratio = between(0.012, 0.042);
    const double miss = between(0.0, 3.0) < 2.0 ? 0.18 : 0.49;
    a_deg = first.constant.deg() * between(0.0, 2.0) + 0.4 * normal();
    b = first.proportional_ratio * std::max(0.2, 1.0 + miss * normal());
    heats_differ = 0.03 * std::pow(0.25 / 0.03, between(0.0, 1.0));
    noise_deg = 0.05 * std::pow(0.27 / 0.05, between(0.0, 1.0));
  }

  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(random_() >> 11) * 0x1p-53;
  }
  // Box and Muller, so that every library gives the same shop.
  double normal() {
    const double u = std::max(between(0.0, 1.0), 1e-300);
    return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * 3.14159265358979323846 * between(0, 1));
  }

  // Where a bend really finishes.
  Angle finished(Angle set, const std::string& heat) {
    if (!factors_.contains(heat)) factors_[heat] = std::exp(heats_differ * normal());
    const double lost_deg = factors_[heat] * (a_deg + b * set.deg());
    return set - Angle::degrees(lost_deg + noise_deg * normal());
  }
  BendReading bend(double set_deg, const std::string& heat) {
    BendReading reading;
    const Angle set = Angle::degrees(set_deg);
    reading.angles = {set, finished(set, heat)};
    reading.name = "a bend";
    reading.kind = "tube and die";
    reading.heat = heat;
    reading.first = first;
    return reading;
  }
  BendReading any_bend(const std::string& heat) { return bend(between(20, 130), heat); }
  SpringbackTarget target(const std::string& heat) const {
    return {"tube and die", heat, "", first};
  }

  FirstLine first;
  double a_deg = 0.0;
  double b = 0.0;
  double heats_differ = 0.0;
  double noise_deg = 0.0;

 private:
  std::mt19937_64 random_;
  std::map<std::string, double> factors_;
};

}  // namespace bight::learning::invented
