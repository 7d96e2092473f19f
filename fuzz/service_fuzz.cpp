// Any bytes as a request: the first byte chooses the operation, the rest is its body. Every reply
// is a status that HTTP knows and, where it says so, JSON; a failure has a code.

#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "base/check.h"
#include "service/folders.h"
#include "service/handlers.h"

using namespace bight;

namespace {

struct Bench {
  std::filesystem::path folder =
      std::filesystem::temp_directory_path() / ("bight_service_fuzz_" + std::to_string(::getpid()));
  std::unique_ptr<records::Store> store = std::move(*service::open_shop(folder));
  service::Context context{*store};
  service::Router router;

  Bench() {
    service::add_handlers(router, context);
    for (const char* text :
         {R"(["bender", {"name": "B", "size_max": 60, "die_radius_max": 200}])",
          R"(["die_set", {"name": "D", "radius": 75, "groove": 25, "clamp": 60}])"}) {
      const auto entry = nlohmann::ordered_json::parse(text);
      records::Put put;
      put.kind = *records::kind_named(entry[0].get<std::string>());
      put.document = entry[1].dump();
      BIGHT_CHECK(store->put(put).result.ok());
    }
  }
  ~Bench() { std::filesystem::remove_all(folder); }
};

// Reading files starts a helper process for each, and has fuzzers of its own.
bool left_out(const service::Route& route) {
  return route.method == "GET" || route.pattern == "/read" || route.pattern == "/archive";
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static Bench bench;
  if (size == 0) return 0;
  const auto& routes = bench.router.routes();
  const service::Route& route = routes[data[0] % routes.size()];
  if (left_out(route)) return 0;
  service::Request request;
  request.method = route.method;
  request.path = route.pattern;
  request.holes = {"part", "fuzzed"};
  request.query = {{"to", "json"}, {"format", "svg"}};
  if (route.pattern != "/convert") request.query.erase("to");
  if (route.pattern != "/sheet") request.query.erase("format");
  request.headers["if-match"] = "\"r1\"";
  request.body.assign(reinterpret_cast<const char*>(data) + 1, size - 1);  // NOLINT
  const service::Reply reply = route.handler(request);
  BIGHT_CHECK(reply.status >= 200 && reply.status < 600);
  if (reply.type != "application/json" || reply.body.empty()) return 0;
  const auto body = nlohmann::json::parse(reply.body, nullptr, false);
  BIGHT_CHECK(!body.is_discarded());
  BIGHT_CHECK(reply.status < 400 || body.at("error").at("code").is_string());
  return 0;
}
