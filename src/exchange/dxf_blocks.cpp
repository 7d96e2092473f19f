#include "exchange/dxf_blocks.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <cmath>

namespace bight::exchange {

using base::Failure;
using geometry::Vec3;

std::size_t num_pieces(const std::vector<DxfCurve>& curves) {
  std::size_t num = 0;
  for (const DxfCurve& curve : curves) num += curve.pieces.size();
  return num;
}

void DxfBlocks::begin(std::string name, const Vec3& base_point) {
  open_ = &blocks_[std::move(name)];
  *open_ = Block();
  open_->base_point = base_point;
}

void DxfBlocks::end() { open_ = nullptr; }

void DxfBlocks::add(DxfCurve curve) {
  if (open_ != nullptr) open_->curves.push_back(std::move(curve));
}

void DxfBlocks::insert(DxfInsert insert) {
  (open_ != nullptr ? open_->inserts : model_inserts_).push_back(std::move(insert));
}

// p in the block becomes linear p + shift in the model. linear is a scale and a turn, perhaps a
// mirror image.
struct DxfBlocks::Placing {
  Eigen::Matrix3d linear = Eigen::Matrix3d::Identity();
  Vec3 shift = Vec3::Zero();
  std::size_t most_pieces;
  std::size_t* num_pieces;
  const std::string* file;
  std::map<std::string, int>* passed_over;
};

namespace {

// Scales that differ by less are one scale, written with few digits.
constexpr double kSameScale_ratio = 1e-6;

bool scales_alike(const Vec3& scale) {
  const Vec3 size = scale.cwiseAbs();
  return size.minCoeff() > 0.0 && size.maxCoeff() <= size.minCoeff() * (1.0 + kSameScale_ratio);
}

DxfPiece placed(const DxfPiece& piece, const Eigen::Matrix3d& linear, const Vec3& shift) {
  DxfPiece out = piece;
  out.start = linear * piece.start + shift;
  out.end = linear * piece.end + shift;
  out.centre = linear * piece.centre + shift;
  // An axis of turning does not change hands in a mirror the way a direction does.
  const double hand = linear.determinant() < 0.0 ? -1.0 : 1.0;
  out.nhat_axis = (linear * piece.nhat_axis).normalized() * hand;
  return out;
}

}  // namespace

base::Status DxfBlocks::place(const DxfInsert& insert, const Placing& outer, int depth,
                              std::vector<DxfCurve>& out) const {
  const auto found = blocks_.find(insert.block);
  if (found == blocks_.end() || depth > kMostDepth || !scales_alike(insert.scale)) {
    ++(*outer.passed_over)["INSERT"];
    return base::Done{};
  }
  const Block& block = found->second;
  const Eigen::Matrix3d turn =
      Eigen::AngleAxisd(insert.turn.rad(), Vec3::UnitZ()).toRotationMatrix();
  Placing inner = outer;
  inner.linear = outer.linear * insert.axes * turn * insert.scale.asDiagonal();
  for (int row = 0; row < insert.num_rows; ++row) {
    for (int column = 0; column < insert.num_columns; ++column) {
      const Vec3 step = turn * Vec3(column * insert.step.x(), row * insert.step.y(), 0.0);
      inner.shift = outer.linear * (insert.axes * (insert.at + step)) + outer.shift -
                    inner.linear * block.base_point;
      // Empty copies count too, so that blocks of nothing within blocks end.
      *outer.num_pieces += 1 + num_pieces(block.curves);
      if (*outer.num_pieces > outer.most_pieces) {
        return Failure{"dxf.many", *outer.file,
                       fmt::format("with its blocks the drawing has more than {} lines and arcs",
                                   kMostDxfPieces),
                       "save the centreline alone"};
      }
      for (const DxfCurve& curve : block.curves) {
        DxfCurve copy = curve;
        if (copy.layer == "0" && !insert.layer.empty()) copy.layer = insert.layer;
        for (DxfPiece& piece : copy.pieces) piece = placed(piece, inner.linear, inner.shift);
        out.push_back(std::move(copy));
      }
      for (const DxfInsert& nested : block.inserts) {
        BIGHT_TRY(const base::Done done, place(nested, inner, depth + 1, out));
        static_cast<void>(done);
      }
    }
  }
  return base::Done{};
}

base::Result<std::vector<DxfCurve>> DxfBlocks::inserted(
    std::size_t most_pieces, const std::string& file,
    std::map<std::string, int>& passed_over) const {
  std::vector<DxfCurve> out;
  std::size_t num = 0;
  Placing model;
  model.most_pieces = most_pieces;
  model.num_pieces = &num;
  model.file = &file;
  model.passed_over = &passed_over;
  for (const DxfInsert& insert : model_inserts_) {
    BIGHT_TRY(const base::Done done, place(insert, model, 1, out));
    static_cast<void>(done);
  }
  return out;
}

}  // namespace bight::exchange
