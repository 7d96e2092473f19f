// Works out the formulas of the arithmetic, for its tests.
#pragma once

#include <cctype>
#include <cmath>
#include <map>
#include <numbers>
#include <stdexcept>
#include <string>

namespace bight::service::test {

// + - * / ^ and brackets, abs sqrt cos tan (of degrees), pi, and the symbols given.
class Formula {
 public:
  Formula(std::string text, std::map<std::string, double> symbols)
      : text_(std::move(text)), symbols_(std::move(symbols)) {}

  // Throws std::runtime_error where it cannot be read.
  double value() {
    at_ = 0;
    const double sum = terms();
    if (peek() != '\0') throw std::runtime_error("not read to its end: " + text_);
    return sum;
  }

 private:
  char peek() {
    while (at_ < text_.size() && text_[at_] == ' ') ++at_;
    return at_ < text_.size() ? text_[at_] : '\0';
  }
  bool take(char c) {
    if (peek() != c) return false;
    ++at_;
    return true;
  }
  double terms() {
    double sum = factors();
    while (true) {
      if (take('+')) {
        sum += factors();
      } else if (take('-')) {
        sum -= factors();
      } else {
        return sum;
      }
    }
  }
  double factors() {
    double product = power();
    while (true) {
      if (take('*')) {
        product *= power();
      } else if (take('/')) {
        product /= power();
      } else {
        return product;
      }
    }
  }
  double power() {
    const double base = single();
    return take('^') ? std::pow(base, single()) : base;
  }
  double single() {
    if (take('(')) return inside();
    const std::size_t from = (peek(), at_);
    while (at_ < text_.size() &&
           (std::isalnum(static_cast<unsigned char>(text_[at_])) || text_[at_] == '_')) {
      ++at_;
    }
    const std::string word = text_.substr(from, at_ - from);
    if (word.empty()) throw std::runtime_error("cannot be read: " + text_);
    if (std::isdigit(static_cast<unsigned char>(word[0]))) return std::stod(word);
    if (take('(')) return of(word, inside());
    if (word == "pi") return std::numbers::pi;
    const auto found = symbols_.find(word);
    if (found == symbols_.end()) throw std::runtime_error("no input " + word + ": " + text_);
    return found->second;
  }
  double inside() {
    const double sum = terms();
    if (!take(')')) throw std::runtime_error("a bracket is open: " + text_);
    return sum;
  }
  double of(const std::string& function, double x) {
    constexpr double degree = std::numbers::pi / 180.0;
    if (function == "abs") return std::abs(x);
    if (function == "sqrt") return std::sqrt(x);
    if (function == "cos") return std::cos(x * degree);
    if (function == "tan") return std::tan(x * degree);
    throw std::runtime_error("no function " + function + ": " + text_);
  }

  std::string text_;
  std::map<std::string, double> symbols_;
  std::size_t at_ = 0;
};

}  // namespace bight::service::test
