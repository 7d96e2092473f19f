#include "papers/drawing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"
#include "papers/tube_view.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;

constexpr Box kBox{10.0, 10.0, 190.0, 80.0};

std::string views_of(const planning::Plan& plan, const Wording& wording = Wording({})) {
  return printed::drawn([&](Canvas& canvas) {
    draw_views(canvas, kBox, plan.bent_table, plan.part.section, wording);
  });
}

std::set<std::string> words_in(const std::string& pdf) {
  std::set<std::string> words;
  for (const printed::Word& word : printed::words_of(pdf)) words.insert(word.text);
  return words;
}

// Each sample: the views are named with their scale, all words lie in the box, none on another,
// both ends and every bend are marked.
TEST(Drawing, NamedAndTidy) {
  for (const auto& [name, plan] : sample::all()) {
    SCOPED_TRACE(name);
    const std::string pdf = views_of(plan);
    const std::string text = printed::text_of(pdf);
    EXPECT_THAT(text, HasSubstr("From above"));
    EXPECT_THAT(text, HasSubstr("1:"));
    printed::expect_within(pdf, kBox);
    printed::expect_tidy(pdf);
    const auto words = words_in(pdf);
    EXPECT_TRUE(words.contains("A") && words.contains("B"));
    for (std::size_t i = 1; i <= plan.bent_table.num_bends(); ++i) {
      EXPECT_TRUE(words.contains(std::to_string(i))) << "bend " << i;
    }
  }
}

// Overall sizes of the U: 700 and 500 over the outside, 38.1 thick, from the drawing it was made
// after (legs 366.65 + 114.3 + 19.05 = 500; 433.3 + 2 x 133.35 = 700), in the sheet's units.
TEST(Drawing, OverallSizes) {
  const auto metric = words_in(views_of(sample::planar_u()));
  for (const char* size : {"700.0", "500.0", "38.1"}) EXPECT_TRUE(metric.contains(size)) << size;
  base::LengthStyle inches;
  inches.unit = base::LengthUnit::kInch;
  inches.decimals = 3;
  const auto inch = words_in(views_of(sample::planar_u(), Wording(inches)));
  for (const char* size : {"27.559", "19.685", "1.500"}) EXPECT_TRUE(inch.contains(size)) << size;
}

// No size runs over the border of its view, also where a long part is drawn so small that a size
// stands neither along its line nor beside it.
TEST(Drawing, SizesStayInTheirViews) {
  const Box box{10.0, 10.0, 190.0, 36.0};
  const Wording wording({});
  planning::Plan plan = sample::planar_u();
  plan.bent_table =
      *geometry::BendTable::make({{121.9, base::Angle(), base::Angle::degrees(90), 148.12},
                                  {1503.8, base::Angle(), base::Angle::degrees(90), 148.12}},
                                 121.9);
  for (const double od_mm : {12.0, 48.3, 101.6}) {
    plan.part.section = *stock::Section::round_tube(od_mm, 1.5);
    Arrangement views;
    const std::string pdf = printed::drawn([&](Canvas& canvas) {
      const Tube tube(geometry::lay_out(plan.bent_table), plan.part.section);
      views = arrange(tube, box, view_margins(canvas, plan.part.section, wording));
      draw_views(canvas, box, plan.bent_table, plan.part.section, wording);
    });
    printed::expect_tidy(pdf);
    for (const printed::Word& w : printed::words_of(pdf)) {
      int num_cells = 0;
      for (const ViewCell& cell : {views.above, views.front, views.right, views.pictorial}) {
        num_cells += w.box.x_mm >= cell.box.x_mm && w.box.right_mm() <= cell.box.right_mm() &&
                     w.box.centre().y_mm >= cell.box.y_mm &&
                     w.box.centre().y_mm <= cell.box.bottom_mm();
      }
      EXPECT_EQ(num_cells, 1) << w.text << ", tube " << od_mm;
    }
  }
}

// A straight piece and a part of one long coil-like bend can be drawn too.
TEST(Drawing, OddParts) {
  planning::Plan straight = sample::three_d();
  straight.bent_table = *geometry::BendTable::make({}, 500);
  printed::expect_within(views_of(straight), kBox);
  planning::Plan ring = sample::three_d();
  ring.bent_table =
      *geometry::BendTable::make({{0, base::Angle(), base::Angle::degrees(330), 200}}, 0);
  printed::expect_within(views_of(ring), kBox);
  planning::Plan overlapping = sample::three_d();
  overlapping.bent_table =
      *geometry::BendTable::make({{30, base::Angle(), base::Angle::degrees(90), 60},
                                  {-20, base::Angle(), base::Angle::degrees(90), 60}},
                                 40);
  printed::expect_within(views_of(overlapping), kBox);
}

}  // namespace
}  // namespace bight::papers
