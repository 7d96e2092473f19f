// How far readings of one gauge agree when several people read the same pieces several times.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"
#include "running/capability.h"

namespace bight::running {

struct GaugeReading {
  std::string person, piece;
  double value = 0.0;  // in the caller's unit
};

// One line of the analysis of variance.
struct VarianceLine {
  double squares = 0.0;
  double freedom = 0.0;
  double mean_square() const { return freedom > 0.0 ? squares / freedom : 0.0; }
};

struct Scatter {
  double sigma = 0.0;
  Interval interval;  // of sigma
};

struct PersonOff {
  std::string person;
  double off = 0.0;  // mean of this person's readings less the mean of all
};

struct GaugeStudy {
  std::size_t num_people = 0, num_pieces = 0, num_trials = 0;
  VarianceLine people, pieces, interaction, repeat, total;
  double interaction_share_above = 1.0;  // p of the interaction's F
  bool interaction_pooled = false;       // p above 0.25: counted as repeatability
  Scatter repeatability;                 // one person, one piece, again
  Scatter gauge;                         // whoever reads: repeatability and reproducibility
  double reproducibility_sigma = 0.0;
  double piece_sigma = 0.0;
  double total_sigma = 0.0;
  double share_of_total_ratio = 0.0;               // gauge sigma over total sigma
  std::optional<double> share_of_tolerance_ratio;  // 6 gauge sigmas over the tolerance's width
  int distinct = 0;                                // groups of pieces the gauge tells apart
  double share_ratio = 0.95;                       // of the intervals
  std::vector<PersonOff> offs;                     // by name
};

// Crossed two-way analysis of variance with random effects: AIAG, Measurement Systems Analysis, 4th
// ed., ch. III (from memory). Repeatability's interval is exact for normal readings; the gauge's is
// Satterthwaite's, Biometrics Bulletin 2 (1946) 110-114 (from memory), and with two people wide.
// Failure codes: gauge.few (under two people, pieces or trials), gauge.balance (not every person
// read every piece equally often), chart.number.
base::Result<GaugeStudy> gauge_study(std::span<const GaugeReading> readings,
                                     std::optional<double> tolerance_width = std::nullopt,
                                     double share_ratio = 0.95);

}  // namespace bight::running
