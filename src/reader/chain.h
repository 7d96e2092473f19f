// Strands that follow one another, end to end and tangent: the run of a tube's skin.
#pragma once

#include <vector>

#include "base/result.h"
#include "geometry/bend_table.h"
#include "geometry/frame.h"
#include "reader/strand.h"

namespace bight::reader {

struct Link {
  std::size_t strand = 0;
  bool reversed = false;  // travelled from ends[1] to ends[0]
};

struct Chain {
  std::vector<Link> links;
  bool closed = false;  // runs back into itself
  bool convex = true;
  double profile_mm = 0.0;
  double length_mm = 0.0;
  std::size_t num_bends = 0;
  double worst_gap_mm = 0.0;    // between ends that were taken to meet
  base::Angle worst_kink;       // between their tangents
  std::size_t num_covered = 0;  // joints hidden under something fused on
};

// Ends further apart or more kinked than a clean joint but still taken to meet, with a caution.
inline constexpr double kLooseGap_mm = 0.1;
inline constexpr double kLooseKink_deg = 1.0;
inline constexpr double kCleanKink_deg = 0.01;

// Chains of the strands among one another; only strands of like side and profile join. Each strand
// is in exactly one chain. A run hidden by something fused round the tube (a collar, a bracket) is
// bridged inside one body; strands may be lengthened to the tangent point for that.
std::vector<Chain> chains_of(const Scan& scan, std::vector<Strand>& strands);

// A chain as a table with the frame of its first end.
struct Path {
  geometry::BendTable table;
  geometry::Frame start;
  std::vector<std::size_t> segments;  // of geometry::Centreline, one for each link
};

// Oriented strands in travelling order -> table. Straights are measured between tangent points.
// Failure code: step.table (no length, or an angle no bend can have).
base::Result<Path> path_of(const std::vector<Strand>& travelled);

// The chain's strands turned to run in travelling order.
std::vector<Strand> travelled(const Chain& chain, const std::vector<Strand>& strands);

}  // namespace bight::reader
