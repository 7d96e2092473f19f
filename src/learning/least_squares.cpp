#include "learning/least_squares.h"

#include <fmt/format.h>

#include <Eigen/QR>
#include <boost/multiprecision/eigen.hpp>
#include <cmath>

#include "base/number.h"
#include "learning/least_squares_wide.h"

namespace bight::learning {

using base::Failure;

namespace {

namespace mp = boost::multiprecision;

// 34 decimal digits, for the factorisation.
using Quad = mp::number<mp::cpp_bin_float<113, mp::digit_base_2>, mp::et_off>;
using QuadMatrix = Eigen::Matrix<Quad, Eigen::Dynamic, Eigen::Dynamic>;
using QuadVector = Eigen::Matrix<Quad, Eigen::Dynamic, 1>;
using WideMatrix = Eigen::Matrix<Wide, Eigen::Dynamic, Eigen::Dynamic>;
using WideVector = Eigen::Matrix<Wide, Eigen::Dynamic, 1>;

// A diagonal of R this much smaller than the largest is rounding of 34 digits, not information.
const Quad kRankless_ratio("1e-28");

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

bool constant(const WideMatrix& x, Eigen::Index column) {
  for (Eigen::Index i = 1; i < x.rows(); ++i) {
    if (x(i, column) != x(0, column)) return false;
  }
  return x(0, column) != 0;
}

LeastSquaresFit described(const WideMatrix& x, const WideVector& y, const WideVector& c,
                          const QuadMatrix& r) {
  const Eigen::Index n = x.rows();
  const Eigen::Index p = x.cols();
  LeastSquaresFit fit;
  fit.freedom = static_cast<std::size_t>(n - p);
  const WideVector residual = y - x * c;
  const Wide rss = residual.squaredNorm();
  bool centred = false;
  for (Eigen::Index j = 0; j < p; ++j) centred = centred || constant(x, j);
  const Wide middle = centred ? y.sum() / Wide(static_cast<double>(n)) : Wide(0);
  Wide total = 0;
  for (Eigen::Index i = 0; i < n; ++i) total += (y(i) - middle) * (y(i) - middle);
  fit.rss = static_cast<double>(rss);
  fit.r2_ratio = total > 0 ? static_cast<double>(1 - rss / total) : 1.0;
  const Wide variance = fit.freedom > 0 ? rss / Wide(static_cast<double>(n - p)) : Wide(0);
  fit.residual_sigma = static_cast<double>(sqrt(variance));
  // (X'X)^-1 = R^-1 R^-T: its diagonal is the squared row norms of R^-1.
  const QuadMatrix inverse =
      r.triangularView<Eigen::Upper>().solve(QuadMatrix(QuadMatrix::Identity(p, p)));
  for (Eigen::Index j = 0; j < p; ++j) {
    fit.coefficients.push_back(static_cast<double>(c(j)));
    const Quad spread = inverse.row(j).squaredNorm();
    fit.standard_errors.push_back(static_cast<double>(sqrt(variance * Wide(spread))));
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
  const auto n = static_cast<Eigen::Index>(rows.size());
  const auto p = static_cast<Eigen::Index>(rows.front().size());
  WideMatrix x(n, p);
  WideVector wanted(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto row = static_cast<std::size_t>(i);
    for (Eigen::Index j = 0; j < p; ++j) x(i, j) = rows[row][static_cast<std::size_t>(j)];
    wanted(i) = y[row];
  }
  // Columns scaled to unit length, so that the test for rank does not depend on units.
  WideVector scale(p);
  for (Eigen::Index j = 0; j < p; ++j) {
    const Wide norm = sqrt(x.col(j).squaredNorm());
    scale(j) = norm > 0 ? norm : Wide(1);
    x.col(j) /= scale(j);
  }
  const Eigen::HouseholderQR<QuadMatrix> qr(x.cast<Quad>());
  const QuadMatrix r = qr.matrixQR().topRows(p).triangularView<Eigen::Upper>();
  Quad largest = 0;
  Quad least = abs(r(0, 0));
  for (Eigen::Index j = 0; j < p; ++j) {
    largest = std::max<Quad>(largest, abs(r(j, j)));
    least = std::min<Quad>(least, abs(r(j, j)));
  }
  if (!(least > kRankless_ratio * largest)) {
    return Failure{"fit.rank", "", "the readings cannot tell some of the unknowns apart",
                   "take readings that differ in what is to be learned"};
  }
  WideVector c = QuadVector(qr.solve(wanted.cast<Quad>())).cast<Wide>();
  const WideVector residual = wanted - x * c;
  c += QuadVector(qr.solve(residual.cast<Quad>())).cast<Wide>();
  LeastSquaresFit fit = described(x, wanted, c, r);
  for (Eigen::Index j = 0; j < p; ++j) {
    const auto at = static_cast<std::size_t>(j);
    fit.coefficients[at] = static_cast<double>(c(j) / scale(j));
    fit.standard_errors[at] = static_cast<double>(Wide(fit.standard_errors[at]) / scale(j));
  }
  return fit;
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
