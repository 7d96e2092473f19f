// Reading a table of 10 000 rows against what no reader can avoid: fetching the file's bytes and
// finding its line ends. The second is timed inside the first's loop, so the ratio belongs to one
// run.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "exchange/table_read.h"
#include "exchange/table_text.h"

namespace {

using namespace bight;
using Clock = std::chrono::steady_clock;

constexpr int kRows = 10000;

// Rows of bends as a spreadsheet saves them.
std::string make_table(char separator, char mark) {
  std::string text =
      fmt::format("Nr{0}Straight [mm]{0}Rotation relative{0}Bend angle{0}CLR [mm]\n", separator);
  for (int i = 0; i < kRows; ++i) {
    std::string row = fmt::format("{1}{0}{2}.{3:02}{0}{4}{0}{5}.5{0}76.25\n", separator, i + 1,
                                  20 + i % 700, i % 100, i % 360 - 180, 5 + i % 170);
    for (char& c : row) c = c == '.' ? mark : c;
    text += row;
  }
  return text;
}

std::string bytes_of(const std::string& path) {
  std::ifstream stream(path, std::ios::binary);
  std::string bytes(std::filesystem::file_size(path), '\0');
  stream.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  return bytes;
}

std::size_t count_lines(const std::string& bytes) {
  std::size_t num = 0;
  for (std::size_t at = bytes.find('\n'); at != std::string::npos; at = bytes.find('\n', at + 1)) {
    ++num;
  }
  return num;
}

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

void read_ten_thousand_rows(benchmark::State& state, char separator, char mark) {
  const std::string path = std::filesystem::temp_directory_path() / "bight_table_bench.csv";
  std::ofstream(path, std::ios::binary) << make_table(separator, mark);
  double plain_s = 0.0;
  double table_s = 0.0;
  for (auto _ : state) {
    Clock::time_point start = Clock::now();
    benchmark::DoNotOptimize(count_lines(bytes_of(path)));
    plain_s += seconds_since(start);
    start = Clock::now();
    const auto tidy = exchange::tidy_text(bytes_of(path), path);
    const auto grid = exchange::TextGrid::cut(tidy->text, path);
    const exchange::Answers none;
    exchange::Asking asking(none);
    const auto layout = exchange::lay_columns(*grid, path, asking);
    const auto rows = exchange::read_rows(*grid, *layout, path);
    if (!rows.ok() || rows->size() != kRows) state.SkipWithError("the table was not read");
    table_s += seconds_since(start);
  }
  std::remove(path.c_str());
  state.counters["ratio_to_splitting_lines"] = table_s / plain_s;
  state.counters["rows_per_s"] =
      benchmark::Counter(kRows, benchmark::Counter::kIsIterationInvariantRate);
}

void ReadTable_Commas(benchmark::State& state) { read_ten_thousand_rows(state, ',', '.'); }
void ReadTable_SemicolonsAndDecimalCommas(benchmark::State& state) {
  read_ten_thousand_rows(state, ';', ',');
}

BENCHMARK(ReadTable_Commas)->Unit(benchmark::kMillisecond);
BENCHMARK(ReadTable_SemicolonsAndDecimalCommas)->Unit(benchmark::kMillisecond);

}  // namespace
