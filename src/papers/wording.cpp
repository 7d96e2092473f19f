#include "papers/wording.h"

#include <fmt/format.h>

#include <cmath>

#include "base/angle_text.h"
#include "planning/clearance_words.h"

namespace bight::papers {

namespace {

constexpr double kMmPerInch = 25.4;
// International pound (1959) and standard gravity (CGPM 1901), both exact.
constexpr double kKgPerPound = 0.45359237;
constexpr double kNmmPerPoundFoot = kKgPerPound * 9.80665 * 12.0 * kMmPerInch;

std::string degrees(base::Angle angle, int decimals) {
  base::AngleStyle style;
  style.decimals = decimals;
  std::string text = base::print_angle(angle, style).text;
  // The typographic minus does not get lost beside a greasy thumb as the hyphen does.
  if (!text.empty() && text.front() == '-') text.replace(0, 1, "−");
  return text;
}

std::string trimmed(std::string text) {
  if (text.find('.') == std::string::npos) return text;
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace

Wording::Wording(const base::LengthStyle& style, base::Angle set_step) : style_(style) {
  style_.with_unit = false;
  // A hair's tolerance: a step of 0.1° arrives as 0.1 times pi / 180 and back.
  set_decimals_ = set_step.deg() < 0.0999 ? 2 : 1;
}

std::string_view Wording::unit() const {
  return style_.unit == base::LengthUnit::kInch ? "in" : "mm";
}

std::string Wording::length(double length_mm) const {
  return base::print_length(length_mm, style_).text;
}

std::string Wording::length_with_unit(double length_mm) const {
  base::LengthStyle style = style_;
  style.with_unit = true;
  return base::print_length(length_mm, style).text;
}

std::string Wording::at_least(double low_mm) const {
  base::LengthStyle style = style_;
  style.with_unit = true;
  return planning::say_at_least(low_mm, style);
}

std::string Wording::size(double size_mm) const {
  if (style_.unit == base::LengthUnit::kInch) {
    return trimmed(fmt::format("{:.3f}", size_mm / kMmPerInch));
  }
  return trimmed(fmt::format("{:.2f}", size_mm));
}

std::string Wording::band(const planning::LengthBand& band) const {
  return fmt::format("{} – {}", length(band.low_mm), length(band.high_mm));
}

std::string Wording::rounding() const {
  if (style_.unit == base::LengthUnit::kInch && style_.form == base::LengthStyle::Form::kFraction) {
    return fmt::format("to the nearest 1/{} in", style_.denominator);
  }
  return fmt::format("to {:.{}f} {}", std::pow(10.0, -style_.decimals), style_.decimals, unit());
}

std::string Wording::mass(double mass_kg) const {
  if (style_.unit == base::LengthUnit::kInch)
    return fmt::format("{:.2f} lb", mass_kg / kKgPerPound);
  return fmt::format("{:.2f} kg", mass_kg);
}

std::string Wording::torque(double torque_nmm) const {
  if (style_.unit == base::LengthUnit::kInch) {
    return fmt::format("{:.0f} lbf·ft", torque_nmm / kNmmPerPoundFoot);
  }
  return fmt::format("{:.0f} N·m", torque_nmm / 1000.0);
}

std::string Wording::angle(base::Angle angle) const { return degrees(angle, 1); }

std::string Wording::fine_angle(base::Angle angle) const { return degrees(angle, 2); }

std::string Wording::set_angle(base::Angle angle) const { return degrees(angle, set_decimals_); }

std::string Wording::signed_angle(base::Angle angle) const {
  const std::string text = degrees(angle, 1);
  const bool nought = text.find_first_of("123456789") == std::string::npos;
  return angle.rad() > 0.0 && !nought ? "+" + text : text;
}

std::string Wording::set_band(const planning::AngleBand& band) const {
  std::string low = set_angle(band.low);
  low.erase(low.find("°"));
  return low + " – " + set_angle(band.high);
}

std::string section_words(const stock::Section& section, const Wording& wording) {
  const std::string height = wording.size(section.height_mm());
  const std::string width = wording.size(section.width_mm());
  const std::string wall = wording.size(section.wall_mm());
  switch (section.kind()) {
    case stock::SectionKind::kRoundTube:
      return fmt::format("OD {} × wall {} {}", height, wall, wording.unit());
    case stock::SectionKind::kRoundBar:
      return fmt::format("solid round {} {}", height, wording.unit());
    case stock::SectionKind::kRectTube:
      return fmt::format("{} deep at bend 1 × {} wide, wall {} {}, corners R {}", height, width,
                         wall, wording.unit(), wording.size(section.corner_radius_mm()));
    case stock::SectionKind::kRectBar:
      return fmt::format("solid, {} deep at bend 1 × {} wide, {}", height, width, wording.unit());
    case stock::SectionKind::kAngle:
      return fmt::format("angle, leg {} in the plane of bending × leg {} across, {} thick {}",
                         height, width, wall, wording.unit());
    case stock::SectionKind::kChannel:
      return fmt::format("channel, {} in the plane of bending × {} across, web {}, flanges {} {}",
                         height, width, wall, wording.size(section.flange_thickness_mm()),
                         wording.unit());
  }
  return {};
}

std::string tolerance_words(const part::Tolerance& tolerance, const Wording& wording) {
  std::string text;
  if (tolerance.length_mm) {
    text = fmt::format("±{} {}", wording.size(*tolerance.length_mm), wording.unit());
  }
  if (tolerance.angle) text += (text.empty() ? "±" : ", ±") + wording.angle(*tolerance.angle);
  return text;
}

std::string_view end_letter(planning::End end) { return end == planning::End::kA ? "A" : "B"; }

planning::End other(planning::End end) {
  return end == planning::End::kA ? planning::End::kB : planning::End::kA;
}

std::string_view side_words(planning::MarkSide side) {
  return side == planning::MarkSide::kTowardsB ? "towards B" : "towards A";
}

}  // namespace bight::papers
