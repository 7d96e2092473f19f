#include "app/bend_answer.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "app/inputs.h"
#include "base/angle_text.h"
#include "base/length.h"
#include "mechanics/moment_curve.h"
#include "mechanics/springback.h"
#include "stock/catalogue.h"
#include "stock/metals.h"
#include "stock/stock_query.h"

namespace bight::app {

namespace {

using part::Finding;
using part::Severity;
using stock::FlowCurve;

constexpr const char* kUsualMetal = "S235JRH";

// Numbers separated by commas, as many as asked for.
base::Result<std::vector<double>> numbers(const std::string& text, std::size_t count) {
  std::vector<double> out;
  const char* at = text.data();
  const char* end = at + text.size();
  while (at < end) {
    double value = 0.0;
    const auto [next, error] = std::from_chars(at, end, value);
    if (error != std::errc{} || (next < end && *next != ',')) break;
    out.push_back(value);
    at = next < end ? next + 1 : next;
    if (next == end) break;
  }
  if (at != end || out.size() != count) {
    return base::Failure{"bend.law", "law", fmt::format("\"{}\" is not {} numbers", text, count),
                         "numbers with commas between, 700,0.01,0.2"};
  }
  return out;
}

// What may be left out, but not be nonsense.
base::Status check_question(const BendQuestion& q, base::Angle angle) {
  const std::pair<const char*, std::optional<double>> numbers[] = {
      {"--yield", q.yield_mpa},
      {"--youngs", q.youngs_mpa},
      {"--rated-torque", q.rated_torque_nm},
      {"--power", q.power_w},
      {"--max-rpm", q.max_rpm}};
  for (const auto& [name, value] : numbers) {
    if (!value || (std::isfinite(*value) && *value > 0.0)) continue;
    return base::Failure{"bend.input", name, fmt::format("{} cannot be", *value),
                         "a number above 0, or leave it out"};
  }
  if (!(angle.deg() > 0.0 && angle.deg() <= 360.0)) {
    return base::Failure{"bend.input", "--angle",
                         fmt::format("{:.6g} degrees is not the angle of a bend", angle.deg()),
                         "an angle above 0, up to 360"};
  }
  const int laws = !q.law.empty() + !q.hollomon.empty() + !q.swift.empty();
  if (laws > 1) {
    return base::Failure{"bend.law", "law", "more than one flow law was given",
                         "one of --law, --hollomon and --swift"};
  }
  if (q.yield_mpa && !(q.hollomon.empty() && q.swift.empty())) {
    return base::Failure{"bend.law", "--yield", "the law given has its own yield stress",
                         "leave --yield out, or use --law perfect"};
  }
  if (q.law == "perfect" && !q.yield_mpa && q.material.empty()) {
    return base::Failure{"bend.law", "--law", "nobody said where the metal yields",
                         "--yield in MPa, or a --material"};
  }
  return base::Done{};
}

// The law typed, else the metal's.
base::Result<stock::DerivedFlow> flow_of(const BendQuestion& q, const stock::Material& metal) {
  const double youngs_mpa = q.youngs_mpa.value_or(metal.youngs_mpa.value);
  const auto typed = [](base::Result<FlowCurve> curve) -> base::Result<stock::DerivedFlow> {
    if (!curve.ok()) return curve.failure();
    return stock::DerivedFlow{*curve, "law as typed", stock::Provenance::kDerived};
  };
  if (!q.hollomon.empty()) {
    BIGHT_TRY(const std::vector<double> v, numbers(q.hollomon, 2));
    return typed(FlowCurve::hollomon(youngs_mpa, v[0], v[1]));
  }
  if (!q.swift.empty()) {
    BIGHT_TRY(const std::vector<double> v, numbers(q.swift, 3));
    return typed(FlowCurve::swift(youngs_mpa, v[0], v[1], v[2]));
  }
  if (q.law == "perfect") {
    return typed(FlowCurve::perfect(youngs_mpa, q.yield_mpa.value_or(metal.yield_mpa.value)));
  }
  stock::Material used = metal;
  used.youngs_mpa.value = youngs_mpa;
  if (q.yield_mpa) used.yield_mpa.value = *q.yield_mpa;
  return stock::flow_curve(used);
}

mechanics::Support support_of(const std::string& word) {
  if (word == "free") return mechanics::Support::kFree;
  return word == "mandrel" ? mechanics::Support::kMandrel : mechanics::Support::kDie;
}

void add_round_tube(BendAnswer& a, const stock::Material& metal) {
  const double radius_mm = a.bend.die_radius_mm;
  const mechanics::OvalityCase flat{a.section, a.bend.curve, metal.poisson_ratio, radius_mm};
  const auto nose =
      mechanics::nose_advance({a.section.height_mm(), a.section.wall_mm(), radius_mm});
  if (nose.ok()) a.nose = *nose;
  mechanics::BendSupport tools;
  if (a.bend.support == mechanics::Support::kMandrel && a.nose) tools.nose_mm = a.nose->nose_mm;
  const auto ovality = a.bend.support == mechanics::Support::kFree
                           ? mechanics::free_ovality(flat)
                           : mechanics::supported_ovality(flat, tools);
  if (ovality.ok()) {
    a.ovality = *ovality;
    // A section that a groove or mandrel holds still springs back; one bent in the air is lost.
    a.collapses = a.bend.support == mechanics::Support::kFree &&
                  ovality->fate == mechanics::SectionFate::kCollapses;
  }
  const auto wrinkle = mechanics::wrinkle_forecast(
      a.section, a.bend.curve, metal.poisson_ratio, radius_mm,
      a.bend.support == mechanics::Support::kFree ? mechanics::WallSupport::kFree
                                                  : mechanics::WallSupport::kOneSided);
  if (wrinkle.ok()) a.wrinkle = *wrinkle;
  const auto difficulty = mechanics::bend_difficulty(
      {a.section.height_mm(), a.section.wall_mm(), radius_mm, a.finished});
  if (difficulty.ok()) a.difficulty = *difficulty;
}

void add_findings(BendAnswer& a) {
  const auto add = [&](Severity severity, const char* code, std::string message, const char* remedy,
                       const char* source) {
    a.findings.push_back({severity, code, std::nullopt, std::move(message), remedy, source, {}});
  };
  if (a.ovality && a.ovality->fate != mechanics::SectionFate::kHolds) {
    add(a.collapses ? Severity::kStop : Severity::kCaution, "bend.collapse", a.ovality->message,
        "a mandrel, a larger radius or a thicker wall", "docs/theory/ovality.md");
  }
  if (a.crack.verdict != mechanics::CrackVerdict::kWithin) {
    // A total elongation that nobody read or measured must not stop a job.
    const bool stop = a.crack.verdict == mechanics::CrackVerdict::kStop && a.elongation_is_firm;
    add(stop ? Severity::kStop : Severity::kCaution, "bend.crack", a.crack.message,
        "a larger radius, a softer condition, or one trial bend examined for cracks",
        a.elongation_is_firm || !a.crack.total_ratio
            ? "outer strain against tensile elongation"
            : "outer strain against tensile elongation, which is recalled and unconfirmed");
  }
  if (a.wrinkle && a.wrinkle->verdict != mechanics::WrinkleVerdict::kNotExpected) {
    add(Severity::kCaution, "bend.wrinkle", a.wrinkle->message,
        "a mandrel, and a wiper if it humps", "docs/theory/wrinkling.md");
  }
  if (a.speed && !a.speed->advice.empty()) {
    add(a.speed->overload ? Severity::kStop : Severity::kCaution, "bend.torque", a.speed->advice,
        "", "torque at the die against the drive");
  }
  if (!a.collapses) {
    add(Severity::kNote, "bend.unproven",
        "springback is not proven to better than 40 %: bend a trial before the part", "",
        "published misses of uncalibrated models, 14 to 39 %");
  }
  part::sort_by_weight(a.findings);
}

nlohmann::ordered_json band_json(const mechanics::Band& b) {
  return {{"low", b.low},
          {"likely", b.likely},
          {"high", b.high},
          {"cause", mechanics::words(b.cause)},
          {"cause_share", b.share_ratio[static_cast<std::size_t>(b.cause)]}};
}

nlohmann::ordered_json tooling_json(const BendAnswer& a) {
  if (!a.section.hollow() || !a.section.round()) return nullptr;
  const double od_mm = a.section.height_mm();
  const auto wiper = mechanics::wiper_edge_mm(od_mm);
  const auto clamp = mechanics::clamp_length_mm(od_mm);
  nlohmann::ordered_json out = {{"mandrel", a.bend.support == mechanics::Support::kMandrel}};
  if (a.nose) {
    out["nose_mm"] = a.nose->nose_mm;
    out["nose_advance_mm"] = a.nose->recommended_mm;
  }
  if (wiper.ok()) out["wiper_edge_mm"] = *wiper;
  if (clamp.ok()) out["clamp_mm"] = *clamp;
  if (a.difficulty) {
    out["difficulty"] = a.difficulty->number_ratio;
    out["simple"] = a.difficulty->simple;
  }
  return out;
}

// What the centreline of a round tube may stretch: nothing where the tooling keeps the girth, up to
// 1.75 r^2/(2 R^2) where the section may shrink (finite elements: 1.73 at most,
// docs/theory/bend.md); 0 for other sections.
double largest_stretch_ratio(const BendAnswer& a) {
  if (a.section.kind() != stock::SectionKind::kRoundTube) return 0.0;
  const double r_mm = 0.5 * (a.section.height_mm() - a.section.wall_mm());
  return 1.75 * r_mm * r_mm / (2.0 * a.bend.die_radius_mm * a.bend.die_radius_mm);
}

nlohmann::ordered_json sources_json(const BendAnswer& a) {
  const char* engine = "bend engine, docs/theory/bend.md";
  const char* release = "two-stage release, docs/theory/release.md";
  return {{"moment_nm", engine},
          {"torque_nm", a.torque.basis},
          {"springback_ratio", release},
          {"radius_after_release_mm", release},
          {"set_angle_deg", "springback_ratio and constant_deg; constant part is an assumption"},
          {"outer_strain", engine},
          {"neutral_shift_mm", engine},
          {"stretch_ratio", engine},
          {"wall_outer_mm", engine},
          {"wall_inner_mm", engine},
          {"ovality_pct", "docs/theory/ovality.md"},
          {"wrinkle_margin", "docs/theory/wrinkling.md"},
          {"tooling", "docs/theory/tooling.md"},
          {"speed", "docs/theory/torque.md"},
          {"flow_curve", a.flow_source}};
}

// The measures as they were typed, where the catalogue knows the size under a rounded name: 38.1 x
// 1.65 stays 1.65 although the listed wall is 1.651.
base::Result<stock::Section> as_typed(const stock::Section& listed, const std::string& size) {
  BIGHT_TRY(const stock::StockQuery query, stock::read_stock_query(size));
  using Unit = stock::TypedSize::Unit;
  const bool plain = listed.kind() == stock::SectionKind::kRoundTube && query.sizes.size() == 2 &&
                     !query.nps && !query.dn && query.conduit_kind.empty();
  if (!plain || query.sizes[0].gauge || query.sizes[1].gauge) return listed;
  for (const stock::TypedSize& typed : query.sizes) {
    if (typed.unit == Unit::kInch) return listed;
  }
  const double od_mm = query.sizes[0].millimetres_mm;
  const double wall_mm = query.sizes[1].millimetres_mm;
  const bool near_ratio = std::abs(od_mm / listed.height_mm() - 1.0) < 0.005 &&
                          std::abs(wall_mm / listed.wall_mm() - 1.0) < 0.005;
  return near_ratio ? stock::Section::round_tube(od_mm, wall_mm) : listed;
}

}  // namespace

base::Result<BendAnswer> answer_bend(const BendQuestion& q) {
  BIGHT_TRY(const stock::SizeTables tables, stock::SizeTables::built_in());
  BIGHT_TRY(const exchange::KnownMetals metals, metals_of_shop(""));
  BIGHT_TRY(const stock::StockAnswer size, stock::choose_stock(tables, q.size));
  BIGHT_TRY(const stock::MetalAnswer metal,
            stock::find_metal(*metals, q.material.empty() ? kUsualMetal : q.material));
  BIGHT_TRY(const double radius_mm, base::parse_length_mm(q.die_radius));
  BIGHT_TRY(const base::Angle angle, base::parse_angle(q.angle));
  BIGHT_TRY([[maybe_unused]] const base::Done checked, check_question(q, angle));
  const stock::Material& material = metal.metal.material;
  BIGHT_TRY(const stock::DerivedFlow flow, flow_of(q, material));
  BIGHT_TRY(const stock::Section section, as_typed(size.size.section, q.size));
  // A law typed without a metal knows no elongation.
  const bool no_metal =
      q.material.empty() && !(q.law.empty() && q.hollomon.empty() && q.swift.empty());
  mechanics::BendCase bend{section, flow.curve, radius_mm, support_of(q.support)};
  bend.poisson_ratio = material.poisson_ratio;
  BIGHT_TRY(const mechanics::BendPrediction prediction, mechanics::predict_bend(bend));
  // A mandrel may keep any share of the hoop strain; nobody knows which before a cut sample.
  mechanics::Scatter scatter;
  scatter.hold_to_ratio = bend.support == mechanics::Support::kMandrel ? 1.0 : 0.0;
  BIGHT_TRY(const mechanics::BendBand band, mechanics::bend_band(bend, scatter));
  std::optional<double> elongation_ratio;
  if (material.elongation_ratio && !no_metal) elongation_ratio = material.elongation_ratio->value;
  BIGHT_TRY(const mechanics::CrackForecast crack,
            mechanics::crack_forecast(section, flow.curve, elongation_ratio, radius_mm));
  BendAnswer a{
      section,
      no_metal ? "law as typed" : material.name,
      flow.curve.text(),
      fmt::format("{} ({})", flow.construction, stock::words(flow.provenance)),
      bend,
      angle,
      prediction,
      band,
      false,
      {},
      {},
      {},
      {},
      crack,
      elongation_ratio && material.elongation_ratio->provenance != stock::Provenance::kUnconfirmed,
      mechanics::die_torque(prediction.moment_nmm),
      {},
      {}};
  if (section.kind() == stock::SectionKind::kRoundTube) add_round_tube(a, material);
  if (q.rated_torque_nm || q.power_w || q.max_rpm) {
    mechanics::Drive drive;
    drive.rated_torque_nmm = 1000.0 * q.rated_torque_nm.value_or(0.0);
    drive.power_w = q.power_w.value_or(0.0);
    drive.max_speed_rpm = q.max_rpm.value_or(0.0);
    BIGHT_TRY(const mechanics::SpeedLimit limit, mechanics::speed_limit(section, a.torque, drive));
    a.speed = limit;
  }
  add_findings(a);
  return a;
}

// The same bend as a textbook has it: plane sections, no shift of the neutral fibre, the section
// keeps its shape and E. What closed forms and handbook examples can be held against.
struct PlainBeam {
  double moment_nmm = 0.0;
  double springback_ratio = 0.0;
};

PlainBeam plain_beam(const BendAnswer& a) {
  const mechanics::MomentCurve law(a.section, a.bend.curve);
  PlainBeam beam;
  beam.moment_nmm = law.moment_nmm(1.0 / a.bend.die_radius_mm);
  beam.springback_ratio = beam.moment_nmm * a.bend.die_radius_mm / law.stiffness_nmm2();
  return beam;
}

nlohmann::ordered_json plain_beam_json(const BendAnswer& a) {
  const PlainBeam beam = plain_beam(a);
  const double kept_ratio = 1.0 - beam.springback_ratio;
  const bool straight = kept_ratio <= 1e-12;
  const nlohmann::ordered_json nothing = nullptr;
  return {
      {"moment_nm", beam.moment_nmm / 1000.0},
      {"springback_ratio", beam.springback_ratio},
      {"radius_after_release_mm",
       straight ? nothing : nlohmann::ordered_json(a.bend.die_radius_mm / kept_ratio)},
      {"set_angle_deg", straight ? nothing : nlohmann::ordered_json(a.finished.deg() / kept_ratio)},
      {"source",
       "plane sections, section and modulus kept, no constant part; "
       "docs/theory, closed forms"}};
}

nlohmann::ordered_json bend_json(const BendAnswer& a) {
  using nlohmann::ordered_json;
  const mechanics::BendPrediction& p = a.prediction;
  const ordered_json nothing = nullptr;
  const bool gone = a.collapses;
  ordered_json ovality = nullptr;
  if (a.ovality && a.ovality->of_nominal) {
    const mechanics::RatioSpread& s = *a.ovality->of_nominal;
    ovality = {{"low", 100.0 * s.low_ratio},
               {"likely", 100.0 * s.likely_ratio},
               {"high", 100.0 * s.high_ratio},
               {"reason", s.reason}};
  }
  ordered_json margin = nullptr;
  if (a.wrinkle) margin = a.wrinkle->onset.likely_ratio / a.wrinkle->strain_ratio;
  ordered_json speed = {{"max_rpm", nothing}, {"limited_by", "no drive given"}};
  if (a.speed) {
    speed = {{"max_rpm", a.speed->max_rpm},
             {"advised_rpm", a.speed->advised_rpm},
             {"limited_by", a.speed->limited_by},
             {"overload", a.speed->overload},
             {"power_w", a.speed->power_w}};
  }
  ordered_json findings = ordered_json::array();
  for (const Finding& f : a.findings) {
    findings.push_back({{"severity", part::word(f.severity)},
                        {"code", f.code},
                        {"message", f.message},
                        {"remedy", f.remedy},
                        {"source", f.source}});
  }
  const bool straight = p.springback_ratio >= 1.0;
  const double largest = largest_stretch_ratio(a);
  return {
      {"schema", 1},
      {"section", a.section.text()},
      {"material", a.material},
      {"flow_curve", a.flow},
      {"die_radius_mm", a.bend.die_radius_mm},
      {"angle_deg", a.finished.deg()},
      {"moment_nm", p.moment_nmm / 1000.0},
      {"torque_nm",
       {{"low", a.torque.low_nmm / 1000.0},
        {"likely", a.torque.likely_nmm / 1000.0},
        {"high", a.torque.high_nmm / 1000.0}}},
      {"springback_ratio", gone ? nothing : ordered_json(p.springback_ratio)},
      {"springback_held_ratio", gone ? nothing : ordered_json(p.release.held_ratio)},
      {"springback_band", gone ? nothing : band_json(a.band.springback_ratio)},
      {"constant_deg", gone ? nothing : ordered_json(p.constant.deg())},
      {"radius_after_release_mm", gone || straight ? nothing : ordered_json(p.released_radius_mm)},
      {"set_angle_deg", gone || straight ? nothing : ordered_json(p.set_angle(a.finished).deg())},
      {"plain_beam", plain_beam_json(a)},
      {"outer_strain", p.outer_strain_ratio},
      {"neutral_shift_mm", p.neutral_shift_mm},
      {"stretch_ratio", p.stretch_ratio},
      {"stretch_range", largest > 0.0 ? ordered_json{{"low", 0.0}, {"high", largest}} : nothing},
      {"material_used_mm", gone || straight ? nothing
                                            : ordered_json(p.material_mm(p.set_angle(a.finished),
                                                                         a.bend.die_radius_mm))},
      {"wall_outer_mm", band_json(a.band.wall_outer_mm)},
      {"wall_inner_mm", band_json(a.band.wall_inner_mm)},
      {"ovality_pct", ovality},
      {"wrinkle_margin", margin},
      {"wall_factor", a.section.wall_factor_ratio()},
      {"d_of_bend", a.bend.die_radius_mm / a.section.height_mm()},
      {"tooling", tooling_json(a)},
      {"speed", speed},
      {"findings", findings},
      {"source", sources_json(a)}};
}

std::string bend_text(const BendAnswer& a, bool colour) {
  const mechanics::BendPrediction& p = a.prediction;
  std::string out = fmt::format("{} mm, {}, die radius {:.5g} mm, {:.5g} deg\n", a.section.text(),
                                a.material, a.bend.die_radius_mm, a.finished.deg());
  const auto row = [&](const char* name, std::string value) {
    out += fmt::format("  {:<16}{}\n", name, value);
  };
  row("flow curve", fmt::format("{}; {}", a.flow, a.flow_source));
  row("moment", fmt::format("{:.0f} N m, {:.0f} to {:.0f} ({})", p.moment_nmm / 1000.0,
                            a.band.moment_nmm.low / 1000.0, a.band.moment_nmm.high / 1000.0,
                            mechanics::words(a.band.moment_nmm.cause)));
  const PlainBeam beam = plain_beam(a);
  row("plain beam", fmt::format("{:.0f} N m, springback {:.2f} %: the textbook's plane sections",
                                beam.moment_nmm / 1000.0, 100.0 * beam.springback_ratio));
  row("torque", fmt::format("{:.0f} to {:.0f} N m: {}", a.torque.low_nmm / 1000.0,
                            a.torque.high_nmm / 1000.0, a.torque.basis));
  if (a.collapses) {
    row("springback", "none to give: the section collapses");
  } else if (p.springback_ratio >= 1.0) {
    row("springback", "springs back straight");
  } else {
    row("springback",
        fmt::format("{:.2f} % of the angle (section held {:.2f} %) and {:.2f} deg; +-{:.0f} %",
                    100.0 * p.springback_ratio, 100.0 * p.release.held_ratio, p.constant.deg(),
                    100.0 * mechanics::kUncalibratedSpringback_ratio));
    row("set angle", fmt::format("{:.2f} deg", p.set_angle(a.finished).deg()));
    row("radius after", fmt::format("{:.2f} mm", p.released_radius_mm));
  }
  row("outer strain", fmt::format("{:.1f} %", 100.0 * p.outer_strain_ratio));
  row("neutral shift", fmt::format("{:.2f} mm inwards", p.neutral_shift_mm));
  std::string stretch = fmt::format("{:.2f} % of the centreline", 100.0 * p.stretch_ratio);
  if (const double largest = largest_stretch_ratio(a); largest > 0.0) {
    stretch += fmt::format(", 0 to {:.2f}: measure it", 100.0 * largest);
  }
  row("stretch", stretch);
  if (a.section.hollow()) {
    row("wall outside", fmt::format("{:.2f} mm, {:.2f} to {:.2f}", a.band.wall_outer_mm.likely,
                                    a.band.wall_outer_mm.low, a.band.wall_outer_mm.high));
    row("wall inside", fmt::format("{:.2f} mm", a.band.wall_inner_mm.likely));
  }
  if (a.ovality && a.ovality->of_nominal) {
    row("ovality",
        fmt::format("{:.1f} %, {:.1f} to {:.1f}", 100.0 * a.ovality->of_nominal->likely_ratio,
                    100.0 * a.ovality->of_nominal->low_ratio,
                    100.0 * a.ovality->of_nominal->high_ratio));
  }
  if (a.speed) {
    row("speed",
        fmt::format("{:.1f} 1/min at most, limited by {}", a.speed->max_rpm, a.speed->limited_by));
  }
  for (const Finding& f : a.findings) {
    const bool red = colour && f.severity == Severity::kStop;
    out += fmt::format("{}{}{}: {}{}{}\n", red ? "\033[31m" : "", part::word(f.severity),
                       red ? "\033[0m" : "", f.message, f.remedy.empty() ? "" : "; try ", f.remedy);
  }
  return out;
}

}  // namespace bight::app
