#include "papers/sheet_head.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

std::string head_of(const planning::Plan& plan, double* height_mm = nullptr) {
  const Wording wording({});
  return printed::drawn([&](Canvas& canvas) {
    const Writer writer{plan, wording, canvas, "12 May 2025"};
    double y_mm = 10.0;
    for (const Block& block : head_blocks(writer, 190.0)) {
      block.draw(canvas, {10.0, y_mm, 190.0, block.height_mm});
      y_mm += block.height_mm;
    }
    if (height_mm != nullptr) *height_mm = y_mm - 10.0;
  });
}

// Everything that says which part this is, of what, and how to read it.
TEST(SheetHead, SaysWhichPart) {
  const std::string text = printed::flowing_text_of(head_of(sample::three_d()));
  for (const char* word : {"Handrail return, platform 3",
                           "FR-2041-07",
                           "Fenwater Rail & Frame",
                           "24",
                           "LH",
                           "LEFT HAND",
                           "1-1/2 in x 16 ga tube",
                           "OD 38.1",
                           "1.65",
                           "316L annealed, ASTM A269",
                           "K40719",
                           "7:30",
                           "45.0°",
                           "Datum: end A",
                           "change of direction",
                           "0° = straight",
                           "millimetres",
                           "Bay 2 bender",
                           "clockwise",
                           "12 May 2025"}) {
    EXPECT_THAT(text, HasSubstr(word));
  }
  EXPECT_THAT(printed::flowing_text_of(head_of(sample::square_tube())), HasSubstr("RIGHT HAND"));
  EXPECT_THAT(printed::flowing_text_of(head_of(sample::planar_u())),
              HasSubstr("no left or right hand"));
  planning::Plan single = sample::three_d();
  single.part.hand = part::Hand::kSingle;
  EXPECT_THAT(printed::flowing_text_of(head_of(single)), HasSubstr("one hand only, as drawn"));
}

// Ends, rules and the drawing's note are there when there are any; an unknown heat leaves a blank.
TEST(SheetHead, WhatOnlySomePartsHave) {
  const std::string square = printed::flowing_text_of(head_of(sample::square_tube()));
  EXPECT_THAT(square, HasSubstr("45° cope"));
  EXPECT_THAT(square, HasSubstr("trim 6.0 mm"));
  EXPECT_THAT(square, HasSubstr("house-flattening"));
  EXPECT_THAT(square, HasSubstr("Polish after bending"));
  EXPECT_THAT(printed::flowing_text_of(head_of(sample::planar_u())), HasSubstr("heat: ___"));
  planning::Plan seamless = sample::three_d();
  seamless.part.welded = false;
  EXPECT_THAT(printed::flowing_text_of(head_of(seamless)), HasSubstr("no seam to place"));
}

// Long names grow the head instead of running into each other.
TEST(SheetHead, LongNames) {
  for (const auto& [name, plan] : sample::all()) {
    SCOPED_TRACE(name);
    double height_mm = 0.0;
    const std::string pdf = head_of(plan, &height_mm);
    printed::expect_tidy(pdf);
    printed::expect_within(pdf, {10.0, 10.0, 190.0, height_mm});
  }
}

// Tools: radius of the die and of the part, springback and whether it is proven.
TEST(SheetHead, Tools) {
  const Wording wording({});
  const std::string text = printed::flowing_text_of(
      printed::drawn_block(sample::twelve_bends(), wording,
                           [](const Writer& writer) { return tools_block(writer, 190.0); }));
  for (const char* word : {"Die D1", "R114 for 38", "die R 114.3", "part R 117.6", "1.04° + 0.038",
                           "PROVEN", "Die D2", "die R 80", "82.3", "0.90° + 0.031", "NOT PROVEN",
                           "one trial bend; slope assumed", "mandrel"}) {
    EXPECT_THAT(text, HasSubstr(word));
  }
}

// The banner stands only where a stop finding does, and later pages carry the part's name.
TEST(SheetHead, BannerAndShortHead) {
  const Wording wording({});
  const std::string stop = printed::flowing_text_of(
      printed::drawn_block(sample::stopped(), wording,
                           [](const Writer& writer) { return *stop_banner(writer, 190.0); }));
  EXPECT_THAT(stop, HasSubstr("DO NOT BEND FROM THIS SHEET"));
  EXPECT_THAT(stop, HasSubstr("Bend 2: The arcs of bends 1 and 2 overlap by 14.2 mm."));
  const planning::Plan fine = sample::three_d();
  const auto canvas = open_canvas({}).value();
  EXPECT_FALSE(stop_banner({fine, wording, *canvas, ""}, 190.0));
  const std::string later = printed::flowing_text_of(printed::drawn_block(
      fine, wording, [](const Writer& writer) { return short_head_block(writer, 190.0); }));
  EXPECT_THAT(later, HasSubstr("Handrail return, platform 3"));
  EXPECT_THAT(later, HasSubstr("LH"));
}

}  // namespace
}  // namespace bight::papers
