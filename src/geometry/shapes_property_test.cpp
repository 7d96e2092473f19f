// Whatever dimensions are typed, a shape is made or refused, and what the refusal suggests works.
#include "geometry/shapes.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <random>
#include <regex>
#include <string>
#include <vector>

#include "geometry/shapes_for_tests.h"

namespace bight::geometry {
namespace {

using base::Angle;
using base::Result;

// A shape as a list of named lengths.
struct Maker {
  std::string shape;
  std::vector<std::string> names;
  std::function<Result<Shape>(const std::vector<double>&)> make;
};

constexpr Angle deg(double value_deg) { return Angle::degrees(value_deg); }

std::vector<Maker> straight_line_makers() {
  using V = std::vector<double>;
  return {
      {"offset",
       {"lead", "rise", "tail", "radius"},
       [](const V& v) {
         return make_offset({v[0], v[1], deg(40), v[2], std::nullopt, v[3]});
       }},
      {"offset by run",
       {"lead", "rise", "run", "radius"},
       [](const V& v) {
         return make_offset({v[0], v[1], deg(40), std::nullopt, v[2], v[3]});
       }},
      {"rolling offset",
       {"lead", "set", "roll", "tail", "radius"},
       [](const V& v) {
         return make_rolling_offset({v[0], v[1], v[2], deg(55), v[3], std::nullopt, v[4]});
       }},
      {"double offset",
       {"lead", "first rise", "between", "second rise", "tail", "radius"},
       [](const V& v) {
         return make_double_offset({v[0], v[1], deg(30), v[2], v[3], deg(60), deg(50), v[4], v[5]});
       }},
      {"saddle of 3",
       {"centre", "run", "depth", "radius"},
       [](const V& v) {
         return make_saddle3({v[0], v[1], v[2], deg(25), v[3]});
       }},
      {"saddle of 4",
       {"centre", "run", "depth", "top", "radius"},
       [](const V& v) {
         return make_saddle4({v[0], v[1], v[2], v[3], deg(70), v[4]});
       }},
      {"kick",
       {"lead", "rise", "radius"},
       [](const V& v) {
         return make_kick({v[0], v[1], deg(35), v[2]});
       }},
  };
}

std::vector<Maker> makers() {
  using V = std::vector<double>;
  using Kind = HandrailReturnShape::Kind;
  std::vector<Maker> all = straight_line_makers();
  const std::vector<Maker> rest = {
      {"u",
       {"width", "leg A", "leg B", "radius"},
       [](const V& v) {
         return make_u({v[0], v[1], v[2], v[3], {Face::kOutside, 30}});
       }},
      {"hoop",
       {"base", "top", "height", "upright", "radius", "size"},
       [](const V& v) {
         return make_hoop({v[0], v[1], v[2], v[3], v[4], {Face::kOutside, v[5]}});
       }},
      {"arc",
       {"lead", "radius", "tail"},
       [](const V& v) {
         return make_arc({v[0], deg(200), v[1], v[2]});
       }},
      {"stub-up",
       {"stub", "far leg", "radius", "size", "take-up"},
       [](const V& v) {
         return make_stub_up({v[0], v[1], v[2], v[3], v[4]});
       }},
      {"back to back",
       {"back to back", "stub A", "stub B", "radius", "size"},
       [](const V& v) {
         return make_back_to_back({v[0], v[1], v[2], v[3], v[4]});
       }},
      {"wall return",
       {"rail", "return", "radius"},
       [](const V& v) {
         return make_handrail_return({Kind::kWall, v[0], v[1], 0, true, v[2]});
       }},
      {"post return",
       {"rail", "return", "back", "radius"},
       [](const V& v) {
         return make_handrail_return({Kind::kPost, v[0], v[1], v[2], true, v[3]});
       }},
      {"stair turn",
       {"before", "after", "radius"},
       [](const V& v) {
         return make_stair_turn({v[0], v[1], deg(35), deg(-10), deg(100), v[2]});
       }},
      {"hairpin",
       {"pass", "lead", "tail", "spacing", "radius"},
       [](const V& v) {
         return make_hairpin({3, v[0], v[1], v[2], v[3], v[4], {Face::kInside, 10}});
       }},
      {"helix",
       {"radius", "pitch", "lead", "tail", "size"},
       [](const V& v) {
         return make_helix({.radius_mm = v[0],
                            .pitch_mm = v[1],
                            .turns_ratio = 2.3,
                            .lead_mm = v[2],
                            .tail_mm = v[3],
                            .drawn = {Face::kOutside, v[4]}});
       }},
  };
  all.insert(all.end(), rest.begin(), rest.end());
  return all;
}

// "make the rise at least 35.15 mm, or the radius at most 34.14 mm" -> the choice-th of them.
struct Suggestion {
  std::string name;
  double value_mm;
};

std::vector<Suggestion> suggestions(const std::string& remedy) {
  static const std::regex kOne("the ([a-zA-Z0-9 -]+?) at (?:least|most) ([0-9.]+) mm");
  std::vector<Suggestion> found;
  for (std::sregex_iterator it(remedy.begin(), remedy.end(), kOne), end; it != end; ++it) {
    found.push_back({(*it)[1], std::stod((*it)[2])});
  }
  return found;
}

bool sound(const Shape& shape) {
  for (std::size_t i = 0; i <= shape.table.num_bends(); ++i) {
    if (!(shape.table.straight_mm(i) >= 0.0)) return false;
  }
  return std::isfinite(shape.table.developed_length_mm()) && shape.start.origin_mm.allFinite();
}

// Following the suggestions, whichever of them, ends at a shape that can be made; none is repeated
// in vain, since each one cures what it was given for.
TEST(ShapesProperty, SuggestionsLeadToAShape) {
  std::mt19937_64 random(17);
  std::uniform_real_distribution<double> any_mm(5.0, 300.0);
  int num_refused = 0;
  for (const Maker& maker : makers()) {
    for (int trial = 0; trial < 400; ++trial) {
      std::vector<double> values;
      for (std::size_t i = 0; i < maker.names.size(); ++i) values.push_back(any_mm(random));
      std::string said;
      Result<Shape> made = maker.make(values);
      for (int round = 0; round < 12 && !made.ok(); ++round) {
        ++num_refused;
        said += "\n" + made.failure().text();
        ASSERT_EQ(made.failure().code, "shape.fit") << maker.shape << said;
        const std::vector<Suggestion> choices = suggestions(made.failure().remedy);
        ASSERT_FALSE(choices.empty()) << maker.shape << said;
        const Suggestion& chosen = choices[random() % choices.size()];
        const auto name = std::find(maker.names.begin(), maker.names.end(), chosen.name);
        ASSERT_NE(name, maker.names.end()) << maker.shape << " has no " << chosen.name << said;
        const std::string before = made.failure().text();
        values[static_cast<std::size_t>(name - maker.names.begin())] = chosen.value_mm;
        made = maker.make(values);
        if (!made.ok()) {
          ASSERT_NE(made.failure().text(), before) << maker.shape << said;
        }
      }
      ASSERT_TRUE(made.ok()) << maker.shape << said;
      ASSERT_TRUE(sound(*made)) << maker.shape;
    }
  }
  EXPECT_GT(num_refused, 1000);
}

// Nonsense is refused without harm, and what is made is sound.
TEST(ShapesProperty, AnyNumbersAreMadeOrRefused) {
  std::mt19937_64 random(18);
  const std::vector<double> odd = {0.0,
                                   -0.0,
                                   -1.0,
                                   1e-300,
                                   1e-9,
                                   1e-6,
                                   0.01,
                                   0.5,
                                   25.0,
                                   100.0,
                                   1000.0,
                                   1e5,
                                   1e6,
                                   1.0000001e6,
                                   1e300,
                                   std::nan(""),
                                   std::numeric_limits<double>::infinity()};
  int num_made = 0;
  for (const Maker& maker : makers()) {
    for (int trial = 0; trial < 3000; ++trial) {
      std::vector<double> values;
      for (std::size_t i = 0; i < maker.names.size(); ++i) {
        values.push_back(odd[random() % odd.size()]);
      }
      const Result<Shape> made = maker.make(values);
      if (made.ok()) {
        ++num_made;
        ASSERT_TRUE(sound(*made)) << maker.shape;
      } else {
        ASSERT_TRUE(made.failure().code.starts_with("shape.")) << made.failure().text();
        ASSERT_FALSE(made.failure().remedy.empty()) << made.failure().text();
      }
    }
  }
  EXPECT_GT(num_made, 500);
}

}  // namespace
}  // namespace bight::geometry
