// Which handler answers which request.
//
// Adding a group of operations:
//   1. src/service/handlers_<group>.cpp with `void add_<group>(Router& router, Context& context)`,
//      which calls router.add({"POST", "/thing/{id}", handler}) for each operation; the handler
//      takes a Request (request.holes[0] is what stood for {id}) and returns a Reply. Read the body
//      with read_body() and exchange::Fields, ending with no_others(); a part and the shop come
//      from parts.h and shop_view.h. Mark what computes for long `.heavy = true`.
//   2. a line in handlers.h, and in add_handlers() of handlers.cpp.
//   3. the operation in docs/formats/openapi.yaml: a test holds both to each other.
//   4. handlers_<group>_test.cpp beside it, and a call with its checks in tests/service_test.py.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "service/request.h"

namespace bight::service {

using Handler = std::function<Reply(const Request&)>;

inline constexpr std::size_t kUsualBody_bytes = std::size_t{4} << 20U;
inline constexpr std::size_t kLargestBody_bytes = std::size_t{256} << 20U;

struct Route {
  std::string method;   // "GET", "POST", "PUT", "DELETE"
  std::string pattern;  // "/records/{kind}/{id}"; a hole takes one segment
  Handler handler;
  std::size_t body_bytes = kUsualBody_bytes;  // largest body taken
  bool open = false;                          // needs no session where a shop pass is in force
  bool heavy = false;                         // computes: as many at a time as there are processors
};

class Router {
 public:
  void add(Route route);
  const std::vector<Route>& routes() const { return routes_; }

  struct Found {
    const Route* route = nullptr;
    std::vector<std::string> holes;  // decoded
  };
  // The route of a path below /api/v1, not yet decoded.
  // Failure codes: request.route (nothing there), request.method (another method is).
  base::Result<Found> find(std::string_view method, std::string_view path) const;

 private:
  std::vector<Route> routes_;
};

}  // namespace bight::service
