#include "base/length.h"

#include <fmt/format.h>

#include <array>
#include <optional>

#include "base/typed_text.h"

namespace bight::base {

namespace {

using Kind = TypedToken::Kind;

constexpr TypedArea kLengthArea{"length", "length.text", "length.comma", "length.range"};

enum class Unit { kMillimetre, kCentimetre, kMetre, kFoot, kInch };

struct UnitWord {
  std::string_view word;
  Unit unit;
};

constexpr std::array kUnitWords = {
    UnitWord{"mm", Unit::kMillimetre},
    UnitWord{"millimetre", Unit::kMillimetre},
    UnitWord{"millimetres", Unit::kMillimetre},
    UnitWord{"millimeter", Unit::kMillimetre},
    UnitWord{"millimeters", Unit::kMillimetre},
    UnitWord{"cm", Unit::kCentimetre},
    UnitWord{"centimetre", Unit::kCentimetre},
    UnitWord{"centimetres", Unit::kCentimetre},
    UnitWord{"centimeter", Unit::kCentimetre},
    UnitWord{"centimeters", Unit::kCentimetre},
    UnitWord{"m", Unit::kMetre},
    UnitWord{"metre", Unit::kMetre},
    UnitWord{"metres", Unit::kMetre},
    UnitWord{"meter", Unit::kMetre},
    UnitWord{"meters", Unit::kMetre},
    UnitWord{"ft", Unit::kFoot},
    UnitWord{"foot", Unit::kFoot},
    UnitWord{"feet", Unit::kFoot},
    UnitWord{"in", Unit::kInch},
    UnitWord{"inch", Unit::kInch},
    UnitWord{"inches", Unit::kInch},
};

// A number, perhaps with a fraction, before its unit.
struct Quantity {
  TypedNumber number;
  bool fraction = false;
};

class LengthReader {
 public:
  LengthReader(std::string_view text, const LengthRules& rules)
      : rules_(rules), reader_(text, kLengthArea, rules.decimal_mark) {}

  Result<double> read() {
    BIGHT_TRY([[maybe_unused]] const Done checked, reader_.check());
    BIGHT_TRY(const bool minus, reader_.take_sign());
    BIGHT_TRY(Quantity first, take_quantity());
    BIGHT_TRY(const std::optional<Unit> said, take_unit());
    BIGHT_TRY(const Unit unit, unit_of(first, said));
    BIGHT_TRY(ExactRatio total_mm, in_mm(first, unit));
    if (unit == Unit::kFoot && said && !reader_.done()) {
      BIGHT_TRY(const ExactRatio inches_mm, take_inches_after_feet(first));
      total_mm = total_mm.plus(inches_mm);
    }
    if (!reader_.done()) return after_the_end();
    const double size_mm = total_mm.nearest();
    if (size_mm > kLongestLength_mm) {
      return reader_.fail("length.range",
                          fmt::format("{} is longer than a kilometre", reader_.typed()),
                          "check the unit and the number of digits");
    }
    return minus && size_mm != 0.0 ? -size_mm : size_mm;
  }

 private:
  Result<Quantity> take_quantity() {
    Quantity quantity;
    if (reader_.is(Kind::kVulgar)) {
      BIGHT_TRY(quantity.number.value, take_fraction());
      quantity.fraction = true;
      return quantity;
    }
    if (!reader_.is(Kind::kDigits) && !reader_.is(Kind::kPoint) && !reader_.is(Kind::kComma)) {
      return not_a_length();
    }
    if (starts_fraction()) {
      BIGHT_TRY(quantity.number.value, take_fraction());
      quantity.fraction = true;
      return quantity;
    }
    BIGHT_TRY(quantity.number, reader_.take_number());
    const bool hyphen = reader_.is(Kind::kHyphen) && reader_.tight() && reader_.tight(1) &&
                        (reader_.is(Kind::kVulgar, 1) || starts_fraction(1));
    const bool follows =
        hyphen || reader_.is(Kind::kVulgar) || (starts_fraction() && !reader_.tight());
    if (!follows) return quantity;
    if (!quantity.number.whole) {
      return reader_.fail("length.fraction",
                          fmt::format("{} has both decimals and a fraction", reader_.typed()),
                          "write one or the other, such as 1.5 or 1-1/2");
    }
    if (hyphen) reader_.skip();
    BIGHT_TRY(const ExactRatio fraction, take_fraction());
    quantity.number.value = quantity.number.value.plus(fraction);
    quantity.fraction = true;
    return quantity;
  }

  bool starts_fraction(std::size_t ahead = 0) const {
    return reader_.is(Kind::kDigits, ahead) && reader_.is(Kind::kSlash, ahead + 1) &&
           reader_.tight(ahead + 1);
  }

  // Below one, over a power of two from 2 to 128.
  Result<ExactRatio> take_fraction() {
    if (reader_.is(Kind::kVulgar)) {
      const TypedToken token = reader_.peek();
      reader_.skip();
      return checked_fraction(token.num, token.den);
    }
    BIGHT_TRY(const TypedNumber num, reader_.take_number());
    reader_.skip();
    if (!reader_.is(Kind::kDigits) || !reader_.tight()) return reader_.stray();
    BIGHT_TRY(const TypedNumber den, reader_.take_number());
    if (!den.whole) return reader_.stray();
    return checked_fraction(num.value.num, den.value.num);
  }

  Result<ExactRatio> checked_fraction(Wide num, Wide den) const {
    const bool power_of_two = den >= 2 && den <= 128 && (den & (den - 1)) == 0;
    if (!power_of_two) {
      return reader_.fail(
          "length.fraction",
          fmt::format("the fraction in {} is not one a rule shows", reader_.typed()),
          "use halves, quarters, eighths, 16ths, 32nds, 64ths or 128ths, or "
          "decimals");
    }
    if (num >= den) {
      return reader_.fail("length.fraction",
                          fmt::format("the fraction in {} is one or more", reader_.typed()),
                          "set the whole inches apart, such as 5-1/2 for 11/2");
    }
    return ExactRatio{num, den};
  }

  // Nothing when the text says no unit here.
  Result<std::optional<Unit>> take_unit() {
    std::optional<Unit> unit;
    if (reader_.is(Kind::kPrime)) unit = Unit::kFoot;
    if (reader_.is(Kind::kDoublePrime)) unit = Unit::kInch;
    if (reader_.is(Kind::kWord)) {
      for (const UnitWord& known : kUnitWords) {
        if (known.word == reader_.peek().text) unit = known.unit;
      }
      if (!unit) return unknown_unit();
    }
    if (!unit) return unit;
    const bool word = reader_.is(Kind::kWord);
    const bool abbreviated = reader_.peek().text == "in" || reader_.peek().text == "ft";
    reader_.skip();
    if (!word || !reader_.is(Kind::kPoint) || !reader_.tight()) return unit;
    // "in." and "ft." end there: a point with something against it could be a decimal mark.
    if (!abbreviated) return reader_.stray();
    reader_.skip();
    if (!reader_.done() && reader_.tight()) return reader_.stray();
    return unit;
  }

  Failure unknown_unit() const {
    if (reader_.peek().text == "e") {
      return reader_.fail("length.text", fmt::format("{} has an exponent", reader_.typed()),
                          "write the number out, such as 1500 for 1.5e3");
    }
    return reader_.fail(
        "length.unit",
        fmt::format("{} has an unknown unit '{}'", reader_.typed(), reader_.peek().text),
        "use mm, cm, m, in or ft");
  }

  Result<Unit> unit_of(const Quantity& quantity, std::optional<Unit> said) const {
    if (said) return *said;
    if (!reader_.done()) return after_the_end();
    if (rules_.default_unit == LengthUnit::kInch) return Unit::kInch;
    if (quantity.fraction) {
      return reader_.fail("length.unit",
                          fmt::format("is {} in inches? Lengths here are millimetres unless "
                                      "they say otherwise",
                                      reader_.typed()),
                          "write 'in' after the fraction if so, or give millimetres in decimals");
    }
    return Unit::kMillimetre;
  }

  Result<ExactRatio> in_mm(const Quantity& quantity, Unit unit) const {
    if (quantity.fraction && unit != Unit::kInch) {
      return reader_.fail(
          "length.fraction",
          fmt::format("{} has a fraction of something else than an inch", reader_.typed()),
          "use decimals, or feet and inches");
    }
    const ExactRatio& value = quantity.number.value;
    switch (unit) {
      case Unit::kMillimetre:
        return value;
      case Unit::kCentimetre:
        return value.times(10);
      case Unit::kMetre:
        return value.times(1000);
      case Unit::kFoot:
        return value.times(12 * 254, 10);
      case Unit::kInch:
        break;
    }
    return value.times(254, 10);
  }

  Result<ExactRatio> take_inches_after_feet(const Quantity& feet) {
    const bool hyphen = reader_.is(Kind::kHyphen);
    if (hyphen && reader_.tight() && reader_.tight(1)) reader_.skip();
    if (!reader_.is(Kind::kDigits) && !reader_.is(Kind::kVulgar) && !reader_.is(Kind::kPoint) &&
        !reader_.is(Kind::kComma)) {
      return after_the_end();
    }
    if (!feet.number.whole) {
      return reader_.fail("length.text",
                          fmt::format("{} has decimals of a foot and inches", reader_.typed()),
                          "write whole feet before the inches, such as 3' 6\"");
    }
    BIGHT_TRY(const Quantity inches, take_quantity());
    BIGHT_TRY(const std::optional<Unit> unit, take_unit());
    if (unit != Unit::kInch) {
      return reader_.fail("length.unit",
                          fmt::format("the inches in {} carry no inch mark", reader_.typed()),
                          "write the mark or 'in' after them, such as 5' 6\"");
    }
    if (inches.number.whole_digits > 2 || inches.number.value.nearest() >= 12.0) {
      return reader_.fail("length.range",
                          fmt::format("{} has a foot or more in its inches", reader_.typed()),
                          "after feet write less than 12 in, or give inches alone");
    }
    return inches.number.value.times(254, 10);
  }

  Failure not_a_length() const {
    if (reader_.is(Kind::kHyphen) || reader_.is(Kind::kPlus)) {
      return reader_.fail("length.text", fmt::format("{} has more than one sign", reader_.typed()),
                          "write one sign at the start; it counts for the whole length");
    }
    return reader_.fail("length.text", fmt::format("{} is not a length", reader_.typed()),
                        "write a number and a unit, such as 38.1 mm, 1-1/2 in or 3' 4-5/8\"");
  }

  Failure after_the_end() const {
    if (reader_.is(Kind::kPrime)) {
      return reader_.fail("length.text",
                          fmt::format("{} has a foot mark where none can be", reader_.typed()),
                          "write one foot mark (') after feet and one inch mark (\") after "
                          "inches; two foot marks are not an inch mark");
    }
    if (reader_.is(Kind::kHyphen) || reader_.is(Kind::kPlus)) {
      return reader_.fail(
          "length.text",
          fmt::format("{} has a sign or a hyphen that stands apart", reader_.typed()),
          "sums are not worked out; write 5'-6\" and 1-1/2 without spaces round "
          "the hyphen");
    }
    return reader_.stray();
  }

  LengthRules rules_;
  TypedReader reader_;
};

}  // namespace

Result<double> parse_length_mm(std::string_view text, const LengthRules& rules) {
  return LengthReader(text, rules).read();
}

}  // namespace bight::base
