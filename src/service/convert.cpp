#include "service/convert.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "exchange/dxf_write.h"
#include "exchange/gltf_write.h"
#include "exchange/part_toml_write.h"
#include "exchange/step_write.h"
#include "exchange/stl_write.h"
#include "exchange/table_json.h"
#include "exchange/table_write.h"
#include "geometry/centreline.h"
#include "service/pictures.h"

namespace bight::service {

using base::Failure;
using base::Result;

namespace {

struct Source {
  const part::Part& part;
  const planning::Plan* plan;
  const OutputWish& wish;
  std::string what;
};

Result<std::string> write_part(const Source& s) { return exchange::part_toml(s.part, s.wish.unit); }

Result<std::string> write_table(const Source& s) {
  const exchange::TableStyle style{s.wish.unit, s.wish.to == "tsv" ? '\t' : ','};
  return s.what == "corners" ? exchange::corners_csv(s.part.table, s.part.start, style)
                             : exchange::bends_csv(s.part.table, style);
}

Result<std::string> write_json(const Source& s) {
  const exchange::Line line{s.part.table, s.part.start, s.part.radii_are_die, {}};
  const auto json = s.what == "corners" ? exchange::corners_json(line, s.part.name)
                                        : exchange::bends_json(line, s.part.name);
  return json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

Result<std::string> write_dxf(const Source& s) {
  if (s.what == "views") {
    return exchange::dxf_views(flat_views(s.part.table, s.part.start, s.part.section));
  }
  if (s.what == "centreline") return exchange::dxf_centreline(s.part.table, s.part.start);
  if (s.plan == nullptr) {
    return Failure{"convert.plan", "what", "a strip needs a plan", "choose a die set and a bender"};
  }
  return exchange::dxf_strip(*s.plan);
}

Result<exchange::TubeMesh> mesh_of(const Source& s) {
  exchange::MeshOptions options;
  options.tolerance_mm = s.wish.tolerance_mm;
  return exchange::tube_mesh(s.part.table, s.part.start, s.part.section, options);
}

Result<std::string> write_gltf(const Source& s) {
  BIGHT_TRY(const exchange::TubeMesh mesh, mesh_of(s));
  const exchange::GltfPicture picture{
      s.part.name, mesh, geometry::lay_out(s.part.table, s.part.start).sampled_mm(0.1)};
  return s.wish.to == "gltf" ? exchange::gltf_text(picture) : exchange::glb_bytes(picture);
}

Result<std::string> write_stl(const Source& s) {
  BIGHT_TRY(const exchange::TubeMesh mesh, mesh_of(s));
  return exchange::stl_bytes(mesh, s.part.name);
}

Result<std::string> write_step(const Source& s) {
  exchange::StepWriteOptions options;
  if (!s.part.name.empty()) options.name = s.part.name;
  if (s.wish.unit == base::LengthUnit::kInch) options.unit = exchange::StepUnit::kInch;
  options.written = s.wish.date + "T00:00:00";
  return exchange::step_text(s.part.section, geometry::lay_out(s.part.table, s.part.start),
                             options);
}

Result<std::string> write_svg(const Source& s) {
  base::LengthStyle style;
  style.unit = s.wish.unit;
  style.decimals = style.unit == base::LengthUnit::kInch ? 3 : 1;
  return views_svg(s.part.table, s.part.section, style);
}

using Writer = Result<std::string> (*)(const Source&);

constexpr Writer kWriters[] = {write_part, write_table, write_table, write_json, write_dxf,
                               write_step, write_gltf,  write_gltf,  write_stl,  write_svg};

}  // namespace

const std::vector<OutputKind>& output_kinds() {
  static const std::vector<OutputKind> kKinds = {
      {"part", ".toml", "application/toml", {"part"}},
      {"csv", ".csv", "text/csv", {"bends", "corners"}},
      {"tsv", ".tsv", "text/tab-separated-values", {"bends", "corners"}},
      {"json", ".json", "application/json", {"bends", "corners"}},
      {"dxf", ".dxf", "image/vnd.dxf", {"centreline", "views", "strip"}},
      {"step", ".step", "model/step", {"views"}},
      {"glb", ".glb", "model/gltf-binary", {"views"}},
      {"gltf", ".gltf", "model/gltf+json", {"views"}},
      {"stl", ".stl", "model/stl", {"views"}},
      {"svg", ".svg", "image/svg+xml", {"views"}}};
  return kKinds;
}

Result<std::string> write_output(const part::Part& part, const planning::Plan* plan,
                                 const OutputWish& wish) {
  const std::vector<OutputKind>& kinds = output_kinds();
  const auto kind = std::find_if(kinds.begin(), kinds.end(),
                                 [&](const OutputKind& k) { return k.name == wish.to; });
  if (kind == kinds.end()) {
    return Failure{"convert.format", "to", fmt::format("\"{}\" is no format written here", wish.to),
                   ""};
  }
  const std::string what = wish.what.empty() ? std::string(kind->what.front()) : wish.what;
  if (std::find(kind->what.begin(), kind->what.end(), what) == kind->what.end()) {
    return Failure{"convert.what", "what", fmt::format("{} files do not hold {}", wish.to, what),
                   fmt::format("one of: {}", fmt::join(kind->what, ", "))};
  }
  return kWriters[kind - kinds.begin()]({part, plan, wish, what});
}

}  // namespace bight::service
