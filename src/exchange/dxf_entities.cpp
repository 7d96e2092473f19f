#include "exchange/dxf_entities.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <array>
#include <cmath>
#include <numbers>

#include "exchange/dxf_blocks.h"
#include "exchange/dxf_groups.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using base::Result;
using geometry::Vec3;

double DxfPiece::radius() const { return (start - centre).norm(); }

Vec3 DxfPiece::ahead_at_start() const {
  return arc ? nhat_axis.cross(start - centre).normalized() : (end - start).normalized();
}

Vec3 DxfPiece::ahead_at_end() const {
  return arc ? nhat_axis.cross(end - centre).normalized() : (end - start).normalized();
}

DxfPiece DxfPiece::reversed() const {
  DxfPiece other = *this;
  std::swap(other.start, other.end);
  other.nhat_axis = -nhat_axis;
  return other;
}

Eigen::Matrix3d ocs_axes(const Vec3& extrusion) {
  Eigen::Matrix3d axes = Eigen::Matrix3d::Identity();
  if (extrusion.norm() < 1e-12) return axes;
  const Vec3 z = extrusion.normalized();
  constexpr double kNearPole = 1.0 / 64.0;
  const bool near_pole = std::abs(z.x()) < kNearPole && std::abs(z.y()) < kNearPole;
  const Vec3 x = (near_pole ? Vec3::UnitY() : Vec3::UnitZ()).cross(z).normalized();
  axes.col(0) = x;
  axes.col(1) = z.cross(x).normalized();
  axes.col(2) = z;
  return axes;
}

namespace {

// The groups of one entity that matter here.
class Entity {
 public:
  void start(std::string_view type) {
    type_ = type;
    layer_.clear();
    name_.clear();
    paper_ = false;
    in_foreign_data_ = false;
    numbers_.clear();
    vertices_.clear();
  }

  void take(const DxfGroup& group) {
    // Extended data behind 1001 and dictionaries in 102 { } reuse codes for other things.
    if (group.code == 102) in_foreign_data_ = group.text.starts_with('{');
    if (group.code >= 1000 || in_foreign_data_) return;
    if (group.code == 8) layer_ = group.text;
    if (group.code == 2) name_ = group.text;
    if (group.code == 67) paper_ = group.number != 0.0;
    if (type_ == "LWPOLYLINE" && group.code == 10) {
      vertices_.push_back({group.number, 0.0, 0.0});
    } else if (type_ == "LWPOLYLINE" && group.code == 20 && !vertices_.empty()) {
      vertices_.back().y = group.number;
    } else if (type_ == "LWPOLYLINE" && group.code == 42 && !vertices_.empty()) {
      vertices_.back().bulge_ratio = group.number;
    } else {
      numbers_[group.code] = group.number;
    }
  }

  struct Vertex {
    double x, y, bulge_ratio;
  };

  const std::string& type() const { return type_; }
  const std::string& layer() const { return layer_; }
  const std::string& name() const { return name_; }
  bool paper() const { return paper_; }
  const std::vector<Vertex>& vertices() const { return vertices_; }
  double number(int code, double otherwise = 0.0) const {
    const auto found = numbers_.find(code);
    return found == numbers_.end() ? otherwise : found->second;
  }
  int flags() const {
    const double flags = number(70);
    return flags >= 0.0 && flags < 65536.0 ? static_cast<int>(flags) : 0;
  }
  Vec3 point(int code) const { return {number(code), number(code + 10), number(code + 20)}; }
  Eigen::Matrix3d axes() const { return ocs_axes({number(210), number(220), number(230, 1.0)}); }

 private:
  std::string type_, layer_, name_;
  bool paper_ = false;
  bool in_foreign_data_ = false;
  std::map<int, double> numbers_;
  std::vector<Vertex> vertices_;
};

std::optional<DxfPiece> straight(const Vec3& start, const Vec3& end) {
  if ((end - start).norm() == 0.0) return std::nullopt;
  DxfPiece piece;
  piece.start = start;
  piece.end = end;
  return piece;
}

// From start to end with bulge = tan(angle / 4), left turns positive, in the plane of the axes.
std::optional<DxfPiece> bulged(const Vec3& start, const Vec3& end, double bulge_ratio,
                               const Vec3& nhat) {
  // Less than this turns by less than 0.0001°: a straight written by way of a curve.
  if (std::abs(bulge_ratio) < 1e-7) return straight(start, end);
  const Vec3 chord = end - start;
  if (chord.norm() == 0.0 || std::abs(bulge_ratio) > 1e6) return std::nullopt;
  DxfPiece piece;
  piece.start = start;
  piece.end = end;
  piece.arc = true;
  piece.angle = Angle::radians(4.0 * std::atan(std::abs(bulge_ratio)));
  piece.nhat_axis = bulge_ratio > 0.0 ? nhat : Vec3(-nhat);
  // The centre lies left of the chord for a left turn below 180 degrees.
  const Vec3 left = nhat.cross(chord);
  piece.centre =
      (start + end) / 2.0 + left * ((1.0 - bulge_ratio * bulge_ratio) / (4.0 * bulge_ratio));
  return piece;
}

std::optional<DxfPiece> arc_of(const Entity& e) {
  const double radius = e.number(40);
  const Angle from = Angle::degrees(e.number(50));
  const Angle sweep = Angle::degrees(e.number(51) - e.number(50)).wrapped_positive();
  if (!(radius > 0.0) || sweep.rad() == 0.0) return std::nullopt;
  const Eigen::Matrix3d axes = e.axes();
  const auto on_circle = [&](Angle at) {
    return Vec3(axes * (e.point(10) + radius * Vec3(base::cos(at), base::sin(at), 0.0)));
  };
  DxfPiece piece;
  piece.arc = true;
  piece.centre = axes * e.point(10);
  piece.nhat_axis = axes.col(2);
  piece.angle = sweep;
  piece.start = on_circle(from);
  piece.end = on_circle(from + sweep);
  return piece;
}

// Vertices in the plane become pieces.
void add_flat(const std::vector<Entity::Vertex>& vertices, double elevation,
              const Eigen::Matrix3d& axes, DxfCurve& curve) {
  const std::size_t num = vertices.size();
  const std::size_t num_pieces = num < 2 ? 0 : curve.closed ? num : num - 1;
  for (std::size_t i = 0; i < num_pieces; ++i) {
    const Entity::Vertex& a = vertices[i];
    const Entity::Vertex& b = vertices[(i + 1) % num];
    const auto piece = bulged(axes * Vec3(a.x, a.y, elevation), axes * Vec3(b.x, b.y, elevation),
                              a.bulge_ratio, axes.col(2));
    if (piece) curve.pieces.push_back(*piece);
  }
}

// Reads the whole drawing, section by section.
class DrawingReader {
 public:
  DrawingReader(DxfGroups groups, std::string file)
      : groups_(std::move(groups)), file_(std::move(file)) {}

  Result<DxfDrawing> read() {
    DxfGroup group;
    bool any_section = false;
    while (true) {
      BIGHT_TRY(const bool more, groups_.next(group));
      if (!more) break;
      BIGHT_TRY(const base::Done done, take(group));
      static_cast<void>(done);
      any_section = any_section || !section_.empty();
    }
    finish_entity();
    finish_polyline();
    if (!any_section) {
      return Failure{"dxf.syntax", file_, "there is no section in it, so this is no DXF drawing",
                     "export the drawing again as DXF"};
    }
    drawing_.complete = groups_.saw_end();
    const std::size_t room = kMostDxfPieces - std::min(kMostDxfPieces, num_pieces(drawing_.curves));
    BIGHT_TRY(std::vector<DxfCurve> inserted, blocks_.inserted(room, file_, drawing_.passed_over));
    for (DxfCurve& curve : inserted) drawing_.curves.push_back(std::move(curve));
    return std::move(drawing_);
  }

 private:
  base::Status take(const DxfGroup& group) {
    if (group.code != 0) {
      if (awaiting_section_ && group.code == 2) {
        section_ = group.text;
        awaiting_section_ = false;
      } else if (section_ == "HEADER") {
        take_header(group);
      } else {
        entity_.take(group);
      }
      return base::Done{};
    }
    finish_entity();
    if (num_pieces_ > kMostDxfPieces) {
      return Failure{"dxf.many", groups_.where(group),
                     fmt::format("the drawing has more than {} lines and arcs", kMostDxfPieces),
                     "save the centreline alone"};
    }
    awaiting_section_ = group.text == "SECTION";
    if (group.text == "ENDSEC") section_.clear();
    entity_.start(group.text);
    return base::Done{};
  }

  void take_header(const DxfGroup& group) {
    if (group.code == 9) variable_ = group.text;
    if (variable_ == "$INSUNITS" && group.code == 70) {
      drawing_.unit_code = static_cast<int>(group.number);
    }
    if (variable_ == "$ACADVER" && group.code == 1) drawing_.version = group.text;
  }

  // Puts the entity just read where it belongs.
  void finish_entity() {
    const std::string& type = entity_.type();
    if (section_ == "BLOCKS" && type == "BLOCK") {
      blocks_.begin(entity_.name(), entity_.point(10));
    } else if (section_ == "BLOCKS" && type == "ENDBLK") {
      finish_polyline();
      blocks_.end();
    } else if (section_ == "ENTITIES" || section_ == "BLOCKS") {
      take_entity(type);
    }
    entity_.start("");
  }

  void take_entity(const std::string& type) {
    if (type.empty() || type == "SECTION" || type == "ENDSEC") return;
    if (type == "VERTEX" && polyline_) return take_vertex();
    finish_polyline();
    if (type == "SEQEND" || type == "VERTEX" || entity_.paper()) return;
    DxfCurve curve;
    curve.layer = entity_.layer().empty() ? "0" : entity_.layer();
    if (type == "LINE") {
      if (const auto piece = straight(entity_.point(10), entity_.point(11))) {
        curve.pieces.push_back(*piece);
      }
    } else if (type == "ARC") {
      if (const auto piece = arc_of(entity_)) curve.pieces.push_back(*piece);
    } else if (type == "LWPOLYLINE") {
      curve.polyline = true;
      curve.closed = (entity_.flags() & 1) != 0;
      add_flat(entity_.vertices(), entity_.number(38), entity_.axes(), curve);
    } else if (type == "POLYLINE" && (entity_.flags() & (16 | 64)) == 0) {
      polyline_ = entity_;
      return;
    } else if (type == "INSERT") {
      blocks_.insert(insert_of_entity());
      return;
    } else {
      ++drawing_.passed_over[type];
      return;
    }
    add(std::move(curve));
  }

  DxfInsert insert_of_entity() const {
    DxfInsert insert;
    insert.block = entity_.name();
    insert.layer = entity_.layer();
    insert.at = entity_.point(10);
    insert.scale = {entity_.number(41, 1.0), entity_.number(42, 1.0), entity_.number(43, 1.0)};
    insert.turn = Angle::degrees(entity_.number(50));
    insert.axes = entity_.axes();
    insert.num_columns = static_cast<int>(std::clamp(entity_.number(70, 1.0), 0.0, 1e4));
    insert.num_rows = static_cast<int>(std::clamp(entity_.number(71, 1.0), 0.0, 1e4));
    insert.step = {entity_.number(44), entity_.number(45), 0.0};
    return insert;
  }

  void take_vertex() {
    // 16: a control point of a fitted spline, not on the curve.
    if ((entity_.flags() & 16) != 0) return;
    polyline_points_.push_back(entity_.point(10));
    polyline_bulges_.push_back(entity_.number(42));
  }

  void finish_polyline() {
    if (!polyline_) return;
    DxfCurve curve;
    curve.layer = polyline_->layer().empty() ? "0" : polyline_->layer();
    curve.polyline = true;
    curve.closed = (polyline_->flags() & 1) != 0;
    const bool in_space = (polyline_->flags() & 8) != 0;
    if (in_space) {
      const std::size_t num = polyline_points_.size();
      for (std::size_t i = 0; i + 1 < num + (curve.closed ? 1 : 0); ++i) {
        const auto piece = straight(polyline_points_[i], polyline_points_[(i + 1) % num]);
        if (piece) curve.pieces.push_back(*piece);
      }
    } else {
      std::vector<Entity::Vertex> vertices;
      for (std::size_t i = 0; i < polyline_points_.size(); ++i) {
        vertices.push_back({polyline_points_[i].x(), polyline_points_[i].y(), polyline_bulges_[i]});
      }
      // The elevation of a flat polyline is the z of its own, empty point.
      add_flat(vertices, polyline_->number(30), polyline_->axes(), curve);
    }
    polyline_.reset();
    polyline_points_.clear();
    polyline_bulges_.clear();
    add(std::move(curve));
  }

  void add(DxfCurve curve) {
    if (curve.pieces.empty()) return;
    num_pieces_ += curve.pieces.size();
    if (section_ == "BLOCKS") {
      blocks_.add(std::move(curve));
    } else {
      drawing_.curves.push_back(std::move(curve));
    }
  }

  DxfGroups groups_;
  std::string file_;
  DxfDrawing drawing_;
  DxfBlocks blocks_;
  std::string section_, variable_;
  bool awaiting_section_ = false;
  Entity entity_;
  std::optional<Entity> polyline_;
  std::vector<Vec3> polyline_points_;
  std::vector<double> polyline_bulges_;
  std::size_t num_pieces_ = 0;
};

}  // namespace

Result<DxfDrawing> read_dxf_drawing(std::string_view bytes, const std::string& file) {
  BIGHT_TRY(DxfGroups groups, DxfGroups::open(bytes, file));
  return DrawingReader(std::move(groups), file).read();
}

}  // namespace bight::exchange
