// A tube as found in a scan, before its ends and its fit are looked at.
#pragma once

#include <optional>
#include <vector>

#include "part/finding.h"
#include "reader/chain.h"
#include "reader/ends.h"
#include "reader/skin.h"

namespace bight::reader {

struct Tube {
  bool round = true;
  bool hollow = false;
  std::vector<Strand> run;        // the centreline, in travelling order
  Path path;                      // of the run
  std::vector<Outline> outlines;  // outer, then inner when hollow
  std::vector<SkinPoint> points;
  // Edge points of the outer and inner skin near each end (A, B).
  std::vector<EdgePoint> outer_edges[2];
  std::vector<EdgePoint> inner_edges[2];
  std::vector<std::size_t> skin_faces;  // all of them
  std::vector<std::size_t> bodies;
  std::vector<part::Finding> findings;
  double length_mm = 0.0;
};

// The longest round tube or bar; none when nothing in the scan is one. others, when given,
// receives a sentence for each further tube that was not chosen.
std::optional<Tube> find_round_tube(const Scan& scan, std::vector<std::string>* others = nullptr);

// The longest rectangular tube or bar.
std::optional<Tube> find_rect_tube(const Scan& scan);

// Points of a face for measuring: its grid when that is the face itself, else its edges.
void add_skin_points(const Scan& scan, std::size_t face, std::size_t segment, std::size_t outline,
                     std::vector<SkinPoint>& points);

// All edge points of a face, for looking at ends.
void add_edge_points(const Scan& scan, std::size_t face, std::size_t segment,
                     std::vector<EdgePoint>& points);

// Sorted, each once.
void make_unique(std::vector<std::size_t>& indices);

}  // namespace bight::reader
