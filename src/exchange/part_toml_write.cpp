#include "exchange/part_toml_write.h"

#include <algorithm>
#include <cmath>

#include "exchange/exact_text.h"
#include "exchange/exact_value.h"
#include "exchange/toml_text.h"
#include "stock/catalogue.h"
#include "stock/metals.h"

namespace bight::exchange {

using base::LengthUnit;
using part::Part;
using stock::Section;

namespace {

using Json = nlohmann::ordered_json;

// How stock::certified() begins its sources.
constexpr std::string_view kPartCertificate = "mill certificate";

Json vector_of(const geometry::Vec3& v) {
  return Json::array({number_value(v.x()), number_value(v.y()), number_value(v.z())});
}

void add_text(Json& out, const char* key, const std::string& text) {
  if (!text.empty()) out[key] = text;
}

Json heading(const Part& part, LengthUnit unit) {
  Json out;
  out["schema"] = 1;
  out["name"] = part.name;
  add_text(out, "revision", part.revision);
  add_text(out, "customer", part.customer);
  add_text(out, "drawing", part.drawing);
  add_text(out, "note", part.note);
  if (part.hand == part::Hand::kLeft) out["hand"] = "left";
  if (part.hand == part::Hand::kRight) out["hand"] = "right";
  if (part.quantity != 1) out["quantity"] = part.quantity;
  out["units"] = unit == LengthUnit::kInch ? "in" : "mm";
  if (!part.rules.empty()) out["rules"] = part.rules;
  return out;
}

bool same_but_turned(const Section& a, const Section& b) { return a == b || a.turned() == b; }

// Adds size = "…" where the catalogue gives this section for it; false otherwise.
bool add_size_by_name(Json& out, const Part& part, LengthUnit unit) {
  if (part.tube_text.empty()) return false;
  const base::Result<stock::SizeTables> tables = stock::SizeTables::built_in();
  if (!tables.ok()) return false;
  const base::Result<stock::StockAnswer> answer =
      stock::choose_stock(*tables, part.tube_text, {unit, base::DecimalMark::kPoint});
  if (!answer.ok() || answer->size.designation != part.tube_text) return false;
  const Section& listed = answer->size.section;
  if (same_but_turned(listed, part.section)) {
    out["size"] = part.tube_text;
    return true;
  }
  if (listed.kind() != stock::SectionKind::kRectTube || part.section.kind() != listed.kind()) {
    return false;
  }
  const base::Result<Section> cornered = Section::rect_tube(
      listed.height_mm(), listed.width_mm(), listed.wall_mm(), part.section.corner_radius_mm());
  if (!cornered.ok() || !same_but_turned(*cornered, part.section)) return false;
  out["size"] = part.tube_text;
  out["corner_radius"] = length_value(part.section.corner_radius_mm(), unit);
  return true;
}

void add_size_by_dimensions(Json& out, const Section& s, LengthUnit unit) {
  if (s.round()) {
    out["od"] = length_value(s.height_mm(), unit);
  } else {
    out["height"] = length_value(s.height_mm(), unit);
    out["width"] = length_value(s.width_mm(), unit);
  }
  if (!s.hollow()) {
    out["solid"] = true;
    return;
  }
  out["wall"] = length_value(s.wall_mm(), unit);
  if (!s.round()) out["corner_radius"] = length_value(s.corner_radius_mm(), unit);
}

// The certificate that turns the catalogue's metal into this one. K and n may have come from it
// together, one of them, or neither: the first that gives the same metal is it.
stock::Certificate certificate_of(const stock::Material& material) {
  stock::Certificate c;
  c.heat = material.heat;
  const auto certified = [](const stock::Sourced& number) -> std::optional<double> {
    if (number.provenance != stock::Provenance::kMillCertificate) return std::nullopt;
    // A shop's own metal may be certified itself; that is not the part's to say.
    return number.source.starts_with(kPartCertificate) ? std::optional(number.value) : std::nullopt;
  };
  c.yield_mpa = certified(material.yield_mpa);
  c.tensile_mpa = certified(material.tensile_mpa);
  c.youngs_mpa = certified(material.youngs_mpa);
  if (material.elongation_ratio) c.elongation_ratio = certified(*material.elongation_ratio);
  if (!material.hollomon) return c;
  const std::string& source = material.hollomon->source;
  const double strength_mpa = material.hollomon->strength_mpa;
  const double exponent_ratio = material.hollomon->exponent_ratio;
  stock::Certificate only_n = c, only_k = c, both = c;
  only_n.exponent_ratio = both.exponent_ratio = exponent_ratio;
  only_k.strength_mpa = both.strength_mpa = strength_mpa;
  const base::Result<stock::Metals> metals = stock::Metals::built_in();
  const base::Result<stock::MetalAnswer> base_metal =
      metals.ok() ? stock::find_metal(*metals, material.name) : metals.failure();
  const auto gives_it = [&](const stock::Certificate& candidate) {
    const auto metal = stock::certified(base_metal->metal.material, candidate);
    return metal.ok() && metal->hollomon && metal->hollomon->strength_mpa == strength_mpa &&
           metal->hollomon->exponent_ratio == exponent_ratio && metal->hollomon->source == source;
  };
  for (const stock::Certificate& candidate : {c, both, only_n, only_k}) {
    if (base_metal.ok() && gives_it(candidate)) return candidate;
  }
  // A shop's own metal: by what certified() says of where the pair is from.
  const std::string own =
      std::string(kPartCertificate) + (c.heat.empty() ? "" : ", heat " + c.heat);
  if (source == own) return both;
  if (source.starts_with(own + ": K")) return only_k;
  return source.starts_with(own + ": n") || source.starts_with("n: " + own) ? only_n : c;
}

void add_metal(Json& out, const stock::Material& material) {
  const stock::Certificate c = certificate_of(material);
  out["material"] = material.name;
  add_text(out, "heat", material.heat);
  Json numbers = Json::object();
  const auto add = [&](const char* key, const std::optional<double>& value, double factor) {
    if (value) numbers[key] = number_value(*value * factor);
  };
  add("rp02_mpa", c.yield_mpa, 1.0);
  add("rm_mpa", c.tensile_mpa, 1.0);
  if (c.elongation_ratio) {
    // Per cent that divide back to the same ratio.
    const double percent = *c.elongation_ratio * 100.0;
    const double round_percent = std::round(percent * 1e9) / 1e9;
    numbers["elongation_pct"] =
        number_value(round_percent / 100.0 == *c.elongation_ratio ? round_percent : percent);
  }
  add("youngs_gpa", c.youngs_mpa, 1e-3);
  add("k_mpa", c.strength_mpa, 1.0);
  add("n", c.exponent_ratio, 1.0);
  if (!numbers.empty()) out["certificate"] = std::move(numbers);
}

Json tube(const Part& part, LengthUnit unit) {
  const Section& s = part.section;
  Json out = Json::object();
  if (!add_size_by_name(out, part, unit)) add_size_by_dimensions(out, s, unit);
  if (!s.round() && s.height_mm() > s.width_mm()) out["way"] = "hard";
  if (s.hollow() && !part.welded) out["seam"] = "seamless";
  add_metal(out, part.material);
  return out;
}

bool is_default(const geometry::Frame& start) {
  const geometry::Frame origin;
  return start.origin_mm == origin.origin_mm && start.ahead == origin.ahead &&
         start.inward == origin.inward;
}

Json line(const Part& part, LengthUnit unit) {
  const std::vector<geometry::BendRow>& rows = part.table.rows();
  const bool one_radius =
      !rows.empty() && std::all_of(rows.begin(), rows.end(), [&](const geometry::BendRow& row) {
        return row.radius_mm == rows.front().radius_mm;
      });
  Json bends = Json::array();
  for (const geometry::BendRow& row : rows) {
    Json bend;
    bend["straight"] = length_value(row.straight_mm, unit);
    bend["rotation"] = number_value(exact_deg(row.rotation));
    bend["angle"] = number_value(exact_deg(row.angle));
    if (!one_radius) bend["radius"] = length_value(row.radius_mm, unit);
    bends.push_back(std::move(bend));
  }
  Json out;
  out["bends"] = std::move(bends);
  out["last"] = length_value(part.table.last_straight_mm(), unit);
  if (one_radius) out["radius"] = length_value(rows.front().radius_mm, unit);
  if (part.radii_are_die) out["radius_is"] = "die";
  if (!is_default(part.start)) {
    const geometry::Vec3& at = part.start.origin_mm;
    out["start"]["at"] = Json::array(
        {length_value(at.x(), unit), length_value(at.y(), unit), length_value(at.z(), unit)});
    out["start"]["ahead"] = vector_of(part.start.ahead);
    out["start"]["inward"] = vector_of(part.start.inward);
  }
  return out;
}

void add_end(Json& ends, const char* key, const part::PartEnd& end, LengthUnit unit) {
  if (!end.detail.empty()) ends[key]["detail"] = end.detail;
  if (end.trim_mm != 0.0) ends[key]["trim"] = length_value(end.trim_mm, unit);
}

}  // namespace

Json part_document(const Part& part, LengthUnit unit) {
  Json out = heading(part, unit);
  out["tube"] = tube(part, unit);
  out["line"] = line(part, unit);
  Json ends = Json::object();
  add_end(ends, "a", part.end_a, unit);
  add_end(ends, "b", part.end_b, unit);
  if (!ends.empty()) out["ends"] = std::move(ends);
  if (part.tolerance.length_mm) {
    out["tolerance"]["length"] = length_value(*part.tolerance.length_mm, unit);
  }
  if (part.tolerance.angle)
    out["tolerance"]["angle"] = number_value(exact_deg(*part.tolerance.angle));
  return out;
}

std::string part_toml(const Part& part, LengthUnit unit) {
  return toml_text(part_document(part, unit));
}

}  // namespace bight::exchange
