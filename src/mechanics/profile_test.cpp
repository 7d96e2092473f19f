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
