#include "exchange/part_shape.h"

#include <gtest/gtest.h>

#include <set>
#include <string>

#include "exchange/part_line.h"

namespace bight::exchange {
namespace {

// Each shape word with one set of dimensions that fit: it reads, and has the bends it should.
TEST(PartShape, EveryWordReads) {
  const struct {
    const char* text;
    std::size_t num_bends;
  } cases[] = {
      {"shape='u'\nwidth=600\nleg=400\nradius=100", 2},
      {"shape='u'\nwidth=200\nleg_a=400\nleg_b=300\nradius=100", 1},
      {"shape='hoop'\nbase=1000\ntop=700\nheight=900\nupright=300\nradius=100", 4},
      {"shape='arc'\nlead=100\nangle=120\ntail=100\nradius=300", 1},
      {"shape='offset'\nlead=300\nrise=150\nangle=30\ntail=300\nradius=100", 2},
      {"shape='rolling-offset'\nlead=300\nset=150\nroll=100\nangle=45\ntail=300\nradius=100", 2},
      {"shape='double-offset'\nlead=300\nfirst_rise=150\nfirst_angle=30\nbetween=400\n"
       "second_rise=100\nsecond_angle=30\nsecond_roll=180\ntail=300\nradius=60",
       4},
      {"shape='saddle-3'\ncentre=600\nrun=1200\ndepth=100\nangle=22.5\nradius=100", 3},
      {"shape='saddle-4'\ncentre=600\nrun=1200\ndepth=100\ntop=300\nangle=30\nradius=100", 4},
      {"shape='kick'\nlead=300\nrise=80\nangle=20\nradius=100", 1},
      {"shape='stub-up'\nstub=250\nfar=800\nradius=100", 1},
      {"shape='back-to-back'\nback_to_back=700\nstub_a=300\nstub_b=250\nradius=100", 2},
      {"shape='handrail-return'\nrail=1800\nreturn=270\nradius=145", 1},
      {"shape='handrail-return'\nto='post'\nrail=1800\nreturn=300\nback=200\nradius=100", 2},
      {"shape='stair-turn'\nbefore=600\nafter=600\npitch_before=35\npitch_after=35\nplan_turn=90\n"
       "radius=150",
       1},
      {"shape='hairpin'\nreturns=3\npass=900\nlead=950\ntail=950\nspacing=150\nradius=75", 3},
      {"shape='helix'\nradius=150\npitch=40\nturns=0.5\narcs_per_turn=24", 12},
  };
  std::set<std::string> seen;
  for (const auto& c : cases) {
    const Document document = parse_toml(c.text, "p.toml").value();
    const base::Result<Line> line = read_line(Fields(document), 38.1);
    ASSERT_TRUE(line.ok()) << c.text << ": " << line.failure().text();
    EXPECT_EQ(line->table.num_bends(), c.num_bends) << c.text;
    seen.insert(document.value["shape"].get<std::string>());
  }
  EXPECT_EQ(seen.size(), shape_words().size());
}

// Dimensions that do not fit are refused with file, line and the dimension's name.
TEST(PartShape, ImpossibleDimensionsAreNamed) {
  const Document document =
      parse_toml("shape='u'\nwidth=50\nleg=400\nradius=100", "p.toml").value();
  const base::Result<Line> line = read_line(Fields(document), 38.1);
  ASSERT_FALSE(line.ok());
  EXPECT_EQ(line.failure().code.substr(0, 6), "shape.");
  EXPECT_EQ(line.failure().where.substr(0, 9), "p.toml:1:");
}

}  // namespace
}  // namespace bight::exchange
