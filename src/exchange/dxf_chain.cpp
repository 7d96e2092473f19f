#include "exchange/dxf_chain.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <map>
#include <numeric>
#include <unordered_map>

namespace bight::exchange {

using geometry::Vec3;

namespace {

using Cell = std::array<std::int64_t, 3>;

struct CellHash {
  std::size_t operator()(const Cell& cell) const {
    std::uint64_t hash = 1469598103934665603u;
    for (const std::int64_t part : cell) {
      hash = (hash ^ static_cast<std::uint64_t>(part)) * 1099511628211u;
      hash ^= hash >> 29;
    }
    return hash;
  }
};

// Points that lie within a distance of one another share a number, through others if need be.
class Nodes {
 public:
  explicit Nodes(double join_mm) : join_mm_(join_mm) {}

  std::size_t add(const Vec3& p_mm) {
    const std::size_t index = points_.size();
    points_.push_back(p_mm);
    parent_.push_back(index);
    const Cell home = cell_of(p_mm);
    for (std::int64_t dx = -1; dx <= 1; ++dx) {
      for (std::int64_t dy = -1; dy <= 1; ++dy) {
        for (std::int64_t dz = -1; dz <= 1; ++dz)
          join_cell({home[0] + dx, home[1] + dy, home[2] + dz}, index);
      }
    }
    cells_[home].push_back(index);
    return index;
  }

  std::size_t root(std::size_t index) {
    while (parent_[index] != index) {
      parent_[index] = parent_[parent_[index]];
      index = parent_[index];
    }
    return index;
  }

 private:
  Cell cell_of(const Vec3& p_mm) const {
    const auto part = [&](double value) {
      return static_cast<std::int64_t>(std::floor(std::clamp(value / join_mm_, -4e18, 4e18)));
    };
    return {part(p_mm.x()), part(p_mm.y()), part(p_mm.z())};
  }

  void join_cell(const Cell& cell, std::size_t index) {
    const auto found = cells_.find(cell);
    if (found == cells_.end()) return;
    // A cell full of points of one node needs no more than one of them looked at in vain.
    for (const std::size_t other : found->second) {
      if (root(other) == root(index)) continue;
      if ((points_[other] - points_[index]).norm() <= join_mm_) parent_[root(index)] = root(other);
    }
  }

  double join_mm_;
  std::vector<Vec3> points_;
  std::vector<std::size_t> parent_;
  std::unordered_map<Cell, std::vector<std::size_t>, CellHash> cells_;
};

struct Edge {
  const DxfCurve* curve;
  std::size_t from = 0;  // nodes
  std::size_t to = 0;
};

double length_of(const DxfPiece& piece) {
  return piece.arc ? piece.radius() * piece.angle.rad() : (piece.end - piece.start).norm();
}

Vec3 middle_of(const DxfPiece& piece) {
  if (!piece.arc) return (piece.start + piece.end) / 2.0;
  return piece.centre +
         geometry::turned(piece.start - piece.centre, piece.nhat_axis, piece.angle / 2.0);
}

// The same single line or arc between the same two nodes.
bool same_curve(const Edge& a, const Edge& b, double join_mm) {
  const bool same_ends = (a.from == b.from && a.to == b.to) || (a.from == b.to && a.to == b.from);
  if (!same_ends || a.curve->pieces.size() != 1 || b.curve->pieces.size() != 1) return false;
  return (middle_of(a.curve->pieces[0]) - middle_of(b.curve->pieces[0])).norm() <= join_mm;
}

std::vector<DxfPiece> backwards(const std::vector<DxfPiece>& pieces) {
  std::vector<DxfPiece> out;
  for (auto it = pieces.rbegin(); it != pieces.rend(); ++it) out.push_back(it->reversed());
  return out;
}

// Joins the curves of one layer.
class LayerJoiner {
 public:
  LayerJoiner(std::vector<const DxfCurve*> curves, double join_mm) : join_mm_(join_mm) {
    Nodes nodes(join_mm);
    for (const DxfCurve* curve : curves) {
      const std::size_t from = nodes.add(curve->pieces.front().start);
      const std::size_t to = nodes.add(curve->pieces.back().end);
      edges_.push_back({curve, from, to});
    }
    for (Edge& edge : edges_) {
      edge.from = nodes.root(edge.from);
      edge.to = nodes.root(edge.to);
    }
    for (std::size_t i = 0; i < edges_.size(); ++i) add_edge(i);
  }

  void join(DxfChains& out) {
    out.num_doubled += num_doubled_;
    std::vector<bool> used(edges_.size(), false);
    for (std::size_t i = 0; i < edges_.size(); ++i) {
      if (used[i] || doubled_[i]) continue;
      const std::vector<std::size_t> together = component(i, used);
      out.chains.push_back(chain_of(together));
    }
  }

 private:
  void add_edge(std::size_t i) {
    doubled_.push_back(false);
    // A node where very many curves meet is no part of a chain; looking for doubles there is waste.
    const std::vector<std::size_t>& others = at_[edges_[i].from];
    if (others.size() < 64) {
      doubled_[i] = std::any_of(others.begin(), others.end(), [&](std::size_t other) {
        return same_curve(edges_[i], edges_[other], join_mm_);
      });
    }
    if (doubled_[i]) {
      ++num_doubled_;
      return;
    }
    at_[edges_[i].from].push_back(i);
    at_[edges_[i].to].push_back(i);
  }

  std::vector<std::size_t> component(std::size_t first, std::vector<bool>& used) const {
    std::vector<std::size_t> found = {first};
    used[first] = true;
    for (std::size_t k = 0; k < found.size(); ++k) {
      for (const std::size_t node : {edges_[found[k]].from, edges_[found[k]].to}) {
        for (const std::size_t next : at_.at(node)) {
          if (used[next]) continue;
          used[next] = true;
          found.push_back(next);
        }
      }
    }
    std::sort(found.begin(), found.end());
    return found;
  }

  DxfChain chain_of(const std::vector<std::size_t>& together) const {
    DxfChain chain;
    chain.layer = edges_[together.front()].curve->layer;
    std::map<std::size_t, std::size_t> ends_at;
    for (const std::size_t i : together) {
      ++ends_at[edges_[i].from];
      ++ends_at[edges_[i].to];
    }
    std::size_t num_ends = 0;
    bool branched = false;
    for (const auto& [node, count] : ends_at) {
      num_ends += count == 1 ? 1u : 0u;
      branched = branched || count > 2;
    }
    chain.shape = branched        ? DxfChain::Shape::kBranched
                  : num_ends == 2 ? DxfChain::Shape::kOpen
                                  : DxfChain::Shape::kClosed;
    if (chain.shape == DxfChain::Shape::kOpen) {
      chain.pieces = walked(together, ends_at);
    } else {
      for (const std::size_t i : together) {
        const std::vector<DxfPiece>& own = edges_[i].curve->pieces;
        chain.pieces.insert(chain.pieces.end(), own.begin(), own.end());
      }
    }
    for (const DxfPiece& piece : chain.pieces) chain.length_mm += length_of(piece);
    return chain;
  }

  // From one free end to the other, then turned so that the first drawn curve keeps its direction.
  std::vector<DxfPiece> walked(const std::vector<std::size_t>& together,
                               const std::map<std::size_t, std::size_t>& ends_at) const {
    std::size_t node = 0;
    for (const auto& [candidate, count] : ends_at) {
      if (count == 1) node = candidate;
    }
    std::vector<DxfPiece> pieces;
    bool first_forward = true;
    std::size_t before = edges_.size();
    for (std::size_t k = 0; k < together.size(); ++k) {
      std::size_t edge = edges_.size();
      for (const std::size_t candidate : at_.at(node)) {
        if (candidate != before) edge = candidate;
      }
      const bool forward = edges_[edge].from == node;
      const std::vector<DxfPiece>& own = edges_[edge].curve->pieces;
      const std::vector<DxfPiece> run = forward ? own : backwards(own);
      pieces.insert(pieces.end(), run.begin(), run.end());
      if (edge == together.front()) first_forward = forward;
      node = forward ? edges_[edge].to : edges_[edge].from;
      before = edge;
    }
    return first_forward ? pieces : backwards(pieces);
  }

  double join_mm_;
  std::vector<Edge> edges_;
  std::vector<bool> doubled_;
  std::size_t num_doubled_ = 0;
  std::unordered_map<std::size_t, std::vector<std::size_t>> at_;
};

}  // namespace

DxfChains join_curves(const std::vector<DxfCurve>& curves, double join_mm) {
  DxfChains out;
  std::vector<std::string> layers;
  std::map<std::string, std::vector<const DxfCurve*>> by_layer;
  for (const DxfCurve& curve : curves) {
    if (curve.pieces.empty()) continue;
    std::vector<const DxfCurve*>& own = by_layer[curve.layer];
    if (own.empty()) layers.push_back(curve.layer);
    own.push_back(&curve);
  }
  for (const std::string& layer : layers) LayerJoiner(by_layer[layer], join_mm).join(out);
  return out;
}

double smallest_gap_mm(const std::vector<DxfChain>& chains, const std::string& layer) {
  constexpr double kLargestGap_mm = 1.0;
  constexpr std::size_t kMostCompared = 400;
  std::vector<std::pair<std::size_t, Vec3>> ends;
  for (std::size_t i = 0; i < chains.size() && ends.size() < kMostCompared; ++i) {
    if (chains[i].layer != layer || chains[i].shape != DxfChain::Shape::kOpen) continue;
    ends.emplace_back(i, chains[i].pieces.front().start);
    ends.emplace_back(i, chains[i].pieces.back().end);
  }
  double smallest_mm = 0.0;
  for (const auto& [chain, p_mm] : ends) {
    for (const auto& [other, q_mm] : ends) {
      const double gap_mm = (p_mm - q_mm).norm();
      if (chain == other || gap_mm > kLargestGap_mm) continue;
      smallest_mm = smallest_mm == 0.0 ? gap_mm : std::min(smallest_mm, gap_mm);
    }
  }
  return smallest_mm;
}

}  // namespace bight::exchange
