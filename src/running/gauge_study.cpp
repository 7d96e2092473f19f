#include "running/gauge_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "base/quantiles.h"

namespace bight::running {

using base::Failure;
using base::Result;

namespace {

// Above this share of chance an interaction is taken for repeatability.
constexpr double kPoolAbove_ratio = 0.25;
// Groups told apart: √2 times pieces' over gauge's sigma, printed as 1.41.
constexpr double kDistinct = 1.41;

// Readings by piece and person, equally many in each cell.
struct Cells {
  std::vector<std::string> people, pieces;
  std::vector<std::vector<std::vector<double>>> values;  // [piece][person][trial]

  double mean_of(std::optional<std::size_t> piece, std::optional<std::size_t> person) const {
    double sum = 0.0;
    double count = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
      if (piece && *piece != i) continue;
      for (std::size_t j = 0; j < values[i].size(); ++j) {
        if (person && *person != j) continue;
        for (const double value : values[i][j]) {
          sum += value;
          count += 1.0;
        }
      }
    }
    return sum / count;
  }
};

Result<Cells> cells_of(std::span<const GaugeReading> readings) {
  std::map<std::string, std::map<std::string, std::vector<double>>> by_piece;
  std::map<std::string, int> people;
  for (const GaugeReading& reading : readings) {
    if (!std::isfinite(reading.value)) {
      return Failure{"chart.number", "", "a reading is no finite number", ""};
    }
    by_piece[reading.piece][reading.person].push_back(reading.value);
    ++people[reading.person];
  }
  Cells cells;
  for (const auto& [person, count] : people) cells.people.push_back(person);
  std::size_t trials = 0;
  for (const auto& [piece, by_person] : by_piece) {
    cells.pieces.push_back(piece);
    cells.values.emplace_back();
    for (const std::string& person : cells.people) {
      const auto cell = by_person.find(person);
      const std::size_t count = cell == by_person.end() ? 0 : cell->second.size();
      if (trials == 0) trials = count;
      if (count != trials || count == 0) {
        return Failure{
            "gauge.balance", "",
            fmt::format("{} read piece {} {} times, others {}", person, piece, count, trials),
            "everybody reads every piece equally often"};
      }
      cells.values.back().push_back(cell->second);
    }
  }
  if (cells.people.size() < 2 || cells.pieces.size() < 2 || trials < 2) {
    return Failure{"gauge.few", "",
                   fmt::format("{} people, {} pieces, {} readings of each", cells.people.size(),
                               cells.pieces.size(), trials),
                   "two people read at least two pieces twice; ten pieces are usual"};
  }
  return cells;
}

double square(double value) { return value * value; }

void take_squares(const Cells& cells, GaugeStudy& study) {
  const double people = static_cast<double>(study.num_people);
  const double pieces = static_cast<double>(study.num_pieces);
  const double trials = static_cast<double>(study.num_trials);
  const double grand = cells.mean_of({}, {});
  for (std::size_t i = 0; i < study.num_pieces; ++i) {
    const double piece_mean = cells.mean_of(i, {});
    study.pieces.squares += people * trials * square(piece_mean - grand);
    for (std::size_t j = 0; j < study.num_people; ++j) {
      const double cell_mean = cells.mean_of(i, j);
      study.interaction.squares +=
          trials * square(cell_mean - piece_mean - cells.mean_of({}, j) + grand);
      for (const double value : cells.values[i][j]) {
        study.repeat.squares += square(value - cell_mean);
        study.total.squares += square(value - grand);
      }
    }
  }
  for (std::size_t j = 0; j < study.num_people; ++j) {
    const double off = cells.mean_of({}, j) - grand;
    study.people.squares += pieces * trials * square(off);
    study.offs.push_back({cells.people[j], off});
  }
  study.people.freedom = people - 1.0;
  study.pieces.freedom = pieces - 1.0;
  study.interaction.freedom = study.people.freedom * study.pieces.freedom;
  study.repeat.freedom = people * pieces * (trials - 1.0);
  study.total.freedom = people * pieces * trials - 1.0;
}

Interval sigma_interval(double variance, double freedom, double share_ratio) {
  if (variance <= 0.0) return {};
  const double tail = (1.0 - share_ratio) / 2.0;
  return {std::sqrt(variance * freedom / base::chi_squared_quantile(1.0 - tail, freedom)),
          std::sqrt(variance * freedom / base::chi_squared_quantile(tail, freedom))};
}

// A sum of mean squares, each with its factor.
struct Term {
  double factor;
  VarianceLine line;
};

// The sum's sigma; its interval by the degrees of freedom that have the same variance.
Scatter sum_of(const std::vector<Term>& terms, double share_ratio) {
  double sum = 0.0;
  double over = 0.0;
  for (const Term& term : terms) {
    const double part = term.factor * term.line.mean_square();
    sum += part;
    over += square(part) / term.line.freedom;
  }
  if (!(sum > 0.0)) return {};
  return {std::sqrt(sum), sigma_interval(sum, square(sum) / over, share_ratio)};
}

void take_components(GaugeStudy& study, double share_ratio) {
  const double people = static_cast<double>(study.num_people);
  const double pieces = static_cast<double>(study.num_pieces);
  const double trials = static_cast<double>(study.num_trials);
  const double repeat = study.repeat.mean_square();
  if (repeat > 0.0) {
    study.interaction_share_above = base::fisher_share_above(
        study.interaction.mean_square() / repeat, study.interaction.freedom, study.repeat.freedom);
  } else if (study.interaction.squares > 0.0) {
    study.interaction_share_above = 0.0;
  }
  study.interaction_pooled = study.interaction_share_above > kPoolAbove_ratio;
  VarianceLine error = study.repeat;
  VarianceLine under = study.interaction;  // what people and pieces are held against
  if (study.interaction_pooled) {
    error.squares += study.interaction.squares;
    error.freedom += study.interaction.freedom;
    under = error;
  }
  const double error_square = error.mean_square();
  const double interaction =
      study.interaction_pooled ? 0.0 : std::max(0.0, (under.mean_square() - error_square) / trials);
  const double by_person = (study.people.mean_square() - under.mean_square()) / (pieces * trials);
  study.repeatability = sum_of({{1.0, error}}, share_ratio);
  study.reproducibility_sigma = std::sqrt(std::max(0.0, by_person) + interaction);
  std::vector<Term> gauge = {{1.0, error}};
  if (by_person > 0.0) gauge.push_back({1.0 / (pieces * trials), study.people});
  if (study.interaction_pooled) {
    if (by_person > 0.0) gauge.front().factor -= 1.0 / (pieces * trials);
  } else if (interaction > 0.0) {
    gauge.front().factor -= 1.0 / trials;
    gauge.push_back({1.0 / trials - (by_person > 0.0 ? 1.0 / (pieces * trials) : 0.0), under});
  }
  study.gauge = sum_of(gauge, share_ratio);
  study.gauge.sigma = std::sqrt(error_square + square(study.reproducibility_sigma));
  study.piece_sigma = std::sqrt(
      std::max(0.0, (study.pieces.mean_square() - under.mean_square()) / (people * trials)));
}

}  // namespace

Result<GaugeStudy> gauge_study(std::span<const GaugeReading> readings,
                               std::optional<double> tolerance_width, double share_ratio) {
  BIGHT_TRY(const Cells cells, cells_of(readings));
  GaugeStudy study;
  study.num_people = cells.people.size();
  study.num_pieces = cells.pieces.size();
  study.num_trials = cells.values.front().front().size();
  study.share_ratio = share_ratio;
  take_squares(cells, study);
  take_components(study, share_ratio);
  study.total_sigma = std::hypot(study.gauge.sigma, study.piece_sigma);
  if (study.total_sigma > 0.0) study.share_of_total_ratio = study.gauge.sigma / study.total_sigma;
  if (tolerance_width && *tolerance_width > 0.0) {
    study.share_of_tolerance_ratio = 6.0 * study.gauge.sigma / *tolerance_width;
  }
  if (study.gauge.sigma > 0.0) {
    study.distinct = static_cast<int>(
        std::min(1e6, std::floor(kDistinct * study.piece_sigma / study.gauge.sigma)));
  }
  return study;
}

}  // namespace bight::running
