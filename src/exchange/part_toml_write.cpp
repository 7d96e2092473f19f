#include "exchange/part_toml_write.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/number.h"
#include "exchange/exact_text.h"
#include "stock/catalogue.h"
#include "stock/metals.h"

namespace bight::exchange {

using base::LengthUnit;
using base::print_number;
using part::Part;
using stock::Section;

namespace {

// A TOML basic string.
std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (byte < 0x20 || byte == 0x7F) {
      out += fmt::format("\\u{:04X}", byte);
    } else {
      out += c;
    }
  }
  return out + "\"";
}

std::string length(double length_mm, LengthUnit unit) {
  const std::string text = exact_length(length_mm, unit);
  if (unit == LengthUnit::kMillimetre) return text;
  const base::Result<double> inches = base::parse_number(text);
  if (inches.ok() && from_inches_mm(*inches) == length_mm) return text;
  const std::string in_mm = print_number(length_mm) + " mm";
  return base::parse_length_mm(in_mm).ok() ? quoted(in_mm) : text;
}

std::string vector_text(const geometry::Vec3& v) {
  return fmt::format("[{}, {}, {}]", print_number(v.x()), print_number(v.y()), print_number(v.z()));
}

void add_text(std::string& out, const char* key, const std::string& text) {
  if (!text.empty()) out += fmt::format("{} = {}\n", key, quoted(text));
}

std::string heading(const Part& part, LengthUnit unit) {
  std::string out = "schema = 1\n";
  out += fmt::format("name = {}\n", quoted(part.name));
  add_text(out, "revision", part.revision);
  add_text(out, "customer", part.customer);
  add_text(out, "drawing", part.drawing);
  add_text(out, "note", part.note);
  if (part.hand == part::Hand::kLeft) out += "hand = \"left\"\n";
  if (part.hand == part::Hand::kRight) out += "hand = \"right\"\n";
  if (part.quantity != 1) out += fmt::format("quantity = {}\n", part.quantity);
  out += fmt::format("units = \"{}\"\n", unit == LengthUnit::kInch ? "in" : "mm");
  if (!part.rules.empty()) {
    out += "rules = [";
    for (std::size_t i = 0; i < part.rules.size(); ++i) {
      out += (i == 0 ? "" : ", ") + quoted(part.rules[i]);
    }
    out += "]\n";
  }
  return out;
}

bool same_but_turned(const Section& a, const Section& b) { return a == b || a.turned() == b; }

// size = "…" where the catalogue gives this section for it; empty otherwise.
std::string size_by_name(const Part& part, LengthUnit unit) {
  if (part.tube_text.empty()) return "";
  const base::Result<stock::SizeTables> tables = stock::SizeTables::built_in();
  if (!tables.ok()) return "";
  const base::Result<stock::StockAnswer> answer =
      stock::choose_stock(*tables, part.tube_text, {unit, base::DecimalMark::kPoint});
  if (!answer.ok() || answer->size.designation != part.tube_text) return "";
  const Section& listed = answer->size.section;
  const std::string size = fmt::format("size = {}\n", quoted(part.tube_text));
  if (same_but_turned(listed, part.section)) return size;
  if (listed.kind() != stock::SectionKind::kRectTube || part.section.kind() != listed.kind()) {
    return "";
  }
  const base::Result<Section> cornered = Section::rect_tube(
      listed.height_mm(), listed.width_mm(), listed.wall_mm(), part.section.corner_radius_mm());
  if (!cornered.ok() || !same_but_turned(*cornered, part.section)) return "";
  return size + fmt::format("corner_radius = {}\n", length(part.section.corner_radius_mm(), unit));
}

std::string size_by_dimensions(const Section& s, LengthUnit unit) {
  std::string out;
  if (s.round()) {
    out += fmt::format("od = {}\n", length(s.height_mm(), unit));
  } else {
    out += fmt::format("height = {}\nwidth = {}\n", length(s.height_mm(), unit),
                       length(s.width_mm(), unit));
  }
  if (!s.hollow()) return out + "solid = true\n";
  out += fmt::format("wall = {}\n", length(s.wall_mm(), unit));
  if (!s.round()) out += fmt::format("corner_radius = {}\n", length(s.corner_radius_mm(), unit));
  return out;
}

// The certificate that turns the catalogue's metal into this one. K and n may have come from it
// together, one of them, or neither: the first that gives the same metal is it.
stock::Certificate certificate_of(const stock::Material& material) {
  stock::Certificate c;
  c.heat = material.heat;
  const auto certified = [](const stock::Sourced& number) -> std::optional<double> {
    if (number.provenance != stock::Provenance::kMillCertificate) return std::nullopt;
    return number.value;
  };
  c.yield_mpa = certified(material.yield_mpa);
  c.tensile_mpa = certified(material.tensile_mpa);
  c.youngs_mpa = certified(material.youngs_mpa);
  if (material.elongation_ratio) c.elongation_ratio = certified(*material.elongation_ratio);
  const base::Result<stock::Metals> metals = stock::Metals::built_in();
  if (!metals.ok() || !material.hollomon) return c;
  const base::Result<stock::MetalAnswer> base_metal = stock::find_metal(*metals, material.name);
  if (!base_metal.ok()) return c;
  const double strength_mpa = material.hollomon->strength_mpa;
  const double exponent_ratio = material.hollomon->exponent_ratio;
  const auto gives_it = [&](const stock::Certificate& candidate) {
    const auto metal = stock::certified(base_metal->metal.material, candidate);
    return metal.ok() && metal->hollomon && metal->hollomon->strength_mpa == strength_mpa &&
           metal->hollomon->exponent_ratio == exponent_ratio &&
           metal->hollomon->source == material.hollomon->source;
  };
  stock::Certificate only_n = c, only_k = c, both = c;
  only_n.exponent_ratio = both.exponent_ratio = exponent_ratio;
  only_k.strength_mpa = both.strength_mpa = strength_mpa;
  for (const stock::Certificate& candidate : {c, both, only_n, only_k}) {
    if (gives_it(candidate)) return candidate;
  }
  return material.hollomon->source.find("mill certificate") != std::string::npos ? only_n : c;
}

std::string metal(const stock::Material& material) {
  const stock::Certificate c = certificate_of(material);
  std::string out = fmt::format("material = {}\n", quoted(material.name));
  std::string numbers;
  const auto add = [&](const char* key, const std::optional<double>& value, double factor) {
    if (value) numbers += fmt::format("{} = {}\n", key, print_number(*value * factor));
  };
  add("rp02_mpa", c.yield_mpa, 1.0);
  add("rm_mpa", c.tensile_mpa, 1.0);
  if (c.elongation_ratio) {
    // Per cent that divide back to the same ratio.
    const double percent = *c.elongation_ratio * 100.0;
    const double round_percent = std::round(percent * 1e9) / 1e9;
    numbers += fmt::format(
        "elongation_pct = {}\n",
        print_number(round_percent / 100.0 == *c.elongation_ratio ? round_percent : percent));
  }
  add("youngs_gpa", c.youngs_mpa, 1e-3);
  add("k_mpa", c.strength_mpa, 1.0);
  add("n", c.exponent_ratio, 1.0);
  add_text(out, "heat", material.heat);
  return numbers.empty() ? out : out + "[tube.certificate]\n" + numbers;
}

std::string tube(const Part& part, LengthUnit unit) {
  const Section& s = part.section;
  std::string out = "\n[tube]\n";
  const std::string named = size_by_name(part, unit);
  out += named.empty() ? size_by_dimensions(s, unit) : named;
  if (!s.round() && s.height_mm() > s.width_mm()) out += "way = \"hard\"\n";
  if (s.hollow() && !part.welded) out += "seam = \"seamless\"\n";
  return out + metal(part.material);
}

bool is_default(const geometry::Frame& start) {
  const geometry::Frame origin;
  return start.origin_mm == origin.origin_mm && start.ahead == origin.ahead &&
         start.inward == origin.inward;
}

std::string line(const Part& part, LengthUnit unit) {
  const std::vector<geometry::BendRow>& rows = part.table.rows();
  const bool one_radius =
      !rows.empty() && std::all_of(rows.begin(), rows.end(), [&](const geometry::BendRow& row) {
        return row.radius_mm == rows.front().radius_mm;
      });
  std::string out = "\n[line]\n";
  out += "# straight before, rotation from the plane before, change of direction\n";
  out += "bends = [\n";
  for (const geometry::BendRow& row : rows) {
    out +=
        fmt::format("  {{ straight = {}, rotation = {}, angle = {}", length(row.straight_mm, unit),
                    exact_degrees(row.rotation), exact_degrees(row.angle));
    if (!one_radius) out += fmt::format(", radius = {}", length(row.radius_mm, unit));
    out += " },\n";
  }
  out += fmt::format("]\nlast = {}\n", length(part.table.last_straight_mm(), unit));
  if (one_radius) out += fmt::format("radius = {}\n", length(rows.front().radius_mm, unit));
  if (part.radii_are_die) out += "radius_is = \"die\"\n";
  if (!is_default(part.start)) {
    const geometry::Vec3& at = part.start.origin_mm;
    out += fmt::format("start = {{ at = [{}, {}, {}], ahead = {}, inward = {} }}\n",
                       length(at.x(), unit), length(at.y(), unit), length(at.z(), unit),
                       vector_text(part.start.ahead), vector_text(part.start.inward));
  }
  return out;
}

std::string end_text(const char* key, const part::PartEnd& end, LengthUnit unit) {
  if (end.trim_mm == 0.0 && end.detail.empty()) return "";
  std::string inside;
  if (!end.detail.empty()) inside = "detail = " + quoted(end.detail);
  if (end.trim_mm != 0.0) {
    inside += (inside.empty() ? "trim = " : ", trim = ") + length(end.trim_mm, unit);
  }
  return fmt::format("{} = {{ {} }}\n", key, inside);
}

}  // namespace

std::string part_toml(const Part& part, LengthUnit unit) {
  std::string out = heading(part, unit) + tube(part, unit) + line(part, unit);
  const std::string ends = end_text("a", part.end_a, unit) + end_text("b", part.end_b, unit);
  if (!ends.empty()) out += "\n[ends]\n" + ends;
  if (part.tolerance.length_mm || part.tolerance.angle) {
    out += "\n[tolerance]\n";
    if (part.tolerance.length_mm) {
      out += fmt::format("length = {}\n", length(*part.tolerance.length_mm, unit));
    }
    if (part.tolerance.angle) {
      out += fmt::format("angle = {}\n", exact_degrees(*part.tolerance.angle));
    }
  }
  return out;
}

}  // namespace bight::exchange
