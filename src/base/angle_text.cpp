#include "base/angle_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>

#include "base/typed_text.h"

namespace bight::base {

namespace {

using Kind = TypedToken::Kind;

constexpr TypedArea kAngleArea{"angle", "angle.text", "angle.comma", "angle.range"};

enum class Part { kDegrees, kMinutes, kSeconds, kRadians };

struct PartWord {
  std::string_view word;
  Part part;
};

constexpr std::array kPartWords = {
    PartWord{"d", Part::kDegrees},       PartWord{"deg", Part::kDegrees},
    PartWord{"degs", Part::kDegrees},    PartWord{"degree", Part::kDegrees},
    PartWord{"degrees", Part::kDegrees}, PartWord{"min", Part::kMinutes},
    PartWord{"mins", Part::kMinutes},    PartWord{"minute", Part::kMinutes},
    PartWord{"minutes", Part::kMinutes}, PartWord{"sec", Part::kSeconds},
    PartWord{"secs", Part::kSeconds},    PartWord{"second", Part::kSeconds},
    PartWord{"seconds", Part::kSeconds}, PartWord{"rad", Part::kRadians},
    PartWord{"rads", Part::kRadians},    PartWord{"radian", Part::kRadians},
    PartWord{"radians", Part::kRadians},
};

class AngleReader {
 public:
  AngleReader(std::string_view text, DecimalMark mark) : reader_(text, kAngleArea, mark) {}

  Result<Angle> read() {
    BIGHT_TRY([[maybe_unused]] const Done checked, reader_.check());
    BIGHT_TRY(const bool minus, reader_.take_sign());
    BIGHT_TRY(const TypedNumber first, take_first());
    BIGHT_TRY(const std::optional<Part> said, take_part());
    const Part part = said.value_or(Part::kDegrees);
    if (part == Part::kMinutes || part == Part::kSeconds) {
      return reader_.fail("angle.unit", fmt::format("{} has no degrees", reader_.typed()),
                          "write the degrees first, such as 0°30'");
    }
    ExactRatio total = first.value;
    if (said == Part::kDegrees && !reader_.done()) {
      BIGHT_TRY(const ExactRatio rest, take_minutes_and_seconds(first));
      total = total.plus(rest);
    }
    if (!reader_.done()) return reader_.stray();
    const double size = total.nearest();
    const Angle angle = part == Part::kRadians ? Angle::radians(size) : Angle::degrees(size);
    if (angle.deg() > kLargestAngle_deg) {
      return reader_.fail("angle.range",
                          fmt::format("{} is more than a hundred turns", reader_.typed()),
                          "check the number of digits");
    }
    return minus && size != 0.0 ? -angle : angle;
  }

 private:
  bool at_number() const {
    return reader_.is(Kind::kDigits) || reader_.is(Kind::kPoint) || reader_.is(Kind::kComma);
  }

  Result<TypedNumber> take_first() {
    if (at_number()) return reader_.take_number();
    if (reader_.is(Kind::kHyphen) || reader_.is(Kind::kPlus)) {
      return reader_.fail("angle.text", fmt::format("{} has more than one sign", reader_.typed()),
                          "write one sign at the start; it counts for the whole angle");
    }
    return reader_.fail("angle.text", fmt::format("{} is not an angle", reader_.typed()),
                        "write degrees, such as 67.5, 67.5 deg or 67°30'");
  }

  // Nothing when no mark stands here.
  Result<std::optional<Part>> take_part() {
    std::optional<Part> part;
    if (reader_.is(Kind::kDegree)) part = Part::kDegrees;
    if (reader_.is(Kind::kPrime)) part = Part::kMinutes;
    if (reader_.is(Kind::kDoublePrime)) part = Part::kSeconds;
    if (reader_.is(Kind::kWord)) {
      for (const PartWord& known : kPartWords) {
        if (known.word == reader_.peek().text) part = known.part;
      }
      if (!part) return unknown_unit();
    }
    if (part) reader_.skip();
    return part;
  }

  Failure unknown_unit() const {
    if (reader_.peek().text == "e") {
      return reader_.fail("angle.text", fmt::format("{} has an exponent", reader_.typed()),
                          "write the number out");
    }
    return reader_.fail(
        "angle.unit",
        fmt::format("{} has an unknown unit '{}'", reader_.typed(), reader_.peek().text),
        "use degrees (deg or °), minutes ('), seconds (\") or rad");
  }

  Result<ExactRatio> take_minutes_and_seconds(const TypedNumber& degrees) {
    BIGHT_TRY(const TypedNumber minutes, take_sixtieths(degrees, Part::kMinutes));
    const ExactRatio minutes_deg = minutes.value.times(1, 60);
    if (reader_.done()) return minutes_deg;
    BIGHT_TRY(const TypedNumber seconds, take_sixtieths(minutes, Part::kSeconds));
    return minutes_deg.plus(seconds.value.times(1, 3600));
  }

  // Minutes after degrees, or seconds after minutes.
  Result<TypedNumber> take_sixtieths(const TypedNumber& before, Part wanted) {
    if (!at_number()) return reader_.stray();
    const std::string_view name = wanted == Part::kMinutes ? "minutes" : "seconds";
    if (!before.whole) {
      return reader_.fail("angle.text",
                          fmt::format("{} has decimals before its {}", reader_.typed(), name),
                          "only the last part may have decimals");
    }
    BIGHT_TRY(const TypedNumber number, reader_.take_number());
    BIGHT_TRY(const std::optional<Part> part, take_part());
    if (part != wanted) {
      return reader_.fail(
          "angle.unit", fmt::format("the {} in {} do not carry their mark", name, reader_.typed()),
          "write ' after minutes and \" after seconds, such as 67°30'15\"");
    }
    if (number.whole_digits > 2 || number.value.nearest() >= 60.0) {
      return reader_.fail("angle.range", fmt::format("{} has 60 {} or more", reader_.typed(), name),
                          "carry them into the part before");
    }
    return number;
  }

  TypedReader reader_;
};

// A count of steps as "12" or "12.50" with `per_whole` = 10^decimals steps to the whole.
std::string steps_text(std::int64_t count, std::int64_t per_whole, int decimals, char mark) {
  if (decimals == 0) return std::to_string(count);
  return fmt::format("{}{}{:0{}}", count / per_whole, mark, count % per_whole, decimals);
}

}  // namespace

Result<Angle> parse_angle(std::string_view text, DecimalMark mark) {
  return AngleReader(text, mark).read();
}

PrintedAngle print_angle(Angle angle, const AngleStyle& style) {
  constexpr double kPrintable_deg = 360e6;  // steps of 1e-9" below this are not all countable, so:
  constexpr double kCountable = 4e15;
  const double size_deg = std::abs(angle.deg());
  if (!(size_deg <= kPrintable_deg)) {
    return {"?", Angle::radians(std::numeric_limits<double>::quiet_NaN())};
  }
  const int parts_per_degree = style.form == AngleStyle::Form::kDegrees   ? 1
                               : style.form == AngleStyle::Form::kMinutes ? 60
                                                                          : 3600;
  int decimals = std::clamp(style.decimals, 0, 9);
  std::int64_t per_part = 1;
  for (int i = 0; i < decimals; ++i) per_part *= 10;
  while (size_deg * parts_per_degree * static_cast<double>(per_part) > kCountable) {
    --decimals;
    per_part /= 10;
  }
  const double steps_per_degree = parts_per_degree * static_cast<double>(per_part);
  const std::int64_t steps = std::llround(size_deg * steps_per_degree);
  const char mark = style.decimal_mark == DecimalMark::kComma ? ',' : '.';

  PrintedAngle printed;
  const double size_printed_deg = static_cast<double>(steps) / steps_per_degree;
  printed.remainder = Angle::degrees(angle.deg() - std::copysign(size_printed_deg, angle.deg()));
  if (angle.deg() < 0.0 && steps != 0) printed.text = "-";
  if (style.form == AngleStyle::Form::kDegrees) {
    printed.text += steps_text(steps, per_part, decimals, mark) + (style.with_unit ? "°" : "");
    return printed;
  }
  const std::int64_t per_minute =
      style.form == AngleStyle::Form::kMinutes ? per_part : 60 * per_part;
  printed.text += fmt::format("{}°", steps / (60 * per_minute));
  const std::int64_t in_degree = steps % (60 * per_minute);
  if (style.form == AngleStyle::Form::kMinutes) {
    printed.text += steps_text(in_degree, per_part, decimals, mark) + "'";
    return printed;
  }
  printed.text += fmt::format("{}'{}\"", in_degree / per_minute,
                              steps_text(in_degree % per_minute, per_part, decimals, mark));
  return printed;
}

}  // namespace bight::base
