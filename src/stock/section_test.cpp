#include "stock/section.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace bight::stock {
namespace {

// Plastic and elastic moduli of standard sections; textbook formulas Z = (D^3-d^3)/6, b h^2/4,
// evaluated by hand: tube 60.3 x 3.91 Z 12453.069, S 9175.688, box 40x40x3 sharp Z 6174.
TEST(SectionReference, Moduli) {
  const Section pipe = *Section::round_tube(60.3, 3.91);
  EXPECT_NEAR(pipe.plastic_modulus_mm3(), 12453.069, 1e-3);
  EXPECT_NEAR(pipe.elastic_modulus_mm3(), 9175.688, 1e-3);
  const Section box = *Section::rect_tube(40, 40, 3, 0);
  EXPECT_NEAR(box.plastic_modulus_mm3(), 6174.0, 1e-9);
  EXPECT_NEAR(box.elastic_modulus_mm3(), 5098.6, 1e-9);
  const Section hard = *Section::rect_tube(50, 25, 2, 0);
  EXPECT_NEAR(hard.plastic_modulus_mm3(), 4516.0, 1e-9);
}

// Shape factors at their textbook limits: thin tube 4/pi, solid round 16/(3 pi), rectangle 3/2.
TEST(SectionReference, ShapeFactors) {
  const auto factor = [](const Section& s) {
    return s.plastic_modulus_mm3() / s.elastic_modulus_mm3();
  };
  EXPECT_NEAR(factor(*Section::round_tube(100, 0.001)), 4.0 / std::numbers::pi, 2e-5);
  EXPECT_NEAR(factor(*Section::round_bar(20)), 16.0 / (3.0 * std::numbers::pi), 1e-12);
  EXPECT_NEAR(factor(*Section::rect_bar(20, 20)), 1.5, 1e-12);
  EXPECT_NEAR(factor(*Section::round_tube(60.3, 3.91)), 1.35718, 1e-5);
}

// Mass of steel tube at 7850 kg/m3, EN 10305-4 catalogue values printed to 1 g: 20x2 0.888,
// 28x2 1.282, 30x5 3.083, 38x6 4.735 kg/m.
TEST(SectionReference, SteelMass) {
  EXPECT_NEAR(Section::round_tube(20, 2)->mass_kg_per_m(7850), 0.888, 6e-4);
  EXPECT_NEAR(Section::round_tube(28, 2)->mass_kg_per_m(7850), 1.282, 6e-4);
  EXPECT_NEAR(Section::round_tube(30, 5)->mass_kg_per_m(7850), 3.083, 6e-4);
  EXPECT_NEAR(Section::round_tube(38, 6)->mass_kg_per_m(7850), 4.735, 6e-4);
}

// A square whose corner radius is half its side is a disc: the corner terms are right.
TEST(Section, FullyRoundedSquareIsATube) {
  const Section square = *Section::rect_tube(40, 40, 4, 20);
  const Section tube = *Section::round_tube(40, 4);
  EXPECT_NEAR(square.area_mm2(), tube.area_mm2(), 1e-9);
  EXPECT_NEAR(square.second_moment_mm4(), tube.second_moment_mm4(), 1e-6);
  EXPECT_NEAR(square.plastic_modulus_mm3(), tube.plastic_modulus_mm3(), 1e-9);
  EXPECT_NEAR(square.outer_perimeter_mm(), tube.outer_perimeter_mm(), 1e-9);
}

TEST(Section, TurnedExchangesTheAxes) {
  const Section easy = *Section::rect_tube(20, 40, 2, 3);
  EXPECT_EQ(easy.turned().turned(), easy);
  EXPECT_NEAR(easy.turned().area_mm2(), easy.area_mm2(), 1e-12);
  EXPECT_GT(easy.turned().second_moment_mm4(), easy.second_moment_mm4());
}

TEST(Section, RefusesNonsense) {
  EXPECT_EQ(Section::round_tube(38.1, 19.05).failure().code, "section.wall");
  EXPECT_EQ(Section::round_tube(-1, 1).failure().code, "section.size");
  EXPECT_EQ(Section::round_tube(std::numeric_limits<double>::quiet_NaN(), 1).failure().code,
            "section.size");
  EXPECT_EQ(Section::rect_tube(40, 20, 2, 11).failure().code, "section.corner");
  EXPECT_EQ(Section::rect_tube(40, 20, 10, 1).failure().code, "section.wall");
  EXPECT_EQ(Section::round_bar(0).failure().code, "section.size");
}

TEST(Section, Text) {
  EXPECT_EQ(Section::round_tube(38.1, 1.65)->text(), "38.1 x 1.65");
  EXPECT_EQ(Section::rect_tube(40, 20, 2, 4)->text(), "40 x 20 x 2");
  EXPECT_EQ(Section::round_bar(20)->text(), "bar 20");
}

}  // namespace
}  // namespace bight::stock
