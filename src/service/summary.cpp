#include "service/summary.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "exchange/fields.h"
#include "exchange/part_line.h"
#include "exchange/part_toml.h"
#include "geometry/centreline.h"

namespace bight::service {

using Json = nlohmann::ordered_json;

namespace {

constexpr double kWide = 96.0;
constexpr double kHigh = 64.0;
constexpr double kMargin = 5.0;

std::string text_of(const Json& json, const char* key) {
  const auto found = json.find(key);
  return found != json.end() && found->is_string() ? found->get<std::string>() : "";
}

// A length as it stands in a draft.
std::string typed_of(const Json& json, const char* key) {
  const auto found = json.find(key);
  if (found == json.end()) return "";
  return found->is_string() ? found->get<std::string>() : found->is_number() ? found->dump() : "";
}

std::vector<double> different(const geometry::BendTable& table) {
  std::vector<double> radii_mm;
  for (const geometry::BendRow& row : table.rows()) {
    const double radius_mm = std::round(row.radius_mm * 1e6) / 1e6;
    if (std::find(radii_mm.begin(), radii_mm.end(), radius_mm) == radii_mm.end()) {
      radii_mm.push_back(radius_mm);
    }
  }
  return radii_mm;
}

void add_line(const geometry::BendTable& table, const geometry::Frame& start,
              records::PartSummary& summary) {
  summary.radii_mm = different(table);
  summary.bends = static_cast<int>(table.num_bends());
  summary.picture = picture_path(table, start);
}

// What a document that is no part yet says for itself.
void add_draft(const exchange::Document& document, records::PartSummary& summary) {
  const Json& json = document.value;
  if (const auto tube = json.find("tube"); tube != json.end() && tube->is_object()) {
    summary.tube = text_of(*tube, "size");
    if (summary.tube.empty() && tube->contains("od")) {
      summary.tube = typed_of(*tube, "od") + " x " + typed_of(*tube, "wall");
    }
    summary.material = text_of(*tube, "material");
  }
  exchange::Fields top(document);
  if (!exchange::read_rules(top, "part.schema").ok()) return;
  const std::optional<exchange::Fields> fields = top.table("line");
  if (!fields) return;
  const base::Result<exchange::Line> line = exchange::read_line(*fields, 0.0);
  if (line.ok()) add_line(line->table, line->start, summary);
}

// The part where nothing but its metal, a shop's own perhaps, stands in the way. The list needs no
// number of it.
base::Result<exchange::PartFile> with_unknown_metal(Json json) {
  const auto tube = json.find("tube");
  if (tube == json.end() || !tube->is_object() || text_of(*tube, "material").empty()) {
    return base::Failure{"metal.unknown", "", "", ""};
  }
  const std::string typed = text_of(*tube, "material");
  (*tube)["material"] = "S235JRH";
  tube->erase("certificate");
  BIGHT_TRY(exchange::PartFile file,
            exchange::read_part(exchange::document_of(std::move(json), "")));
  file.part.material.name = typed;
  return file;
}

}  // namespace

records::PartSummary summarise(std::string_view text) {
  records::PartSummary summary;
  const exchange::Document document =
      exchange::document_of(Json::parse(text, nullptr, false), "part");
  const Json& json = document.value;
  if (!json.is_object()) return summary;
  summary.name = text_of(json, "name");
  summary.customer = text_of(json, "customer");
  summary.drawing = text_of(json, "drawing");
  const std::string hand = text_of(json, "hand");
  if (hand == "left" || hand == "right") summary.hand = hand;
  summary.search = text_of(json, "note") + " " + text_of(json, "revision");
  base::Result<exchange::PartFile> file = exchange::read_part(document);
  if (!file.ok()) file = with_unknown_metal(json);
  if (!file.ok()) {
    add_draft(document, summary);
    return summary;
  }
  const part::Part& part = file->part;
  summary.tube = part.tube_text;
  summary.od_mm = part.section.height_mm();
  if (part.section.hollow()) summary.wall_mm = part.section.wall_mm();
  summary.material = part.material.name;
  summary.search += " " + part.material.heat;
  if (const auto tube = json.find("tube"); tube != json.end()) {
    summary.search += " " + text_of(*tube, "size") + " " + text_of(*tube, "material");
  }
  add_line(part.table, part.start, summary);
  return summary;
}

std::string picture_path(const geometry::BendTable& table, const geometry::Frame& start) {
  const geometry::Centreline line = geometry::lay_out(table, start);
  const double length_mm = std::max(line.length_mm(), 1.0);
  const std::vector<geometry::Vec3> points_mm = line.sampled_mm(length_mm / 500.0);
  // From the front, right and above: an oblique view that shows depth at half.
  std::vector<Eigen::Vector2d> seen;
  for (const geometry::Vec3& p : points_mm) {
    if (!p.allFinite()) return "";
    seen.emplace_back(p.x() + 0.42 * p.y(), -(p.z() + 0.42 * p.y()));
  }
  if (seen.empty() || seen.size() > 4000) return "";
  Eigen::Vector2d low = seen.front();
  Eigen::Vector2d high = seen.front();
  for (const Eigen::Vector2d& p : seen) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const Eigen::Vector2d size = high - low;
  const double scale = std::min((kWide - 2.0 * kMargin) / std::max(size.x(), 1e-6),
                                (kHigh - 2.0 * kMargin) / std::max(size.y(), 1e-6));
  const Eigen::Vector2d middle = (low + high) / 2.0;
  std::string path;
  for (const Eigen::Vector2d& p : seen) {
    const Eigen::Vector2d at = (p - middle) * scale + Eigen::Vector2d(kWide / 2.0, kHigh / 2.0);
    path += fmt::format("{}{:.1f} {:.1f}", path.empty() ? 'M' : 'L', at.x(), at.y());
  }
  return path;
}

}  // namespace bight::service
