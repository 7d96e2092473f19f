// Control charts of single readings, and rules that say a process has changed.
//
// Units are the caller's: the same for readings, centres and limits.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace bight::running {

// Centre and spread a chart is held to.
struct Baseline {
  double centre = 0.0;
  double sigma = 0.0;  // of single readings
};

// Mean of the readings, and mean moving range over 1.128 (d2 of pairs, as tables print it).
// Failure codes: chart.few (under two readings), chart.number (not finite).
base::Result<Baseline> baseline_of(std::span<const double> readings);

// Individuals and moving-range chart: centre ± 3 sigma; moving range up to 3.267 times its mean
// [NIST/SEMATECH e-Handbook 6.3.2.2].
struct IndividualsChart {
  Baseline base;
  double upper = 0.0, lower = 0.0;
  double range_mean = 0.0, range_upper = 0.0;  // of the moving range
  std::vector<double> readings;
  std::vector<double> ranges;  // one less than readings
};
// Without a baseline the readings are their own.
// Failure codes: chart.few, chart.number.
base::Result<IndividualsChart> individuals_chart(std::span<const double> readings,
                                                 std::optional<Baseline> base = std::nullopt);

struct EwmaOptions {
  double weight_ratio = 0.2;  // λ of the newest reading, above 0, at most 1; 0.2 to 0.3 usual
  double limit_sigmas = 3.0;  // limits in sigmas of the smoothed value
  bool settled = false;       // limits of a chart that has run for long, from the first point on
};
// z = λ y + (1 − λ) z before, from the centre on; limits centre ± width sigma
// √(λ/(2 − λ) (1 − (1 − λ)^2t)), without the last factor when settled
// [NIST/SEMATECH e-Handbook 6.3.2.4].
struct EwmaChart {
  Baseline base;
  EwmaOptions options;
  std::vector<double> smoothed, upper, lower;  // one for each reading
};
// Failure codes: chart.number (not finite, weight or width out of range).
base::Result<EwmaChart> ewma_chart(std::span<const double> readings, const Baseline& base,
                                   const EwmaOptions& options = {});

// What the last readings look like. Zones are counted in sigmas from the centre.
enum class Pattern {
  kBeyondThree,        // one beyond 3
  kTwoBeyondTwo,       // two of three beyond 2, on one side
  kFourBeyondOne,      // four of five beyond 1, on one side
  kEightOnOneSide,     // eight in a row
  kSixRising,          // six in a row, each above (below) the one before
  kFourteenAlternate,  // fourteen in a row up and down by turns
  kFifteenNear,        // fifteen in a row within 1
  kEightFar,           // eight in a row beyond 1, on both sides
};
inline constexpr int kNumPatterns = 8;
std::string_view pattern_name(Pattern pattern);   // "one-beyond-3", …
std::string_view pattern_words(Pattern pattern);  // in a sentence
// The first four: Western Electric Co., Statistical Quality Control Handbook, 1956; the next two:
// NIST/SEMATECH e-Handbook 6.3.2, trend rules; the last two: Nelson, J. Quality Technology 16
// (1984) 237-239.
std::string_view pattern_source(Pattern pattern);

// Those that see a shift or a drift; the others find readings that are made up, mixed or over-
// corrected, and add false alarms.
inline constexpr Pattern kDriftPatterns[] = {Pattern::kBeyondThree, Pattern::kTwoBeyondTwo,
                                             Pattern::kFourBeyondOne, Pattern::kEightOnOneSide,
                                             Pattern::kSixRising};

struct Signal {
  std::size_t at = 0;  // index of the reading that completed it
  Pattern pattern = Pattern::kBeyondThree;
  int side = 0;  // 1 above (rising), -1 below (falling), 0 both
};

// Every reading that completes a pattern, in order of readings. With sigma 0 any reading off the
// centre lies beyond all zones.
std::vector<Signal> signals_of(std::span<const double> readings, const Baseline& base,
                               std::span<const Pattern> patterns = kDriftPatterns);

}  // namespace bight::running
