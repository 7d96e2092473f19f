// Reads printed sheets back with Debian's poppler-utils: other people's code, so an independent
// witness of what stands on the paper. Only the tests include it.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <regex>
#include <string>
#include <vector>

#include "papers/block.h"
#include "papers/cairo_canvas.h"

namespace bight::papers::printed {

// A file of this test's own that is gone when the object is.
class TestFile {
 public:
  explicit TestFile(const std::string& ending) {
    static int count = 0;
    path_ = (std::filesystem::temp_directory_path() /
             ("bight_papers_" + std::to_string(getpid()) + "_" + std::to_string(++count) + ending))
                .string();
  }
  TestFile(const TestFile&) = delete;
  ~TestFile() { std::filesystem::remove(path_); }
  const std::string& path() const { return path_; }
  void write(const std::string& bytes) const { std::ofstream(path_, std::ios::binary) << bytes; }

 private:
  std::string path_;
};

// What the command prints; an added failure when it cannot be run.
inline std::string output_of(const std::string& command) {
  std::string text;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) {
    ADD_FAILURE() << "cannot run " << command;
    return text;
  }
  std::array<char, 4096> piece{};
  for (std::size_t n; (n = fread(piece.data(), 1, piece.size(), pipe)) > 0;) {
    text.append(piece.data(), n);
  }
  EXPECT_EQ(pclose(pipe), 0) << command;
  return text;
}

inline std::string with_pdf(const std::string& pdf, const std::string& before,
                            const std::string& after) {
  const TestFile file(".pdf");
  file.write(pdf);
  return output_of(before + " " + file.path() + " " + after);
}

inline std::string text_of(const std::string& pdf) {
  return with_pdf(pdf, "pdftotext -layout", "-");
}
// The text in reading order with every run of white space as one space.
inline std::string flowing_text_of(const std::string& pdf) {
  std::string out;
  for (const char c : with_pdf(pdf, "pdftotext", "-")) {
    const bool space = c == ' ' || c == '\n' || c == '\f';
    if (space && !out.empty() && out.back() == ' ') continue;
    out += space ? ' ' : c;
  }
  return out;
}
inline std::string info_of(const std::string& pdf) { return with_pdf(pdf, "pdfinfo", ""); }
inline std::string fonts_of(const std::string& pdf) { return with_pdf(pdf, "pdffonts", ""); }

inline int num_pages(const std::string& pdf) {
  std::smatch match;
  const std::string info = info_of(pdf);
  return std::regex_search(info, match, std::regex(R"(Pages:\s+(\d+))")) ? std::stoi(match[1]) : 0;
}

// A word where the PDF reader finds it, in millimetres from the top left of its page.
struct Word {
  int page;
  Box box;
  std::string text;
  double page_width_mm, page_height_mm;
};

inline std::vector<Word> words_of(const std::string& pdf) {
  const std::string xml = with_pdf(pdf, "pdftotext -bbox", "-");
  const std::regex item(R"rx(<page width="([\d.]+)" height="([\d.]+)"|<word xMin="(-?[\d.]+)" )rx"
                        R"rx(yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" yMax="(-?[\d.]+)">([^<]*)<)rx");
  std::vector<Word> words;
  int page = 0;
  double width_mm = 0.0;
  double height_mm = 0.0;
  for (std::sregex_iterator it(xml.begin(), xml.end(), item), end; it != end; ++it) {
    const std::smatch& m = *it;
    if (m[1].matched) {
      ++page;
      width_mm = std::stod(m[1]) * kMmPerPoint;
      height_mm = std::stod(m[2]) * kMmPerPoint;
      continue;
    }
    const double left_mm = std::stod(m[3]) * kMmPerPoint;
    const double top_mm = std::stod(m[4]) * kMmPerPoint;
    words.push_back({page,
                     {left_mm, top_mm, std::stod(m[5]) * kMmPerPoint - left_mm,
                      std::stod(m[6]) * kMmPerPoint - top_mm},
                     m[7],
                     width_mm,
                     height_mm});
  }
  return words;
}

// The PDF reader's boxes span the font's full height, with room for accents and tails that a word
// of digits does not use. What can touch another word is its ink: from the top of the capitals (a
// quarter down the box: Noto Sans ascends 1.069, its capitals 0.714, of 1.362 in all) to the
// baseline (a fifth up), or to the bottom where letters have tails.
inline Box ink(const Word& word) {
  const bool tails = word.text.find_first_of("gjpqy,;()_Q|") != std::string::npos;
  const double top_mm = 0.25 * word.box.height_mm;
  const double bottom_mm = tails ? 0.0 : 0.2 * word.box.height_mm;
  // Upright words are turned boxes; their sides are trimmed instead, by either margin.
  const auto num_letters = std::count_if(word.text.begin(), word.text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  });
  if (word.box.height_mm > 1.4 * word.box.width_mm && num_letters >= 4) {
    return {word.box.x_mm + 0.25 * word.box.width_mm, word.box.y_mm, 0.55 * word.box.width_mm,
            word.box.height_mm};
  }
  return {word.box.x_mm, word.box.y_mm + top_mm, word.box.width_mm,
          word.box.height_mm - top_mm - bottom_mm};
}

// The share of the smaller word's ink box that the other's covers.
inline double overlap_ratio(const Word& a, const Word& b) {
  if (a.page != b.page) return 0.0;
  const Box ia = ink(a);
  const Box ib = ink(b);
  const double width_mm = std::min(ia.right_mm(), ib.right_mm()) - std::max(ia.x_mm, ib.x_mm);
  const double height_mm = std::min(ia.bottom_mm(), ib.bottom_mm()) - std::max(ia.y_mm, ib.y_mm);
  if (width_mm <= 0.0 || height_mm <= 0.0) return 0.0;
  return width_mm * height_mm / std::min(ia.width_mm * ia.height_mm, ib.width_mm * ib.height_mm);
}

// Every word on the paper, none over another.
inline void expect_tidy(const std::string& pdf, double margin_mm = 0.0) {
  constexpr double kTouch_ratio = 0.05;
  const std::vector<Word> words = words_of(pdf);
  ASSERT_FALSE(words.empty());
  for (std::size_t i = 0; i < words.size(); ++i) {
    const Word& w = words[i];
    EXPECT_GE(w.box.x_mm, margin_mm) << w.text;
    EXPECT_GE(w.box.y_mm, margin_mm) << w.text;
    EXPECT_LE(w.box.right_mm(), w.page_width_mm - margin_mm) << w.text;
    EXPECT_LE(w.box.bottom_mm(), w.page_height_mm - margin_mm) << w.text;
    for (std::size_t k = 0; k < i; ++k) {
      EXPECT_LE(overlap_ratio(w, words[k]), kTouch_ratio)
          << "\"" << words[k].text << "\" and \"" << w.text << "\" on page " << w.page;
    }
  }
}

// Draws on one page of 210 x 297 mm and returns the PDF.
inline std::string drawn(const std::function<void(Canvas&)>& draw) {
  auto canvas = open_canvas({}).value();
  draw(*canvas);
  auto files = canvas->finish();
  EXPECT_TRUE(files.ok());
  return files->front();
}

// The same for one block of the sheet at the top left of the page, 190 mm wide.
inline std::string drawn_block(const planning::Plan& plan, const Wording& wording,
                               const std::function<Block(const Writer&)>& make,
                               double width_mm = 190.0) {
  return drawn([&](Canvas& canvas) {
    const Writer writer{plan, wording, canvas, "12 May 2025"};
    const Block block = make(writer);
    block.draw(canvas, {10.0, 10.0, width_mm, block.height_mm});
  });
}

// All of a block's words lie within it.
inline void expect_within(const std::string& pdf, const Box& box) {
  for (const Word& w : words_of(pdf)) {
    EXPECT_GE(w.box.x_mm, box.x_mm - 0.5) << w.text;
    EXPECT_GE(w.box.y_mm, box.y_mm - 0.5) << w.text;
    EXPECT_LE(w.box.right_mm(), box.right_mm() + 0.5) << w.text;
    EXPECT_LE(w.box.bottom_mm(), box.bottom_mm() + 0.5) << w.text;
  }
}

}  // namespace bight::papers::printed
