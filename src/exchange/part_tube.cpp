#include "exchange/part_tube.h"

#include <fmt/format.h>

#include "stock/catalogue.h"

namespace bight::exchange {

using base::Failure;
using part::Finding;
using part::Severity;
using stock::Section;

namespace {

Failure at(const Fields& f, std::string_view key, Failure failure) {
  failure.where = f.where(key);
  return failure;
}

Finding said(std::string code, std::string message, std::string source) {
  return {Severity::kNote,
          std::move(code),
          std::nullopt,
          std::move(message),
          "",
          std::move(source),
          {}};
}

// The section from its own dimensions: od and wall, height, width and wall, or a bar.
base::Result<Section> section_from_dimensions(Fields& f) {
  const std::optional<double> od_mm = f.length_mm("od");
  const std::optional<double> height_mm = f.length_mm("height");
  const std::optional<double> width_mm = f.length_mm("width");
  const std::optional<double> wall_mm = f.length_mm("wall");
  const std::optional<double> corner_mm = f.length_mm("corner_radius");
  const bool solid = f.flag("solid").value_or(false);
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  if (od_mm.has_value() == (height_mm.has_value() && width_mm.has_value())) {
    return Failure{"part.tube", f.where("size"), "the tube has no size",
                   "give size, or od and wall, or height, width and wall"};
  }
  if (solid == wall_mm.has_value()) {
    return Failure{"part.tube", f.where("wall"),
                   solid ? "solid stock has no wall" : "the wall is missing",
                   "give wall for a tube, or solid = true for bar"};
  }
  const std::string_view key = od_mm ? "od" : "height";
  base::Result<Section> section = od_mm && solid ? Section::round_bar(*od_mm)
                                  : od_mm        ? Section::round_tube(*od_mm, *wall_mm)
                                  : solid        ? Section::rect_bar(*height_mm, *width_mm)
                                          : Section::rect_tube(*height_mm, *width_mm, *wall_mm,
                                                               corner_mm.value_or(2.0 * *wall_mm));
  if (!section.ok()) return at(f, key, section.failure());
  return section;
}

// What was found for size = "…": the section, its designation, whether it is seamless by nature.
struct Sized {
  Section section;
  std::string text;
};

base::Result<Sized> section_from_catalogue(Fields& f, std::vector<Finding>& findings) {
  const std::string query = f.need_text("size");
  for (const char* key : {"od", "height", "width", "wall"}) {
    if (f.has(key)) {
      f.complain(key, "part.tube", "the tube's size is given twice",
                 "keep size, or leave it out and give the dimensions");
    }
  }
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  BIGHT_TRY(const stock::SizeTables tables, stock::SizeTables::built_in());
  base::Result<stock::StockAnswer> answer = stock::choose_stock(tables, query, f.lengths());
  if (!answer.ok()) return at(f, "size", answer.failure());
  for (const stock::StockNote& note : answer->notes) {
    // The file states its unit, so how bare numbers were read is no news.
    if (note.kind == stock::StockNote::Kind::kReading) continue;
    Finding finding = said("part.size", note.text, "the catalogue of sizes");
    if (note.kind == stock::StockNote::Kind::kWarning) finding.severity = Severity::kCaution;
    findings.push_back(std::move(finding));
  }
  Section section = answer->size.section;
  if (section.open()) {
    return Failure{"part.section", f.where("size"),
                   fmt::format("{} is an angle or channel: it is rolled, not bent in a die",
                               answer->size.designation),
                   "round, square or rectangular tube or bar; for rings of angle use bight roll"};
  }
  if (const auto corner_mm = f.length_mm("corner_radius")) {
    base::Result<Section> cornered =
        Section::rect_tube(section.height_mm(), section.width_mm(), section.wall_mm(), *corner_mm);
    if (!cornered.ok()) return at(f, "corner_radius", cornered.failure());
    section = *cornered;
  }
  return Sized{section, answer->size.designation};
}

stock::Certificate read_certificate(Fields& tube, Fields f) {
  stock::Certificate c;
  c.heat = f.text("heat").value_or("");
  c.yield_mpa = f.number("rp02_mpa");
  c.tensile_mpa = f.number("rm_mpa");
  if (const auto percent = f.number("elongation_pct")) c.elongation_ratio = *percent / 100.0;
  if (const auto gpa = f.number("youngs_gpa")) c.youngs_mpa = *gpa * 1e3;
  c.strength_mpa = f.number("k_mpa");
  c.exponent_ratio = f.number("n");
  f.no_others();
  tube.adopt(f);
  return c;
}

base::Result<stock::Material> read_metal(Fields& f, std::vector<Finding>& findings) {
  const std::string name = f.need_text("material");
  stock::Certificate certificate;
  if (const auto own = f.table("certificate")) certificate = read_certificate(f, *own);
  if (const auto heat = f.text("heat")) certificate.heat = *heat;
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  base::Result<stock::MetalAnswer> answer = f.find_metal(name);
  if (!answer.ok()) return at(f, "material", answer.failure());
  for (const std::string& note : answer->notes) {
    findings.push_back(said("part.material", note, "the catalogue of metals"));
  }
  base::Result<stock::Material> certified = stock::certified(answer->metal.material, certificate);
  if (!certified.ok()) return at(f, "certificate", certified.failure());
  return certified;
}

// Turned the way it is bent.
base::Result<Sized> read_size(Fields& f, std::vector<Finding>& findings) {
  std::optional<Sized> sized;
  if (f.has("size")) {
    BIGHT_TRY(sized, section_from_catalogue(f, findings));
  } else {
    BIGHT_TRY(const Section own, section_from_dimensions(f));
    sized = Sized{own, own.text()};
  }
  // The way a rectangular section is bent: easy about its weak axis, hard about its strong one.
  const bool hard = f.choice("way", {"easy", "hard"}).value_or(0) == 1;
  if (!sized->section.round() && (sized->section.height_mm() > sized->section.width_mm()) != hard) {
    sized->section = sized->section.turned();
  }
  return *sized;
}

}  // namespace

base::Result<TubeSize> read_tube_size(Fields f) {
  std::vector<Finding> findings;
  BIGHT_TRY(const Sized sized, read_size(f, findings));
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  return TubeSize{sized.text, sized.section, std::move(findings)};
}

base::Result<Tube> read_tube(Fields f) {
  std::vector<Finding> findings;
  BIGHT_TRY(const Sized sized, read_size(f, findings));
  const bool seamless = f.choice("seam", {"welded", "seamless"}).value_or(0) == 1;
  BIGHT_TRY(stock::Material material, read_metal(f, findings));
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  return Tube{sized.text, sized.section, std::move(material), sized.section.hollow() && !seamless,
              std::move(findings)};
}

}  // namespace bight::exchange
