// How long the best order takes: random frame maker's parts on a hand-placed bender that stands in
// a room, all orders and both ends, clearance on. One row for each number of bends; parts that no
// order makes are counted and timed apart.
//
//   order_bench [parts of 12 bends, 200] [most bends, 20]
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "ordering/best_order.h"
#include "ordering/sample_order_test_util.h"

namespace {

using namespace bight;
// Of the processor, not of the wall: the search is one thread, and others may be at work.
double ms_since(std::clock_t start) {
  return 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

double at_share(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  const auto last = static_cast<double>(values.size() - 1);
  return values[static_cast<std::size_t>(share * last + 0.5)];
}

struct Row {
  std::vector<double> found_ms, none_ms, judge_ms, checks;
  std::size_t proven = 0;
};

// Parts until enough can be made, or a tenth of them cannot be found in ten times as many.
Row measure(std::size_t num_bends, std::size_t num_parts) {
  Row row;
  std::mt19937_64 rng(20'000 + num_bends);
  for (std::size_t tried = 0; tried < 10 * num_parts && row.found_ms.size() < num_parts; ++tried) {
    const ordering::Problem problem =
        ordering::sample::problem(ordering::sample::frame_tube(rng, num_bends));
    ordering::AnswerOptions options;
    options.others = false;
    const std::clock_t start = std::clock();
    const base::Result<ordering::Answer> answer = ordering::best_order(problem, options);
    const double took_ms = ms_since(start);
    if (!answer.ok()) {
      std::fprintf(stderr, "%s\n", answer.failure().message.c_str());
      std::exit(1);
    }
    if (!answer->best.works()) {
      row.none_ms.push_back(took_ms);
      continue;
    }
    row.found_ms.push_back(took_ms);
    row.checks.push_back(static_cast<double>(answer->num_checks));
    if (answer->proven) ++row.proven;
    const std::clock_t again = std::clock();
    const base::Result<ordering::Order> judged =
        ordering::judge(problem, options.agreed, answer->best.sequence());
    if (judged.ok()) row.judge_ms.push_back(ms_since(again));
  }
  return row;
}

}  // namespace

int main(int argc, char** argv) {
  const auto asked = [&](int index, std::size_t otherwise) {
    return argc > index ? static_cast<std::size_t>(std::atoi(argv[index])) : otherwise;
  };
  const std::size_t num_parts = asked(1, 200), most_bends = asked(2, 20);
  std::printf(
      "bends  parts  proven  median ms     95 %%    worst  checks  one order judged ms  "
      "ratio | no order: parts  median ms    worst\n");
  for (std::size_t n = 4; n <= most_bends; n += 2) {
    const std::size_t parts = n <= 12 ? num_parts : std::max<std::size_t>(1, num_parts / 10);
    const Row row = measure(n, parts);
    const double median = at_share(row.found_ms, 0.5), judged = at_share(row.judge_ms, 0.5);
    std::printf("%5zu %6zu %7zu %10.2f %8.2f %8.2f %7.0f %20.3f %6.0f | %15zu %10.1f %8.1f\n", n,
                row.found_ms.size(), row.proven, median, at_share(row.found_ms, 0.95),
                at_share(row.found_ms, 1.0), at_share(row.checks, 0.5), judged,
                judged > 0.0 ? median / judged : 0.0, row.none_ms.size(),
                at_share(row.none_ms, 0.5), at_share(row.none_ms, 1.0));
    std::fflush(stdout);
  }
  return 0;
}
