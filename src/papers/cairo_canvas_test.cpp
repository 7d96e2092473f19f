#include "papers/cairo_canvas.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

std::vector<std::string> two_pages(Format format) {
  CanvasOptions options;
  options.format = format;
  options.width_mm = 100.0;
  options.height_mm = 60.0;
  options.title = "Two pages";
  auto canvas = open_canvas(options).value();
  canvas->text({10.0, 10.0}, "first", {12.0, true});
  canvas->stroke(std::vector<Point>{{5, 5}, {95, 55}}, false, {0.5});
  canvas->next_page();
  canvas->text({10.0, 10.0}, "second", {12.0});
  auto files = canvas->finish();
  EXPECT_TRUE(files.ok());
  return *files;
}

// PDF keeps its pages in one file, at the size asked for, with title and embedded font, as
// pdfinfo and pdffonts see it.
TEST(CairoCanvas, PdfPages) {
  const auto files = two_pages(Format::kPdf);
  ASSERT_EQ(files.size(), 1u);
  const std::string info = printed::info_of(files[0]);
  EXPECT_EQ(printed::num_pages(files[0]), 2);
  EXPECT_THAT(info, HasSubstr("Two pages"));
  EXPECT_THAT(info, HasSubstr("283.465 x 170.079 pts"));  // 100 x 60 mm at 72 to 25.4 mm
  EXPECT_THAT(printed::fonts_of(files[0]), HasSubstr("NotoSans"));
  const auto words = printed::words_of(files[0]);
  ASSERT_EQ(words.size(), 2u);
  EXPECT_EQ(words[0].text, "first");
  EXPECT_EQ(words[1].page, 2);
}

// The same drawing gives the same bytes, and no time of day is written.
TEST(CairoCanvas, SameBytes) {
  for (const Format format : {Format::kPdf, Format::kSvg, Format::kPng}) {
    EXPECT_EQ(two_pages(format), two_pages(format));
  }
  EXPECT_THAT(printed::info_of(two_pages(Format::kPdf)[0]), Not(HasSubstr("CreationDate")));
}

// SVG and PNG hold one page a file, each complete.
TEST(CairoCanvas, SvgAndPngPages) {
  const auto svg = two_pages(Format::kSvg);
  ASSERT_EQ(svg.size(), 2u);
  EXPECT_THAT(svg[0], StartsWith("<?xml"));
  EXPECT_THAT(svg[1], HasSubstr("</svg>"));
  EXPECT_NE(svg[0], svg[1]);
  const auto png = two_pages(Format::kPng);
  ASSERT_EQ(png.size(), 2u);
  // Signature and IHDR: PNG specification (W3C 2003), 5.2 and 11.2.2; 6 px per mm.
  EXPECT_THAT(png[0], StartsWith("\x89PNG\r\n\x1a\n"));
  const auto big_endian = [&](std::size_t at) {
    unsigned value = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      value = value << 8U | static_cast<unsigned char>(png[0][at + k]);
    }
    return value;
  };
  EXPECT_EQ(big_endian(16), 600u);
  EXPECT_EQ(big_endian(20), 360u);
}

// Text lies where the anchor says: baseline, width and alignment agree with what pdftotext reads.
TEST(CairoCanvas, TextLiesWhereItIsPut) {
  TextSize size;
  const std::string pdf = printed::drawn([&](Canvas& canvas) {
    TextStyle style{20.0};
    size = canvas.measure("Clamp", style);
    canvas.text({30.0, 40.0}, "Clamp", style);
    style.align = Align::kRight;
    canvas.text({150.0, 80.0}, "Wiper", style);
    style.align = Align::kCentre;
    canvas.text({100.0, 120.0}, "Die", style);
  });
  const auto words = printed::words_of(pdf);
  ASSERT_EQ(words.size(), 3u);
  EXPECT_NEAR(words[0].box.x_mm, 30.0, 0.3);
  EXPECT_NEAR(words[0].box.width_mm, size.width_mm, 0.3);
  EXPECT_NEAR(words[1].box.right_mm(), 150.0, 0.3);
  EXPECT_NEAR(words[2].box.centre().x_mm, 100.0, 0.3);
  // The font's box reaches from 1.069 above the baseline to 0.293 below (Noto Sans, OS/2 table).
  const double baseline_mm = 40.0 + kFirstBaseline_ratio * 20.0 * kMmPerPoint;
  EXPECT_GT(baseline_mm, words[0].box.y_mm);
  EXPECT_LT(baseline_mm, words[0].box.bottom_mm());
}

// Wrapped text stays within its width and counts its lines.
TEST(CairoCanvas, Wraps) {
  auto canvas = open_canvas({}).value();
  TextStyle style{9.0};
  const std::string text = "one two three four five six seven eight nine ten";
  EXPECT_EQ(canvas->measure(text, style).num_lines, 1);
  style.wrap_mm = 30.0;
  const TextSize wrapped = canvas->measure(text, style);
  EXPECT_GT(wrapped.num_lines, 2);
  EXPECT_LE(wrapped.width_mm, 30.0);
  EXPECT_DOUBLE_EQ(wrapped.height_mm, wrapped.num_lines * kLinePitch_ratio * 9.0 * kMmPerPoint);
  // A word wider than the room breaks rather than runs out of it.
  EXPECT_LE(canvas->measure(std::string(200, 'W'), style).width_mm, 30.0);
}

// Turned text reads upwards.
TEST(CairoCanvas, TurnedText) {
  const std::string pdf = printed::drawn([&](Canvas& canvas) {
    TextStyle style{12.0, false, Align::kCentre};
    style.turn = base::Angle::degrees(90);
    canvas.text({50.0, 100.0}, "upright", style);
  });
  const auto words = printed::words_of(pdf);
  ASSERT_EQ(words.size(), 1u);
  EXPECT_GT(words[0].box.height_mm, words[0].box.width_mm);
  EXPECT_NEAR(words[0].box.centre().y_mm, 100.0, 0.5);
  EXPECT_GT(words[0].box.right_mm(), 50.0);
}

// Nothing shows outside a clip.
TEST(CairoCanvas, Clips) {
  const auto ink = [](bool clipped) {
    CanvasOptions options;
    options.format = Format::kPng;
    options.width_mm = options.height_mm = 20.0;
    auto canvas = open_canvas(options).value();
    if (clipped) canvas->clip({0.0, 0.0, 5.0, 5.0});
    canvas->fill(std::vector<Point>{{10, 10}, {18, 10}, {18, 18}}, 0.0);
    if (clipped) canvas->unclip();
    return (*canvas->finish())[0];
  };
  CanvasOptions blank;
  blank.format = Format::kPng;
  blank.width_mm = blank.height_mm = 20.0;
  const std::string nothing = (*open_canvas(blank).value()->finish())[0];
  EXPECT_EQ(ink(true), nothing);
  EXPECT_NE(ink(false), nothing);
}

// Other people's text never breaks the sheet: control characters, broken UTF-8, other scripts.
TEST(CairoCanvas, AnyText) {
  const std::string pdf = printed::drawn([](Canvas& canvas) {
    canvas.text({10, 10}, std::string("bell\a tab\t nul\0 end", 19), {9.0});
    canvas.text({10, 30}, "broken \xff\xfe bytes", {9.0});
    canvas.text({10, 50}, "Größe  труба  ", {9.0});
    canvas.text({10, 70}, "", {9.0});
  });
  const std::string text = printed::text_of(pdf);
  EXPECT_THAT(text, HasSubstr("bytes"));
  EXPECT_THAT(text, HasSubstr("Größe"));
  EXPECT_THAT(text, HasSubstr("труба"));
}

// Paper that cannot be is refused in words.
TEST(CairoCanvas, RefusesImpossiblePaper) {
  for (const double size_mm : {0.0, -5.0, 1e9, std::nan("")}) {
    CanvasOptions options;
    options.width_mm = size_mm;
    const auto canvas = open_canvas(options);
    ASSERT_FALSE(canvas.ok()) << size_mm;
    EXPECT_EQ(canvas.failure().code, "papers.drawing");
  }
}

}  // namespace
}  // namespace bight::papers
