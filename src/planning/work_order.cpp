#include "planning/work_order.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace bight::planning {

using base::Failure;

namespace {

constexpr const char* kForms = "auto, keep, best, or every bend once as 3,1,2 or 3B,1A,2A";

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

// "3", "3B" or "3b".
std::optional<OrderWish::Bend> parse_bend(std::string_view word) {
  OrderWish::Bend out;
  word = trimmed(word);
  if (word.empty()) return std::nullopt;
  switch (word.back()) {
    case 'A':
    case 'a':
      out.front = End::kA;
      break;
    case 'B':
    case 'b':
      out.front = End::kB;
      break;
    default:
      break;
  }
  if (out.front.has_value()) word.remove_suffix(1);
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
  if (error != std::errc{} || end != word.data() + word.size() || number == 0) return std::nullopt;
  out.bend = number - 1;
  return out;
}

}  // namespace

BendOrder drawn_order(std::size_t num_bends, End front) {
  BendOrder out;
  for (std::size_t k = 0; k < num_bends; ++k) {
    out.push_back({front == End::kA ? k : num_bends - 1 - k, front});
  }
  return out;
}

std::string text(const BendOrder& order) {
  std::string out;
  for (const PlacedBend& placed : order) {
    out += fmt::format("{}{}{}", out.empty() ? "" : ",", placed.bend + 1, letter_of(placed.front));
  }
  return out;
}

base::Status OrderWish::suits(std::size_t num_bends) const {
  if (kind != Kind::kGiven) return base::Done{};
  std::vector<bool> named(num_bends, false);
  for (const Bend& b : bends) {
    if (b.bend >= num_bends) {
      return Failure{"plan.order", "order",
                     fmt::format("the order names bend {}, the part has {}", b.bend + 1, num_bends),
                     kForms};
    }
    if (named[b.bend]) {
      return Failure{"plan.order", "order",
                     fmt::format("the order names bend {} twice", b.bend + 1), kForms};
    }
    named[b.bend] = true;
  }
  const auto missing = std::find(named.begin(), named.end(), false);
  if (missing == named.end()) return base::Done{};
  return Failure{"plan.order", "order",
                 fmt::format("the order leaves out bend {}", missing - named.begin() + 1), kForms};
}

base::Result<OrderWish> parse_order_wish(std::string_view typed) {
  typed = trimmed(typed);
  OrderWish wish;
  if (typed == "auto") return wish;
  if (typed == "keep") {
    wish.kind = OrderWish::Kind::kDrawn;
    return wish;
  }
  if (typed == "best") {
    wish.kind = OrderWish::Kind::kBest;
    return wish;
  }
  wish.kind = OrderWish::Kind::kGiven;
  for (std::size_t from = 0; from <= typed.size();) {
    const std::size_t comma = std::min(typed.find(',', from), typed.size());
    const std::string_view word = typed.substr(from, comma - from);
    const std::optional<OrderWish::Bend> bend = parse_bend(word);
    if (!bend.has_value() || wish.bends.size() >= 64) {
      return Failure{"plan.order", "order",
                     fmt::format("\"{}\" is no order of bends", typed.substr(0, 60)), kForms};
    }
    wish.bends.push_back(*bend);
    from = comma + 1;
  }
  return wish;
}

std::string_view word(OrderWish::Kind kind) {
  switch (kind) {
    case OrderWish::Kind::kDrawnIfItWorks:
      return "auto";
    case OrderWish::Kind::kDrawn:
      return "keep";
    case OrderWish::Kind::kBest:
      return "best";
    case OrderWish::Kind::kGiven:
      return "given";
  }
  return "auto";
}

}  // namespace bight::planning
