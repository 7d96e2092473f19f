#include "exchange/film_gltf.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "clearance/convex_parts.h"
#include "clearance/surroundings.h"
#include "exchange/gltf_scene.h"
#include "exchange/tube_mesh.h"

namespace bight::exchange {

using base::Angle;
using geometry::Vec3;
using nlohmann::ordered_json;

namespace {

constexpr int kTriangles = 4;
constexpr int kSides = 24;
constexpr double kRoom_mm = 6000.0;  // floor and walls are drawn this large
const Angle kLink = Angle::degrees(6);

enum Paint { kMetal, kTool, kMachine, kKeepOut, kRoom };

ordered_json materials() {
  const auto paint = [](const char* name, double r, double g, double b, double a, double metallic) {
    ordered_json out = {{"name", name},
                        {"pbrMetallicRoughness",
                         {{"baseColorFactor", {r, g, b, a}},
                          {"metallicFactor", metallic},
                          {"roughnessFactor", 0.6}}}};
    if (a < 1.0) out["alphaMode"] = "BLEND";
    return out;
  };
  return {paint("tube", 0.72, 0.75, 0.79, 1.0, 0.5), paint("die", 0.30, 0.33, 0.37, 1.0, 0.4),
          paint("machine", 0.36, 0.46, 0.44, 1.0, 0.1),
          paint("keep out", 0.90, 0.62, 0.10, 0.25, 0.0),
          paint("room", 0.80, 0.79, 0.76, 1.0, 0.0)};
}

// A convex face once round, its outside where it runs counter-clockwise.
void add_face(TubeMesh& mesh, const std::vector<Vec3>& corners_mm) {
  const Vec3 normal = (corners_mm[1] - corners_mm[0]).cross(corners_mm[2] - corners_mm[0]);
  if (!(normal.norm() > 0.0)) return;
  const auto first = static_cast<std::uint32_t>(mesh.points_mm.size());
  for (const Vec3& corner_mm : corners_mm) {
    mesh.points_mm.push_back(corner_mm);
    mesh.normals.push_back(normal.normalized());
  }
  for (std::uint32_t i = 2; i < corners_mm.size(); ++i) {
    mesh.triangles.push_back({first, first + i - 1, first + i});
  }
}

// A convex outline, counter-clockwise, between two heights.
void add_prism(TubeMesh& mesh, const std::vector<Eigen::Vector2d>& outline_mm, double low_mm,
               double high_mm) {
  const auto at = [&](std::size_t i, double z_mm) {
    const Eigen::Vector2d& p = outline_mm[i % outline_mm.size()];
    return Vec3(p.x(), p.y(), z_mm);
  };
  std::vector<Vec3> top;
  std::vector<Vec3> bottom;
  for (std::size_t i = 0; i < outline_mm.size(); ++i) {
    top.push_back(at(i, high_mm));
    bottom.push_back(at(outline_mm.size() - i, low_mm));
    add_face(mesh, {at(i, low_mm), at(i + 1, low_mm), at(i + 1, high_mm), at(i, high_mm)});
  }
  add_face(mesh, top);
  add_face(mesh, bottom);
}

std::vector<Eigen::Vector2d> circle(double radius_mm) {
  std::vector<Eigen::Vector2d> out;
  for (int i = 0; i < kSides; ++i) {
    const double a_rad = 2.0 * std::numbers::pi * i / kSides;
    out.emplace_back(radius_mm * std::cos(a_rad), radius_mm * std::sin(a_rad));
  }
  return out;
}

std::vector<Eigen::Vector2d> rectangle(double x_mm, double y_mm) {
  return {{-x_mm, -y_mm}, {x_mm, -y_mm}, {x_mm, y_mm}, {-x_mm, y_mm}};
}

TubeMesh mesh_of(const workshop::BoxShape& box) {
  TubeMesh mesh;
  const Vec3 half_mm = 0.5 * box.size_mm;
  add_prism(mesh, rectangle(half_mm.x(), half_mm.y()), -half_mm.z(), half_mm.z());
  return mesh;
}
TubeMesh mesh_of(const workshop::CylinderShape& cylinder) {
  TubeMesh mesh;
  const double half_mm = 0.5 * cylinder.length_mm;
  add_prism(mesh, circle(cylinder.radius_mm), -half_mm, half_mm);
  return mesh;
}
TubeMesh mesh_of(const workshop::OutlineShape& outline) {
  TubeMesh mesh;
  const auto parts = clearance::convex_parts(outline.outline_mm);
  if (!parts.has_value()) return mesh;
  for (const auto& part : *parts) add_prism(mesh, part, 0.0, outline.height_mm);
  return mesh;
}
TubeMesh mesh_of(const workshop::MeshShape& shape) {
  TubeMesh mesh;
  for (const auto& [a, b, c] : shape.triangles) {
    add_face(mesh, {shape.points_mm[a], shape.points_mm[b], shape.points_mm[c]});
  }
  return mesh;
}

// Where one node is at every moment.
struct Track {
  std::vector<float> places_m, turns, sizes;  // 3, 4 and 3 numbers for a moment

  void add(const Vec3& place_mm, const Eigen::Quaterniond& turn, const Vec3& size) {
    for (int i = 0; i < 3; ++i) {
      places_m.push_back(static_cast<float>(place_mm[i] * kMetresPerMillimetre));
      sizes.push_back(static_cast<float>(size[i]));
    }
    const Eigen::Quaterniond q = turn.normalized();
    for (const double x : {q.x(), q.y(), q.z(), q.w()}) turns.push_back(static_cast<float>(x));
  }
  void add(const Eigen::Isometry3d& pose) {
    add(pose.translation(), Eigen::Quaterniond(pose.linear()), Vec3::Ones());
  }
  void hide() { add(Vec3::Zero(), Eigen::Quaterniond::Identity(), Vec3::Zero()); }
};

// A straight bit of the tube.
struct Link {
  Vec3 from_mm, to_mm;
};

std::vector<Link> links_of(const std::vector<geometry::Segment>& tube) {
  std::vector<Link> links;
  for (const geometry::Segment& piece : tube) {
    if (!(piece.length_mm > 0.0)) continue;
    const int num =
        piece.is_arc() ? std::max(1, static_cast<int>(std::ceil(piece.angle / kLink - 1e-9))) : 1;
    for (int i = 0; i < num; ++i) {
      links.push_back({piece.at(piece.length_mm * i / num).origin_mm,
                       piece.at(piece.length_mm * (i + 1) / num).origin_mm});
    }
  }
  return links;
}

class Film {
 public:
  explicit Film(const planning::Clearing& clearing) : clearing_(clearing) {}

  base::Status take(const FilmStyle& style);
  std::string write(bool binary);

 private:
  void take_moment(std::size_t step, const clearance::Moment& moment);
  int add_mesh(const std::string& name, const TubeMesh& mesh, Paint paint);
  void add_node(const std::string& name, std::optional<int> mesh, const Track* track);
  void animate(int node, const char* path, int times, const std::vector<float>& values, int width);
  void add_room();
  void add_dies();

  const planning::Clearing& clearing_;
  std::vector<float> times_s_;
  std::vector<Track> bodies_;
  std::vector<Track> dies_;   // beside Clearing::mounted
  std::vector<Track> links_;  // of the tube
  GltfScene scene_;
  ordered_json meshes_ = ordered_json::array();
  ordered_json nodes_ = ordered_json::array();
  ordered_json samplers_ = ordered_json::array();
  ordered_json channels_ = ordered_json::array();
  int times_ = 0;
};

void Film::take_moment(std::size_t step, const clearance::Moment& moment) {
  for (std::size_t i = 0; i < bodies_.size(); ++i) bodies_[i].add(moment.bodies[i]);
  for (std::size_t i = 0; i < dies_.size(); ++i) {
    if (i == clearing_.die_of_step[step]) {
      dies_[i].add(moment.die);
    } else {
      dies_[i].hide();
    }
  }
  const std::vector<Link> links = links_of(moment.tube);
  while (links_.size() < links.size()) {
    links_.emplace_back();
    for (std::size_t i = 1; i < times_s_.size(); ++i) links_.back().hide();
  }
  for (std::size_t i = 0; i < links_.size(); ++i) {
    if (i >= links.size()) {
      links_[i].hide();
      continue;
    }
    const Vec3 along_mm = links[i].to_mm - links[i].from_mm;
    links_[i].add(links[i].from_mm, Eigen::Quaterniond::FromTwoVectors(Vec3::UnitZ(), along_mm),
                  Vec3(1.0, 1.0, along_mm.norm() * kMetresPerMillimetre));
  }
}

base::Status Film::take(const FilmStyle& style) {
  bodies_.resize(clearing_.bender.around.bodies.size());
  dies_.resize(clearing_.mounted.size());
  double time_s = 0.0;
  for (std::size_t k = 0; k < clearing_.steps.size(); ++k) {
    BIGHT_TRY(
        const std::vector<clearance::Moment> film,
        clearance::movement(clearing_.setup(k), clearing_.tube, clearing_.steps[k], style.moments));
    for (const clearance::Moment& moment : film) {
      times_s_.push_back(static_cast<float>(time_s));
      take_moment(k, moment);
      time_s += style.moment_s;
    }
    time_s += style.pause_s;
  }
  return base::Done{};
}

int Film::add_mesh(const std::string& name, const TubeMesh& mesh, Paint paint) {
  const int positions = scene_.add_vectors(mesh.points_mm, kMetresPerMillimetre, true);
  const int normals = scene_.add_vectors(mesh.normals, 1.0, false);
  const int indices = scene_.add_triangles(mesh.triangles);
  ordered_json primitive = {{"attributes", {{"POSITION", positions}, {"NORMAL", normals}}},
                            {"indices", indices},
                            {"material", static_cast<int>(paint)},
                            {"mode", kTriangles}};
  meshes_.push_back({{"name", name}, {"primitives", {std::move(primitive)}}});
  return static_cast<int>(meshes_.size()) - 1;
}

void Film::animate(int node, const char* path, int times, const std::vector<float>& values,
                   int width) {
  bool still = true;
  const auto step = static_cast<std::size_t>(width);
  for (std::size_t i = step; i < values.size() && still; ++i) {
    still = values[i] == values[i - step];
  }
  ordered_json& json = nodes_[static_cast<std::size_t>(node)];
  json[path] = std::vector<float>(values.begin(), values.begin() + width);
  if (still) return;
  samplers_.push_back(
      {{"input", times}, {"interpolation", "STEP"}, {"output", scene_.add_values(values, width)}});
  channels_.push_back(
      {{"sampler", samplers_.size() - 1}, {"target", {{"node", node}, {"path", path}}}});
}

void Film::add_node(const std::string& name, std::optional<int> mesh, const Track* track) {
  ordered_json json = {{"name", name}};
  if (mesh) json["mesh"] = *mesh;
  nodes_.push_back(std::move(json));
  if (track == nullptr) return;
  const int node = static_cast<int>(nodes_.size()) - 1;
  animate(node, "translation", times_, track->places_m, 3);
  animate(node, "rotation", times_, track->turns, 4);
  animate(node, "scale", times_, track->sizes, 3);
}

// Floor and walls, seen from inside the room only. A ceiling would hide everything.
void Film::add_room() {
  const workshop::Room& room = clearing_.bender.around.room;
  const double half_mm = 0.5 * kRoom_mm;
  if (room.floor_mm) {
    TubeMesh mesh;
    const double z_mm = -*room.floor_mm;
    add_face(mesh, {Vec3(-half_mm, -half_mm, z_mm), Vec3(half_mm, -half_mm, z_mm),
                    Vec3(half_mm, half_mm, z_mm), Vec3(-half_mm, half_mm, z_mm)});
    add_node("floor", add_mesh("floor", mesh, kRoom), nullptr);
  }
  for (const workshop::Wall& wall : room.walls) {
    const Vec3 out(base::cos(wall.direction), base::sin(wall.direction), 0.0);
    const Vec3 side = Vec3::UnitZ().cross(out) * half_mm;
    const double low_mm = -room.floor_mm.value_or(half_mm);
    const auto at = [&](double sign, double z_mm) -> Vec3 {
      return out * wall.distance_mm + side * sign + Vec3(0.0, 0.0, z_mm);
    };
    TubeMesh mesh;
    add_face(mesh,
             {at(1, low_mm), at(-1, low_mm), at(-1, low_mm + half_mm), at(1, low_mm + half_mm)});
    add_node(wall.name, add_mesh(wall.name, mesh, kRoom), nullptr);
  }
}

void Film::add_dies() {
  for (std::size_t i = 0; i < dies_.size(); ++i) {
    const workshop::DieSet& die = clearing_.mounted[i].front();
    const workshop::CylinderShape disc{die.radius_mm, clearance::die_height_mm(die)};
    add_node("die " + die.name, add_mesh("die " + die.name, mesh_of(disc), kTool), &dies_[i]);
  }
}

std::string Film::write(bool binary) {
  times_ = scene_.add_times(times_s_);
  add_room();
  const std::vector<workshop::Body>& bodies = clearing_.bender.around.bodies;
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    const TubeMesh mesh =
        std::visit([](const auto& shape) { return mesh_of(shape); }, bodies[i].shape);
    if (mesh.triangles.empty()) continue;
    add_node(bodies[i].name,
             add_mesh(bodies[i].name, mesh, bodies[i].keep_out ? kKeepOut : kMachine), &bodies_[i]);
  }
  add_dies();
  TubeMesh link;
  add_prism(link, circle(0.5 * clearing_.tube.od_mm), 0.0, 1.0 / kMetresPerMillimetre);
  const int link_mesh = add_mesh("tube", link, kMetal);
  for (const Track& track : links_) add_node("tube", link_mesh, &track);
  ordered_json children = ordered_json::array();
  for (std::size_t i = 0; i < nodes_.size(); ++i) children.push_back(i);
  // A quarter turn about X: the machine's Z to the standard's Y.
  const double half = std::sqrt(0.5);
  nodes_.push_back(
      {{"name", "film"}, {"rotation", {-half, 0.0, 0.0, half}}, {"children", children}});
  ordered_json out = scene_.heading(nodes_.size() - 1);
  out["nodes"] = std::move(nodes_);
  out["meshes"] = std::move(meshes_);
  out["materials"] = materials();
  out["animations"] = {{{"name", "bending"},
                        {"samplers", std::move(samplers_)},
                        {"channels", std::move(channels_)}}};
  out["accessors"] = scene_.accessors;
  out["bufferViews"] = scene_.views;
  return binary ? scene_.bytes(std::move(out)) : scene_.text(std::move(out));
}

}  // namespace

base::Result<std::string> film_gltf(const planning::Clearing& clearing, bool binary,
                                    const FilmStyle& style) {
  Film film(clearing);
  BIGHT_TRY(const base::Done taken, film.take(style));
  static_cast<void>(taken);
  return film.write(binary);
}

}  // namespace bight::exchange
