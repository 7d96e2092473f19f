// STEP of a 20-bend tube to bend table, against Open CASCADE's own reading of the same file (text
// to shapes, no table). Goal: at most 1.15 times. The two alternate in one process.
#include <fmt/format.h>

#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <STEPControl_Reader.hxx>
#include <algorithm>
#include <chrono>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

#include "exchange/step_write.h"
#include "geometry/centreline.h"
#include "reader/recover.h"
#include "reader/step_scan.h"

namespace {

using Clock = std::chrono::steady_clock;

template <typename Work>
double seconds(const Work& work) {
  const auto from = Clock::now();
  work();
  return std::chrono::duration<double>(Clock::now() - from).count();
}

double median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<long>(values.size() / 2),
                   values.end());
  return values[values.size() / 2];
}

}  // namespace

int main() {
  using bight::base::Angle;
  std::vector<bight::geometry::BendRow> rows;
  for (int i = 0; i < 20; ++i) {
    rows.push_back({60.0 + 7.0 * (i % 5), Angle::degrees(i == 0 ? 0.0 : 37.0 * (i % 7) - 100.0),
                    Angle::degrees(25.0 + 6.5 * (i % 9)), 60.0});
  }
  const auto table = bight::geometry::BendTable::make(rows, 150.0);
  const auto section = bight::stock::Section::round_tube(38.1, 1.65);
  const auto text = bight::exchange::step_text(*section, bight::geometry::lay_out(*table));
  std::vector<double> kernel_s;
  std::vector<double> ours_s;
  double off_mm = 0.0;
  Message::DefaultMessenger()->ChangePrinters().Clear();
  for (int round = 0; round < 41; ++round) {
    const double kernel = seconds([&] {
      std::istringstream stream(*text);
      STEPControl_Reader reader;
      reader.ReadStream("input", stream);
      reader.TransferRoots();
      if (reader.OneShape().IsNull()) std::abort();
    });
    const double ours = seconds([&] {
      std::istringstream stream(*text);
      auto scan = bight::reader::scan_step(stream);
      const auto reading = bight::reader::recover(std::move(scan).value());
      off_mm = std::abs(reading->table.developed_length_mm() - table->developed_length_mm());
    });
    if (round == 0) continue;  // loading of libraries and tables
    kernel_s.push_back(kernel);
    ours_s.push_back(ours);
  }
  fmt::print(
      "step 20 bends ({} kB): kernel read {:.2f} ms, read to table {:.2f} ms, ratio {:.3f}, "
      "length off by {:.1e} mm\n",
      text->size() / 1000, 1e3 * median(kernel_s), 1e3 * median(ours_s),
      median(ours_s) / median(kernel_s), off_mm);
}
