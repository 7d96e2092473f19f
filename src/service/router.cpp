#include "service/router.h"

#include <fmt/format.h>

namespace bight::service {

namespace {

std::vector<std::string_view> segments(std::string_view path) {
  std::vector<std::string_view> out;
  std::size_t at = 0;
  while (at < path.size()) {
    const std::size_t end = std::min(path.find('/', at + 1), path.size());
    out.push_back(path.substr(at + 1, end - at - 1));
    at = end;
  }
  return out;
}

std::optional<std::vector<std::string>> match(std::string_view pattern, std::string_view path) {
  const std::vector<std::string_view> wanted = segments(pattern);
  const std::vector<std::string_view> given = segments(path);
  if (wanted.size() != given.size()) return std::nullopt;
  std::vector<std::string> holes;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    if (wanted[i].starts_with('{')) {
      if (given[i].empty()) return std::nullopt;
      holes.push_back(decoded(given[i]));
    } else if (wanted[i] != given[i]) {
      return std::nullopt;
    }
  }
  return holes;
}

}  // namespace

void Router::add(Route route) { routes_.push_back(std::move(route)); }

base::Result<Router::Found> Router::find(std::string_view method, std::string_view path) const {
  std::string others;
  for (const Route& route : routes_) {
    std::optional<std::vector<std::string>> holes = match(route.pattern, path);
    if (!holes) continue;
    if (route.method == method || (method == "HEAD" && route.method == "GET")) {
      return Found{&route, std::move(*holes)};
    }
    others += (others.empty() ? "" : ", ") + route.method;
  }
  if (!others.empty()) {
    return base::Failure{"request.method", std::string(path),
                         fmt::format("{} is not done here", method), "one of: " + others};
  }
  return base::Failure{"request.route", std::string(path.substr(0, 200)),
                       "nothing answers under this address", "docs/formats/openapi.yaml lists all"};
}

}  // namespace bight::service
