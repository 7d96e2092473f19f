#include "base/angle_text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <optional>
#include <random>
#include <regex>

namespace bight::base {
namespace {

using Form = AngleStyle::Form;

void expect_deg(std::string_view text, double angle_deg, DecimalMark mark = DecimalMark::kPoint) {
  const auto read = parse_angle(text, mark);
  ASSERT_TRUE(read.ok()) << text << ": " << read.failure().text();
  EXPECT_DOUBLE_EQ(read->deg(), angle_deg) << text;
}

void expect_code(std::string_view text, std::string_view code,
                 DecimalMark mark = DecimalMark::kPoint) {
  const auto read = parse_angle(text, mark);
  ASSERT_FALSE(read.ok()) << text << " was read as " << read->deg();
  EXPECT_EQ(read.failure().code, code) << text << ": " << read.failure().text();
}

TEST(ParseAngle, ReadsDegrees) {
  expect_deg("90", 90);
  expect_deg("90.5 deg", 90.5);
  expect_deg("90.5°", 90.5);
  expect_deg("90 Degrees", 90);
  expect_deg("-22.5", -22.5);
  expect_deg("90,5", 90.5, DecimalMark::kComma);
  EXPECT_EQ(parse_angle("90")->rad(), Angle::degrees(90).rad());
}

TEST(ParseAngle, ReadsMinutesAndSeconds) {
  expect_deg("67d30'", 67.5);
  expect_deg("67°30'15\"", 67.5 + 15.0 / 3600.0);
  expect_deg("67 deg 30 min", 67.5);
  expect_deg("67 deg 30 min 15 sec", 67.5 + 15.0 / 3600.0);
  expect_deg("67º30′15.5″", 67.5 + 15.5 / 3600.0);
  expect_deg("0°0.5'", 0.5 / 60.0);
  expect_deg("-0°30'", -0.5);
  expect_deg("−1° 30’", -1.5);
}

TEST(ParseAngle, RadiansOnlyWhenSaid) {
  EXPECT_EQ(parse_angle("1.57 rad")->rad(), 1.57);
  EXPECT_EQ(parse_angle("-0.5 Radians")->rad(), -0.5);
  expect_deg("1.57", 1.57);
  expect_code("1 rad 30'", "angle.text");
}

TEST(ParseAngle, RefusesWhatCouldBeReadTwoWays) {
  expect_code("67°30", "angle.unit");
  expect_code("67 30", "angle.text");
  expect_code("67 30 15", "angle.text");
  expect_code("30'", "angle.unit");
  expect_code("15\"", "angle.unit");
  expect_code("67°15\"", "angle.unit");
  expect_code("67°30'15''", "angle.unit");
  expect_code("67.5°30'", "angle.text");
  expect_code("67°30.5'15\"", "angle.text");
  expect_code("67°60'", "angle.range");
  expect_code("67°59'60\"", "angle.range");
  expect_code("67°030'", "angle.range");
  expect_code("67°-30'", "angle.text");
  expect_code("67°30'15\"5", "angle.text");
  expect_code("100 gon", "angle.unit");
  expect_code("90,5", "angle.comma");
  expect_code("90.5", "angle.comma", DecimalMark::kComma);
  expect_code("1.2.3", "angle.comma");
}

TEST(ParseAngle, RefusesWhatIsNoAngle) {
  for (const char* text : {"", " ", "deg", "°", "nan", "inf", "5.", "1e2", "--5", "- 5", "5 5",
                           "1/2", "½°", "90%", "\xC2", "90°°"}) {
    expect_code(text, "angle.text");
  }
  expect_code(std::string(81, '9'), "angle.text");
  expect_code("36001", "angle.range");
  expect_code("9999999999", "angle.range");
  expect_deg("36000", 36000);
}

TEST(PrintAngle, DecimalDegrees) {
  EXPECT_EQ(print_angle(Angle::degrees(67.5)).text, "67.5°");
  EXPECT_EQ(print_angle(Angle::degrees(-0.01)).text, "0.0°");
  EXPECT_EQ(print_angle(Angle::degrees(89.96)).text, "90.0°");
  EXPECT_EQ(print_angle(Angle::degrees(-22.25), {.decimals = 2, .with_unit = false}).text,
            "-22.25");
  EXPECT_EQ(print_angle(Angle::degrees(1.5), {.decimal_mark = DecimalMark::kComma}).text, "1,5°");
}

TEST(PrintAngle, MinutesAndSecondsCarry) {
  const AngleStyle seconds{.form = Form::kSeconds, .decimals = 0};
  EXPECT_EQ(print_angle(Angle::degrees(67.5 + 15.0 / 3600.0), seconds).text, "67°30'15\"");
  EXPECT_EQ(print_angle(Angle::degrees(67.0 + 29.0 / 60.0 + 59.9996 / 3600.0), seconds).text,
            "67°30'0\"");
  EXPECT_EQ(print_angle(Angle::degrees(59.9999999), seconds).text, "60°0'0\"");
  EXPECT_EQ(print_angle(Angle::degrees(-0.5), seconds).text, "-0°30'0\"");
  const AngleStyle minutes{.form = Form::kMinutes, .decimals = 0};
  EXPECT_EQ(print_angle(Angle::degrees(67.5), minutes).text, "67°30'");
  EXPECT_EQ(print_angle(Angle::degrees(-0.001), minutes).text, "0°0'");
  EXPECT_EQ(print_angle(Angle::degrees(0.25 / 60.0), {.form = Form::kMinutes, .decimals = 2}).text,
            "0°0.25'");
}

TEST(PrintAngle, NoNumberPrintsAQuestionMark) {
  EXPECT_EQ(print_angle(Angle::radians(std::nan(""))).text, "?");
  EXPECT_EQ(print_angle(Angle::radians(std::numeric_limits<double>::infinity())).text, "?");
}

// A second reader, sharing nothing with the first: one regular expression per way of writing.
class PatternReader {
 public:
  // Degrees; nothing when it knows no such angle.
  std::optional<double> read_deg(std::string text) const {
    fold(text, "°", "@");
    fold(text, "′", "'");
    fold(text, "″", "\"");
    std::smatch m;
    double size_deg = 0.0;
    if (std::regex_match(text, m, plain_)) {
      size_deg = std::stod(m[2]);
    } else if (std::regex_match(text, m, radians_)) {
      size_deg = std::stod(m[2]) * 180.0 / 3.14159265358979323846;
    } else if (std::regex_match(text, m, minutes_)) {
      if (std::stod(m[3]) >= 60.0) return std::nullopt;
      size_deg = std::stod(m[2]) + std::stod(m[3]) / 60.0;
    } else if (std::regex_match(text, m, seconds_)) {
      if (std::stod(m[3]) >= 60.0 || std::stod(m[4]) >= 60.0) return std::nullopt;
      size_deg = std::stod(m[2]) + std::stod(m[3]) / 60.0 + std::stod(m[4]) / 3600.0;
    } else {
      return std::nullopt;
    }
    if (size_deg > 36000.0) return std::nullopt;
    return m[1] == "-" ? -size_deg : size_deg;
  }

 private:
  static void fold(std::string& text, const std::string& from, const char* to) {
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from)) {
      text.replace(at, from.size(), to);
    }
  }
  static std::regex whole(const std::string& body) {
    return std::regex("^[ \\t]*([-+]?)" + body + "[ \\t]*$", std::regex::icase);
  }

  const std::string s_ = "[ \\t]*";
  const std::string decimal_ = "([0-9]+(?:\\.[0-9]+)?|\\.[0-9]+)";
  const std::string sixtieths_ = "([0-9]{1,2}(?:\\.[0-9]+)?|\\.[0-9]+)";
  const std::string degree_ = s_ + "(?:@|degrees?|degs?|d)" + s_;
  const std::string minute_ = s_ + "(?:'|minutes?|mins?)" + s_;
  const std::string second_ = s_ + "(?:\"|seconds?|secs?)";
  const std::regex plain_ = whole(decimal_ + "(?:" + degree_ + ")?");
  const std::regex radians_ = whole(decimal_ + s_ + "(?:rads?|radians?)");
  const std::regex minutes_ = whole("([0-9]+)" + degree_ + sixtieths_ + minute_);
  const std::regex seconds_ =
      whole("([0-9]+)" + degree_ + "([0-9]{1,2})" + minute_ + sixtieths_ + second_);
};

const std::array kValid = {"90",
                           "90.5 deg",
                           "90.5°",
                           "67d30'",
                           "67°30'15\"",
                           "67 deg 30 min",
                           "-0°30'",
                           "1.57 rad",
                           ".5",
                           "67° 30′ 15.5″",
                           "12 degrees",
                           "5°59.5'",
                           "5 deg 4 min 3 sec"};
const std::array kPieces = {"0",  "1", "5", "6", "30",  ".", ",",  "-",   "+", " ", "'",
                            "\"", "°", "d", "m", "rad", "e", "''", "min", "′", "s", "x"};

TEST(AngleTextProperty, MisspeltAnglesAreNeverMisread) {
  const PatternReader oracle;
  std::mt19937_64 random(21);
  const auto below = [&](std::size_t bound) { return random() % bound; };
  int num_read = 0;
  const int num_strings = std::getenv("BIGHT_LONG_TESTS") ? 1'000'000 : 20'000;
  for (int i = 0; i < num_strings; ++i) {
    std::string text = kValid[below(kValid.size())];
    for (std::size_t changes = below(5); changes > 0; --changes) {
      const std::size_t at = below(text.size() + 1);
      const std::size_t kind = below(3);
      if (kind != 0 && at < text.size()) text.erase(at, 1);
      if (kind != 1) text.insert(at, kPieces[below(kPieces.size())]);
    }
    const auto read = parse_angle(text);
    const auto expected = oracle.read_deg(text);
    ASSERT_EQ(read.ok(), expected.has_value())
        << text << (read.ok() ? "" : " refused: " + read.failure().text());
    if (!read.ok()) continue;
    ASSERT_NEAR(read->deg(), *expected, 1e-12 * (1 + std::abs(*expected))) << text;
    ++num_read;
  }
  // Otherwise the strings are too broken to prove anything.
  EXPECT_GT(num_read, num_strings / 5);
}

RC_GTEST_PROP(AngleTextProperty, PrintedIsReadBackUpToTheRemainder, ()) {
  const double angle_deg =
      static_cast<double>(*rc::gen::inRange<std::int64_t>(-36'000'000'000, 36'000'000'001)) * 1e-6;
  AngleStyle style;
  style.form = *rc::gen::element(Form::kDegrees, Form::kMinutes, Form::kSeconds);
  style.decimals = *rc::gen::inRange(0, 6);
  style.with_unit = *rc::gen::arbitrary<bool>();
  style.decimal_mark = *rc::gen::element(DecimalMark::kPoint, DecimalMark::kComma);
  const auto printed = print_angle(Angle::degrees(angle_deg), style);
  const auto read = parse_angle(printed.text, style.decimal_mark);
  RC_LOG() << printed.text << "\n";
  RC_ASSERT(read.ok());
  RC_ASSERT(std::abs((*read + printed.remainder).deg() - angle_deg) <= 1e-10);
  const double part_deg = style.form == Form::kDegrees   ? 1.0
                          : style.form == Form::kMinutes ? 1.0 / 60.0
                                                         : 1.0 / 3600.0;
  RC_ASSERT(std::abs(printed.remainder.deg()) <=
            part_deg * std::pow(10.0, -style.decimals) / 2 + 1e-10);
}

}  // namespace
}  // namespace bight::base
