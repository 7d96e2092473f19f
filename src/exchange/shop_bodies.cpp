#include "exchange/shop_bodies.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <set>

#include "base/length.h"
#include "clearance/convex_parts.h"
#include "exchange/cloud.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using geometry::Vec3;
using workshop::Body;

namespace {

struct MeshUnit {
  std::string_view word;
  double unit_mm;
};
constexpr std::array<MeshUnit, 4> kMeshUnits{{{"mm", 1.0}, {"cm", 10.0}, {"m", 1e3}, {"in", 25.4}}};

void need_above_zero(Fields& f, std::string_view key, double value) {
  if (!(value > 0.0)) f.complain(key, "shop.value", "this must be more than zero", "");
}

double not_below_zero(Fields& f, std::string_view key, double usual_mm) {
  const double length_mm = f.length_mm(key).value_or(usual_mm);
  if (length_mm < 0.0) f.complain(key, "shop.value", "this must not be below zero", "");
  return length_mm;
}

std::optional<double> above_zero_if_given(Fields& f, std::string_view key) {
  const std::optional<double> length_mm = f.length_mm(key);
  if (length_mm) need_above_zero(f, key, *length_mm);
  return length_mm;
}

std::optional<Vec3> three_lengths(Fields& f, std::string_view key, const char* remedy) {
  const std::optional<std::vector<double>> lengths_mm = f.lengths_mm(key);
  if (!lengths_mm) return std::nullopt;
  if (lengths_mm->size() == 3) return Vec3((*lengths_mm)[0], (*lengths_mm)[1], (*lengths_mm)[2]);
  f.complain(key, "key.value", fmt::format("this holds {} lengths, not three", lengths_mm->size()),
             remedy);
  return std::nullopt;
}

workshop::BoxShape box_of(Fields& f) {
  workshop::BoxShape box;
  const auto size_mm = three_lengths(f, "box", "give its sides along x, y and z: [400, 300, 900]");
  box.size_mm = size_mm.value_or(Vec3::Zero());
  if (!(box.size_mm.minCoeff() > 0.0)) {
    f.complain("box", "shop.body", "a side of the box is not more than zero",
               "give three sides, so that it has a volume");
  }
  return box;
}

workshop::CylinderShape cylinder_of(Fields& f) {
  workshop::CylinderShape cylinder;
  std::optional<Fields> keys = f.table("cylinder");
  if (!keys) return cylinder;
  cylinder.radius_mm = 0.5 * keys->need_length_mm("diameter");
  cylinder.length_mm = keys->need_length_mm("length");
  for (const auto& [key, value] :
       {std::pair{"diameter", cylinder.radius_mm}, {"length", cylinder.length_mm}}) {
    if (!(value > 0.0)) {
      keys->complain(key, "shop.body", "this is not more than zero",
                     "give diameter and length, so that it has a volume");
    }
  }
  keys->no_others();
  f.adopt(*keys);
  return cylinder;
}

workshop::OutlineShape outline_of(Fields& f) {
  workshop::OutlineShape out;
  const auto rows = f.length_rows_mm("outline", 2, kMostOutlineCorners);
  if (!rows) return out;
  for (const std::vector<double>& row : *rows) out.outline_mm.emplace_back(row[0], row[1]);
  if (!clearance::convex_parts(out.outline_mm).has_value()) {
    f.complain("outline", "shop.body", "the outline crosses itself or encloses nothing",
               "give its corners once round, in order, without repeating the first");
  }
  out.height_mm = f.need_length_mm("height");
  if (!(out.height_mm > 0.0)) {
    f.complain("height", "shop.body", "this is not more than zero",
               "give how high the outline is raised, so that it has a volume");
  }
  return out;
}

// A path below the folder, as every system writes it.
bool stays_in_folder(const std::string& file) {
  if (file.empty() || file.size() > 200 || file.find_first_of("\\:") != std::string::npos ||
      file.find("//") != std::string::npos) {
    return false;
  }
  const std::filesystem::path path(file);
  if (path.is_absolute() || !path.has_filename()) return false;
  return std::none_of(path.begin(), path.end(), [](const std::filesystem::path& step) {
    return step == ".." || step == "." || step.empty();
  });
}

workshop::MeshShape read_mesh(Fields& f) {
  workshop::MeshShape mesh;
  std::optional<Fields> keys = f.table("mesh");
  if (!keys) return mesh;
  mesh.file = keys->need_text("file");
  if (!stays_in_folder(mesh.file)) {
    keys->complain("file", "shop.mesh", "this is not the name of a file in the shop's folder",
                   "give a PLY or STL file, with folders below the shop's own: \"meshes/arm.stl\"");
  }
  if (!keys->has("unit")) {
    keys->complain("unit", "key.missing", "neither PLY nor STL says what its unit is",
                   "one of: mm, cm, m, in");
  }
  const auto word = keys->choice("unit", {"mm", "cm", "m", "in"});
  mesh.unit_mm = kMeshUnits[word.value_or(0)].unit_mm;
  keys->no_others();
  f.adopt(*keys);
  return mesh;
}

workshop::Shape shape_of(Fields& f) {
  const bool box = f.has("box");
  const bool cylinder = f.has("cylinder");
  const bool outline = f.has("outline");
  const bool mesh = f.has("mesh");
  f.has("height");
  if (int{box} + int{cylinder} + int{outline} + int{mesh} != 1) {
    f.complain("name", "shop.body", "this body has no shape, or more than one",
               "give one of: box, cylinder, outline with height, mesh");
    return workshop::BoxShape{};
  }
  if (!outline && f.has("height")) {
    f.complain("height", "shop.body", "only an outline takes a height", "leave it out");
  }
  if (box) return box_of(f);
  if (cylinder) return cylinder_of(f);
  if (outline) return outline_of(f);
  return read_mesh(f);
}

Body body_of(Fields& f) {
  Body body;
  body.name = f.need_text("name");
  body.on = static_cast<workshop::CarriedBy>(
      f.choice("on", {"frame", "arm", "clamp", "pressure-die", "carriage"}).value_or(0));
  body.shape = shape_of(f);
  body.at_mm = three_lengths(f, "at", "give [x, y, z]").value_or(Vec3::Zero());
  if (const auto turned = f.angles("turned")) {
    if (turned->size() == 3) {
      std::copy(turned->begin(), turned->end(), body.turned.begin());
    } else {
      f.complain("turned", "key.value", fmt::format("this holds {} angles", turned->size()),
                 "give three: about x, then y, then z");
    }
  }
  body.keep_out = f.flag("keep_out").value_or(false);
  f.no_others();
  return body;
}

// Findings say what is struck by its name alone.
void need_own_name(Fields& f, const std::string& name, std::set<std::string>& names) {
  if (names.insert(name).second) return;
  f.complain("name", "shop.name-twice",
             fmt::format("the name \"{}\" is taken: by another body or wall, or because floor, "
                         "ceiling and the tube itself are called so",
                         name),
             "give each its own name");
}

void need_at_most(Fields& f, std::string_view key, std::size_t most) {
  const std::size_t num = f.count(key);
  if (num <= most) return;
  f.complain(key, "key.value", fmt::format("{} are more than a bender has (at most {})", num, most),
             "describe what the tube could strike, and leave out the rest");
}

workshop::Room room_of(Fields& f, std::set<std::string>& names) {
  workshop::Room room;
  room.floor_mm = above_zero_if_given(f, "floor");
  room.ceiling_mm = above_zero_if_given(f, "ceiling");
  need_at_most(f, "wall", kMostWalls);
  for (Fields& wall : f.tables("wall")) {
    if (room.walls.size() == kMostWalls) break;
    workshop::Wall& w = room.walls.emplace_back();
    w.name = wall.need_text("name");
    w.direction = wall.need_angle("direction");
    w.distance_mm = wall.need_length_mm("distance");
    need_above_zero(wall, "distance", w.distance_mm);
    need_own_name(wall, w.name, names);
    wall.no_others();
    f.adopt(wall);
  }
  f.no_others();
  return room;
}

std::vector<double> levels_of(Fields& f) {
  std::vector<double> levels_mm = f.lengths_mm("levels").value_or(std::vector<double>{});
  if (levels_mm.empty()) return levels_mm;
  const bool rises = std::adjacent_find(levels_mm.begin(), levels_mm.end(),
                                        std::greater_equal<>()) == levels_mm.end();
  if (levels_mm.front() != 0.0 || !rises || levels_mm.size() > kMostLevels) {
    f.complain(
        "levels", "shop.value",
        fmt::format("these are not the heights of at most {} grooves in a stack", kMostLevels),
        "give each groove's height above the lowest, rising, the first 0: [0, 75]");
    return {};
  }
  return levels_mm;
}

}  // namespace

workshop::Surroundings surroundings_of(Fields& f) {
  workshop::Surroundings around;
  std::set<std::string> names{"floor", "ceiling", "the tube itself"};
  around.levels_mm = levels_of(f);
  around.clamp_opens_mm = not_below_zero(f, "clamp_opens", around.clamp_opens_mm);
  around.pressure_die_opens_mm =
      not_below_zero(f, "pressure_die_opens", around.pressure_die_opens_mm);
  around.pressure_die_follows = f.flag("pressure_die_follows").value_or(false);
  around.mandrel_rod_mm = above_zero_if_given(f, "mandrel_rod");
  around.lift_mm = not_below_zero(f, "lift", around.lift_mm);
  if (std::optional<Fields> room = f.table("room")) {
    around.room = room_of(*room, names);
    f.adopt(*room);
  }
  need_at_most(f, "body", kMostBodies);
  for (Fields& body : f.tables("body")) {
    if (around.bodies.size() == kMostBodies) break;
    around.bodies.push_back(body_of(body));
    need_own_name(body, around.bodies.back().name, names);
    f.adopt(body);
  }
  return around;
}

std::optional<double> mesh_unit_mm(std::string_view word) {
  for (const MeshUnit& unit : kMeshUnits) {
    if (unit.word == word) return unit.unit_mm;
  }
  return std::nullopt;
}

std::string_view mesh_unit_word(double unit_mm) {
  for (const MeshUnit& unit : kMeshUnits) {
    if (unit.unit_mm == unit_mm) return unit.word;
  }
  return kMeshUnits.front().word;
}

namespace {

// Whether all points lie in one plane, to a millionth of the mesh's size.
bool flat(const workshop::MeshShape& mesh) {
  Eigen::AlignedBox3d box;
  for (const Vec3& p : mesh.points_mm) box.extend(p);
  const double slack_mm = 1e-6 * box.diagonal().norm();
  for (const auto& [a, b, c] : mesh.triangles) {
    const Vec3& from = mesh.points_mm[a];
    const Vec3 normal = (mesh.points_mm[b] - from).cross(mesh.points_mm[c] - from);
    if (!(normal.norm() > slack_mm * slack_mm)) continue;
    const Vec3 nhat = normal.normalized();
    return std::all_of(mesh.points_mm.begin(), mesh.points_mm.end(),
                       [&](const Vec3& p) { return std::abs(nhat.dot(p - from)) <= slack_mm; });
  }
  return true;
}

base::Status read_mesh(workshop::MeshShape& mesh, const std::string& folder) {
  const std::string path = folder + "/" + mesh.file;
  const auto wrong = [&](std::string message, std::string remedy) {
    return Failure{"shop.mesh", path, std::move(message), std::move(remedy)};
  };
  std::error_code error;
  const std::uintmax_t size_bytes = std::filesystem::file_size(path, error);
  if (!error && size_bytes > kLargestMesh_bytes) {
    return wrong(fmt::format("the file has {} MB", size_bytes / 1'000'000),
                 "give a coarser mesh; a few thousand triangles are plenty");
  }
  BIGHT_TRY(Cloud cloud, read_cloud_file(path));
  if (cloud.triangles.empty()) {
    return wrong("the file holds points and no triangles", "export it as a mesh");
  }
  if (cloud.triangles.size() > kMostBodyTriangles) {
    return wrong(
        fmt::format("{} triangles are more than {}", cloud.triangles.size(), kMostBodyTriangles),
        "give a coarser mesh; a few thousand triangles are plenty");
  }
  mesh.points_mm = std::move(cloud.points);
  mesh.triangles = std::move(cloud.triangles);
  for (Vec3& p : mesh.points_mm) {
    p *= mesh.unit_mm;
    if (!(p.cwiseAbs().maxCoeff() <= base::kLongestLength_mm)) {
      return wrong("a point lies further off than any workshop reaches", "check the mesh's unit");
    }
  }
  if (flat(mesh)) {
    return wrong("all triangles lie in one plane: the body has no volume", "give a closed mesh");
  }
  return base::Done{};
}

}  // namespace

base::Status read_meshes(workshop::Shop& shop, const std::string& folder) {
  for (workshop::Bender& bender : shop.benders) {
    for (Body& body : bender.around.bodies) {
      auto* mesh = std::get_if<workshop::MeshShape>(&body.shape);
      if (mesh == nullptr || !mesh->triangles.empty()) continue;
      BIGHT_TRY(const base::Done done, read_mesh(*mesh, folder));
      static_cast<void>(done);
    }
  }
  return base::Done{};
}

}  // namespace bight::exchange
