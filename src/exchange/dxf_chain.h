// Lines and arcs drawn in any order and direction, joined end to end.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "exchange/dxf_entities.h"

namespace bight::exchange {

// Pieces that hang together on one layer.
struct DxfChain {
  enum class Shape { kOpen, kClosed, kBranched };
  std::string layer;
  Shape shape = Shape::kOpen;
  // Of an open chain, from one end to the other, each starting where the last one ends, in the
  // direction in which its first drawn curve was drawn. Otherwise in drawn order.
  std::vector<DxfPiece> pieces;
  double length_mm = 0.0;

  bool bends() const { return shape == Shape::kOpen && pieces.size() > 1; }
};

struct DxfChains {
  std::vector<DxfChain> chains;  // by first drawn curve
  std::size_t num_doubled = 0;   // curves drawn twice, counted once
};

// Ends closer than join_mm touch. Coordinates in millimetres. @pre join_mm > 0.
DxfChains join_curves(const std::vector<DxfCurve>& curves, double join_mm);

// The smallest gap between ends of different open chains of one layer, up to 1 mm; 0 when there is
// none so small: what a larger join_mm would bridge.
double smallest_gap_mm(const std::vector<DxfChain>& chains, const std::string& layer);

}  // namespace bight::exchange
