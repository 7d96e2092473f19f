#include "mechanics/profile.h"

#include <gtest/gtest.h>

#include <vector>

namespace bight::mechanics {
namespace {

using stock::Section;

struct Sums {
  double area = 0, first = 0, second = 0, plastic = 0;
  friend Sums operator+(const Sums& a, const Sums& b) {
    return {a.area + b.area, a.first + b.first, a.second + b.second, a.plastic + b.plastic};
  }
  friend Sums operator*(const Sums& a, double w) {
    return {a.area * w, a.first * w, a.second * w, a.plastic * w};
  }
};

// The shapes add up to the section: area, centroid, second moment and plastic modulus equal the
// section's own closed forms (written independently in the stock room).
TEST(Profile, AddsUpToTheSection) {
  const std::vector<Section> sections{
      *Section::round_tube(38.1, 1.65),  *Section::round_tube(50, 0.5),
      *Section::round_tube(60, 9.1),     *Section::round_tube(60, 29),
      *Section::round_bar(20),           *Section::rect_bar(10, 40),
      *Section::rect_tube(40, 40, 3, 0), *Section::rect_tube(60, 40, 3, 1.5),
      *Section::rect_tube(60, 40, 3, 6), *Section::rect_tube(60, 40, 3, 18),
      *Section::rect_tube(40, 40, 4, 20)};
  for (const Section& s : sections) {
    const Profile profile(s);
    const std::vector<double> cuts{0.0};
    const Sums sums = integrate<Sums>(profile, cuts, 0.0, [](double y) {
      return Sums{1.0, y, y * y, std::abs(y)};
    });
    EXPECT_NEAR(sums.area, s.area_mm2(), 1e-5 * s.area_mm2()) << s.text();
    EXPECT_NEAR(sums.first, 0.0, 1e-5 * s.plastic_modulus_mm3()) << s.text();
    EXPECT_NEAR(sums.second, s.second_moment_mm4(), 1e-5 * s.second_moment_mm4()) << s.text();
    EXPECT_NEAR(sums.plastic, s.plastic_modulus_mm3(), 1e-5 * s.plastic_modulus_mm3()) << s.text();
  }
}

// Angles and channels, sharp and rounded, every way round: area, centroid, second moment and the
// outermost fibres equal the section's closed forms; plastic modulus about the line of equal areas.
TEST(Profile, AddsUpToOpenSections) {
  const Section angle = *Section::angle(100, 50, 6, {8, 4});
  const Section channel = *Section::channel(100, 55, 4.5, 7.5, {10, 3});
  for (const Section& base : {angle, channel, *Section::angle(50, 50, 5)}) {
    for (const Section& s : {base, base.turned(), base.facing(stock::Toes::kOut),
                             base.turned().facing(stock::Toes::kOut)}) {
      const Profile profile(s);
      const std::vector<double> none;
      const auto sums_from = [&](double level, const std::vector<double>& cuts) {
        return integrate<Sums>(profile, cuts, 0.0, [&](double y) {
          return Sums{1.0, y, y * y, y > level ? 1.0 : 0.0};
        });
      };
      const Sums sums = sums_from(1e9, none);
      EXPECT_NEAR(sums.area, s.area_mm2(), 1e-6 * s.area_mm2()) << s.text();
      EXPECT_NEAR(sums.first, 0.0, 1e-6 * s.plastic_modulus_mm3()) << s.text();
      EXPECT_NEAR(sums.second, s.second_moment_mm4(), 1e-6 * s.second_moment_mm4()) << s.text();
      EXPECT_NEAR(profile.top_mm() - profile.bottom_mm(), s.height_mm(), 1e-9);
      double low = profile.bottom_mm();
      double high = profile.top_mm();
      for (int i = 0; i < 50; ++i) {
        const double middle = (low + high) / 2;
        (sums_from(middle, {middle}).plastic > s.area_mm2() / 2 ? low : high) = middle;
      }
      const std::vector<double> cut{high};
      const Sums plastic = integrate<Sums>(profile, cut, high, [&](double y) {
        return Sums{0, 0, 0, std::abs(y - high)};
      });
      EXPECT_NEAR(plastic.plastic, s.plastic_modulus_mm3(), 1e-5 * s.plastic_modulus_mm3())
          << s.text();
    }
  }
}

// The pencil example of docs/theory/section_integral.md: a thin wall as two circles is exact for
// the second moment (35 639 mm^4 of 40 x 1.6), one circle is not.
TEST(ProfileReference, TwoCirclesByHand) {
  const Section tube = *Section::round_tube(40, 1.6);
  const auto second = [&](Profile::Detail detail) {
    const std::vector<double> middle{0.0};
    return integrate<Sums>(Profile(tube, detail), middle, 0.0,
                           [](double y) {
                             return Sums{0, 0, y * y, 0};
                           })
        .second;
  };
  EXPECT_NEAR(second(Profile::Detail::kFine), 35639.11, 0.01);
  EXPECT_NEAR(second(Profile::Detail::kCoarse), 35577.35, 0.01);
}

// Gauss points: eight integrate x^15 on (0, 1) exactly, 1/16.
TEST(Gauss, IsExactToItsDegree) {
  const GaussRule<8> rule = gauss_rule<8>();
  double sum = 0.0;
  for (std::size_t i = 0; i < 8; ++i) sum += rule.weight[i] * std::pow(rule.at[i], 15);
  EXPECT_NEAR(sum, 1.0 / 16.0, 1e-15);
}

// The graded points are the plain ones seen through x = u^2: they integrate sqrt(x) exactly.
TEST(Gauss, GradedPointsSuitAPowerLaw) {
  double sum = 0.0;
  for (std::size_t i = 0; i < kNodes; ++i) {
    sum += graded_rule().weight[i] * std::sqrt(graded_rule().at[i]);
  }
  EXPECT_NEAR(sum, 2.0 / 3.0, 1e-14);
  EXPECT_NEAR(short_rule().at[1], 0.5, 1e-15);
}

}  // namespace
}  // namespace bight::mechanics
