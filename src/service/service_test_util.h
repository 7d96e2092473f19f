// A service without sockets: a store of its own, every handler, and requests put to them.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>

#include "service/folders.h"
#include "service/handlers.h"

namespace bight::service::test {

using Json = nlohmann::ordered_json;

// A folder that is removed at the end.
class Folder {
 public:
  Folder() {
    std::string path = (std::filesystem::temp_directory_path() / "bight-test-XXXXXX").string();
    path_ = ::mkdtemp(path.data());
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::filesystem::path path() const { return path_; }

 private:
  std::filesystem::path path_;
};

// A part that the shop below can make.
inline Json rail() {
  return Json::parse(R"({"schema": 1, "name": "Rail", "units": "mm",
    "tube": {"size": "25 x 1.5", "material": "304L annealed"},
    "line": {"bends": [{"straight": 200, "rotation": 0, "angle": 90},
                       {"straight": 300, "rotation": 90, "angle": 45}],
             "last": 250, "radius": 76}})");
}

class ServiceTest : public ::testing::Test {
 protected:
  void SetUp() override {
    store_ = open_shop(folder_.path() / "data").value();
    context_ = std::make_unique<Context>(*store_);
    context_->version = "0";
    add_handlers(router_, *context_);
  }

  Reply ask(const std::string& method, const std::string& address, const std::string& body = "",
            std::map<std::string, std::string> headers = {}) {
    Request request;
    request.method = method;
    request.body = body;
    request.headers = std::move(headers);
    request.from = "127.0.0.1";
    const std::size_t mark = address.find('?');
    request.path = address.substr(0, mark);
    for (std::size_t at = mark; at < address.size();) {
      const std::size_t end = std::min(address.find('&', at + 1), address.size());
      const std::string pair = address.substr(at + 1, end - at - 1);
      const std::size_t equals = pair.find('=');
      request.query.emplace(pair.substr(0, equals), decoded(pair.substr(equals + 1)));
      at = end;
    }
    const base::Result<Router::Found> found = router_.find(method, request.path);
    if (!found.ok()) return failed(found.failure());
    request.holes = found->holes;
    return finished(found->route->handler(request));
  }
  // What takes longer than the service waits, on a busy machine, is a job: its answer at its end.
  Reply finished(Reply reply) {
    if (reply.status != 202) return reply;
    const std::string id = Json::parse(reply.body).at("job");
    Json seen;
    do {
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
      seen = Json::parse(context_->jobs.look(id).body);
    } while (seen.at("state") == "running");
    if (seen.at("state") == "done") return json_reply(seen.at("result"));
    return json_reply({{"error", seen.at("error")}}, 422);
  }
  Reply post(const std::string& address, const Json& body,
             std::map<std::string, std::string> headers = {}) {
    return ask("POST", address, body.dump(), std::move(headers));
  }
  static Json json(const Reply& reply) { return Json::parse(reply.body, nullptr, false); }
  static std::string code(const Reply& reply) {
    const Json body = json(reply);
    return body.is_object() && body.contains("error") ? body["error"]["code"].get<std::string>()
                                                      : "";
  }
  static std::string header(const Reply& reply, const std::string& name) {
    for (const auto& [key, value] : reply.headers) {
      if (key == name) return value;
    }
    return "";
  }

  // A bender, a die set for 25 mm tube and a house.
  void furnish() {
    put("house", "house", {{"name", "Bench"}});
    put("bender", "b1", {{"name", "B1"}, {"size_max", 60}, {"die_radius_max", 200}});
    put("die_set", "d76",
        {{"name", "25R76"}, {"radius", 75}, {"groove", 25}, {"clamp", 60}, {"pressure_die", 120}});
    put("die_set", "d114", {{"name", "38R114"}, {"radius", 114}, {"groove", 38.1}, {"clamp", 90}});
  }
  void put(const std::string& kind, const std::string& id, const Json& document) {
    const Reply reply = ask("PUT", "/records/" + kind + "/" + id,
                            Json{{"document", document}}.dump(), {{"if-none-match", "*"}});
    ASSERT_EQ(reply.status, 201) << reply.body;
  }

  Folder folder_;
  std::unique_ptr<records::Store> store_;
  std::unique_ptr<Context> context_;
  Router router_;
};

}  // namespace bight::service::test
