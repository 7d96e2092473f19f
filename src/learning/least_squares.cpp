#include "learning/least_squares.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/number.h"
#include "learning/least_squares_wide.h"

namespace bight::learning {

using base::Failure;

namespace {

namespace mp = boost::multiprecision;

// The numbers of one column stand together.
using Columns = std::vector<std::vector<Wide>>;

// A diagonal of R this much smaller than the largest is rounding of what was read, not information.
const Wide kRankless_ratio("1e-28");

base::Status check(const std::vector<std::vector<Wide>>& rows, const std::vector<Wide>& y) {
  if (rows.empty() || rows.front().empty() || rows.size() < rows.front().size()) {
    return Failure{"fit.few", "",
                   fmt::format("{} readings cannot settle {} unknowns", rows.size(),
                               rows.empty() ? 0 : rows.front().size()),
                   "take more readings"};
  }
  bool fine = y.size() == rows.size();
  for (const std::vector<Wide>& row : rows) {
    fine = fine && row.size() == rows.front().size();
    for (const Wide& cell : row) fine = fine && mp::isfinite(cell);
  }
  for (const Wide& value : y) fine = fine && mp::isfinite(value);
  if (!fine) {
    return Failure{"fit.number", "", "a reading is missing or no finite number",
                   "every reading needs all its numbers"};
  }
  return base::Done{};
}

Wide product(const std::vector<Wide>& a, const std::vector<Wide>& b, std::size_t from = 0) {
  Wide sum = 0;
  for (std::size_t i = from; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

// X = Q R by Householder's reflections. Written out, with this one kind of number: a general
// library for matrices costs a minute of every build for the same few loops.
class Householder {
 public:
  explicit Householder(Columns x) : reflections_(std::move(x)) {
    for (std::size_t k = 0; k < reflections_.size(); ++k) {
      std::vector<Wide>& v = reflections_[k];
      const Wide norm = sqrt(product(v, v, k));
      const Wide turned = v[k] > 0 ? -norm : norm;
      v[k] -= turned;
      diagonal_.push_back(turned);
      squares_.push_back(product(v, v, k));
      for (std::size_t j = k + 1; j < reflections_.size(); ++j) reflect(k, reflections_[j]);
    }
  }

  const std::vector<Wide>& diagonal() const { return diagonal_; }

  // R^-1 times the first numbers of b.
  std::vector<Wide> back(std::vector<Wide> b) const {
    b.resize(diagonal_.size());
    for (std::size_t k = b.size(); k-- > 0;) {
      b[k] /= diagonal_[k];
      for (std::size_t i = 0; i < k; ++i) b[i] -= reflections_[k][i] * b[k];
    }
    return b;
  }

  std::vector<Wide> solve(std::vector<Wide> y) const {
    for (std::size_t k = 0; k < reflections_.size(); ++k) reflect(k, y);
    return back(std::move(y));
  }

 private:
  void reflect(std::size_t k, std::vector<Wide>& y) const {
    if (squares_[k] == 0) return;
    const std::vector<Wide>& v = reflections_[k];
    const Wide share = 2 * product(v, y, k) / squares_[k];
    for (std::size_t i = k; i < y.size(); ++i) y[i] -= share * v[i];
  }

  Columns reflections_;  // from the diagonal down; R above it
  std::vector<Wide> diagonal_;
  std::vector<Wide> squares_;
};

bool constant(const std::vector<Wide>& column) {
  return column.front() != 0 && std::all_of(column.begin(), column.end(), [&](const Wide& value) {
           return value == column.front();
         });
}

// Columns scaled to unit length, so that the test for rank does not depend on units.
std::vector<Wide> scale_columns(Columns& x) {
  std::vector<Wide> scale;
  for (std::vector<Wide>& column : x) {
    const Wide norm = sqrt(product(column, column));
    scale.push_back(norm > 0 ? norm : Wide(1));
    for (Wide& value : column) value /= scale.back();
  }
  return scale;
}

LeastSquaresFit described(const Columns& x, const std::vector<Wide>& y, const Householder& qr,
                          const std::vector<Wide>& scale) {
  const std::size_t n = y.size();
  const std::size_t p = x.size();
  const std::vector<Wide> c = qr.solve(y);
  LeastSquaresFit fit;
  fit.freedom = n - p;
  const bool centred = std::any_of(x.begin(), x.end(), constant);
  Wide middle = 0;
  if (centred) {
    for (const Wide& value : y) middle += value;
    middle /= n;
  }
  Wide rss = 0;
  Wide total = 0;
  for (std::size_t i = 0; i < n; ++i) {
    Wide residual = y[i];
    for (std::size_t j = 0; j < p; ++j) residual -= x[j][i] * c[j];
    rss += residual * residual;
    total += (y[i] - middle) * (y[i] - middle);
  }
  fit.rss = static_cast<double>(rss);
  fit.r2_ratio = total > 0 ? static_cast<double>(1 - rss / total) : 1.0;
  const Wide variance = fit.freedom > 0 ? rss / fit.freedom : Wide(0);
  fit.residual_sigma = static_cast<double>(sqrt(variance));
  // (X'X)^-1 = R^-1 R^-T: its diagonal is the squared row norms of R^-1.
  std::vector<Wide> spread(p, Wide(0));
  for (std::size_t j = 0; j < p; ++j) {
    std::vector<Wide> unit(p, Wide(0));
    unit[j] = 1;
    const std::vector<Wide> column = qr.back(std::move(unit));
    for (std::size_t i = 0; i <= j; ++i) spread[i] += column[i] * column[i];
  }
  for (std::size_t j = 0; j < p; ++j) {
    fit.coefficients.push_back(static_cast<double>(c[j] / scale[j]));
    fit.standard_errors.push_back(static_cast<double>(sqrt(variance * spread[j]) / scale[j]));
  }
  return fit;
}

}  // namespace

base::Result<Wide> wide_number(std::string_view text) {
  // The strict reader decides what a number is; only then the wide one takes its digits.
  const base::Result<double> plain = base::parse_number(text);
  if (!plain.ok()) return plain.failure();
  const std::size_t from = text.find_first_not_of(" \t");
  const std::size_t to = text.find_last_not_of(" \t");
  return Wide(std::string(text.substr(from, to - from + 1)));
}

base::Result<LeastSquaresFit> least_squares(const std::vector<std::vector<Wide>>& rows,
                                            const std::vector<Wide>& y) {
  BIGHT_TRY(const base::Done done, check(rows, y));
  static_cast<void>(done);
  Columns x(rows.front().size());
  for (const std::vector<Wide>& row : rows) {
    for (std::size_t j = 0; j < row.size(); ++j) x[j].push_back(row[j]);
  }
  const std::vector<Wide> scale = scale_columns(x);
  const Householder qr(x);
  Wide largest = 0;
  Wide least = abs(qr.diagonal().front());
  for (const Wide& value : qr.diagonal()) {
    const Wide size = abs(value);
    if (size > largest) largest = size;
    if (size < least) least = size;
  }
  if (!(least > kRankless_ratio * largest)) {
    return Failure{"fit.rank", "", "the readings cannot tell some of the unknowns apart",
                   "take readings that differ in what is to be learned"};
  }
  return described(x, y, qr, scale);
}

base::Result<LeastSquaresFit> least_squares(const std::vector<std::vector<double>>& rows,
                                            const std::vector<double>& y) {
  std::vector<std::vector<Wide>> wide_rows;
  for (const std::vector<double>& row : rows) wide_rows.emplace_back(row.begin(), row.end());
  return least_squares(wide_rows, std::vector<Wide>(y.begin(), y.end()));
}

std::vector<Wide> powers(const Wide& x, int degree) {
  std::vector<Wide> out = {Wide(1)};
  for (int i = 0; i < degree; ++i) out.push_back(out.back() * x);
  return out;
}

}  // namespace bight::learning
