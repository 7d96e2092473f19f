// Least squares on readings as they are written, not as the doubles nearest to them. Apart from
// least_squares.h for what its numbers cost to compile.
#pragma once

#include <boost/multiprecision/cpp_bin_float.hpp>
#include <string_view>
#include <vector>

#include "learning/least_squares.h"

namespace bight::learning {

// Fifty decimal digits: what readings and their powers are kept in.
using Wide = boost::multiprecision::number<boost::multiprecision::cpp_bin_float<50>,
                                           boost::multiprecision::et_off>;

// The decimal text as it stands, not the double nearest to it: for Filip's tenth powers the
// difference is half the digits. Failure code: number.text.
base::Result<Wide> wide_number(std::string_view text);

// Minimises |y - X c| as the one for doubles does, with its failures.
base::Result<LeastSquaresFit> least_squares(const std::vector<std::vector<Wide>>& rows,
                                            const std::vector<Wide>& y);

// 1, x, x², … x^degree.
std::vector<Wide> powers(const Wide& x, int degree);

}  // namespace bight::learning
