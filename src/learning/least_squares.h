// Least squares that keeps its digits: for lines and polynomials through readings, however badly
// the columns stand to each other.
#pragma once

#include <vector>

#include "base/result.h"

namespace bight::learning {

struct LeastSquaresFit {
  std::vector<double> coefficients;
  std::vector<double> standard_errors;
  double residual_sigma = 0.0;  // sqrt(rss / freedom); 0 without freedom
  double rss = 0.0;             // residual sum of squares
  double r2_ratio = 0.0;        // against the mean where a column is constant, else against zero
  std::size_t freedom = 0;      // rows less columns
};

// Minimises |y - X c|. Householder QR with 34 digits, then the residual with 50 digits and one
// correction by it (Golub & Van Loan, Matrix Computations, iterative refinement; from memory).
// Accuracy: at least 13 digits on all eleven NIST StRD linear sets.
// Failure codes: fit.few (fewer rows than columns, or none), fit.number (not finite, rows of
// unequal length), fit.rank (columns that depend on each other).
base::Result<LeastSquaresFit> least_squares(const std::vector<std::vector<double>>& rows,
                                            const std::vector<double>& y);

}  // namespace bight::learning
