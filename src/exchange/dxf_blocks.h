// Blocks of a drawing, and their insertion into the model.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "exchange/dxf_entities.h"

namespace bight::exchange {

// One INSERT: the block's geometry, scaled, turned, moved, once or in rows and columns.
struct DxfInsert {
  std::string block;
  std::string layer;
  geometry::Vec3 at = geometry::Vec3::Zero();  // in the insert's own axes
  geometry::Vec3 scale = geometry::Vec3::Ones();
  base::Angle turn;
  Eigen::Matrix3d axes = Eigen::Matrix3d::Identity();
  int num_columns = 1;
  int num_rows = 1;
  geometry::Vec3 step = geometry::Vec3::Zero();  // x from column to column, y from row to row
};

class DxfBlocks {
 public:
  // Between begin and end, add() and insert() belong to the block; outside, insert() is the
  // model's.
  void begin(std::string name, const geometry::Vec3& base_point);
  void end();
  void add(DxfCurve curve);
  void insert(DxfInsert insert);

  // Everything the model inserts, blocks within blocks too, up to kMostDepth levels. Geometry on
  // layer 0 takes the layer of its insert. An insert scaled unlike in different directions, of a
  // block that is not there, or too deep is counted as passed over.
  // Failure code: dxf.many (more than `most_pieces`).
  base::Result<std::vector<DxfCurve>> inserted(std::size_t most_pieces, const std::string& file,
                                               std::map<std::string, int>& passed_over) const;

  static constexpr int kMostDepth = 16;

 private:
  struct Block {
    geometry::Vec3 base_point = geometry::Vec3::Zero();
    std::vector<DxfCurve> curves;
    std::vector<DxfInsert> inserts;
  };
  struct Placing;

  base::Status place(const DxfInsert& insert, const Placing& outer, int depth,
                     std::vector<DxfCurve>& out) const;

  std::map<std::string, Block> blocks_;
  std::vector<DxfInsert> model_inserts_;
  Block* open_ = nullptr;
};

std::size_t num_pieces(const std::vector<DxfCurve>& curves);

}  // namespace bight::exchange
