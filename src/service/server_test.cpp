#include "service/server.h"

#include <sstream>
#include <thread>

#include "service/service_test_util.h"
#include "service/sessions.h"

// Last: it brings a macro of the resolver that other headers trip over.
#include <httplib.h>

namespace bight::service {
namespace {

using test::Json;

class Running {
 public:
  Running(records::Store& store, ServerOptions options)
      : server_(std::move(*Server::make(store, std::move(options)))),
        thread_([this] { server_->run(); }) {}
  ~Running() {
    server_->stop();
    thread_.join();
  }
  int port() const { return server_->port(); }

 private:
  std::unique_ptr<Server> server_;
  std::thread thread_;
};

class ServerTest : public ::testing::Test {
 protected:
  void SetUp() override { store_ = std::move(*open_shop(folder_.path() / "data")); }

  httplib::Client client(const Running& running) {
    httplib::Client client("127.0.0.1", running.port());
    client.set_keep_alive(true);
    return client;
  }
  static std::string code(const httplib::Result& reply) {
    return reply ? Json::parse(reply->body)["error"]["code"].get<std::string>() : "no reply";
  }

  test::Folder folder_;
  std::unique_ptr<records::Store> store_;
};

TEST_F(ServerTest, AnswersOverTheWireWithItsGuards) {
  std::ostringstream log;
  ServerOptions options;
  options.log = &log;
  options.page = {{"index.html", "<!doctype html>"}};
  {
    const Running running(*store_, std::move(options));
    auto http = client(running);
    const auto about = http.Get("/api/v1/about");
    ASSERT_TRUE(about);
    EXPECT_EQ(about->status, 200);
    EXPECT_NE(about->get_header_value("Content-Security-Policy"), "");
    EXPECT_EQ(about->get_header_value("X-Content-Type-Options"), "nosniff");
    EXPECT_EQ(http.Get("/parts")->get_header_value("Content-Type"), "text/html; charset=utf-8");
    EXPECT_EQ(http.Get("/api/v1/nothing")->status, 404);
    EXPECT_EQ(http.Delete("/api/v1/about")->status, 405);
    EXPECT_EQ(http.Post("/", "x", "text/plain")->status, 405);
    EXPECT_EQ(http.Options("/api/v1/about")->status, 405);
  }
  std::istringstream lines(log.str());
  std::string line;
  ASSERT_TRUE(std::getline(lines, line));
  EXPECT_EQ(Json::parse(line)["path"], "/api/v1/about");
  EXPECT_EQ(Json::parse(line)["status"], 200);
}

TEST_F(ServerTest, ForeignPagesAndNamesAreRefused) {
  const Running running(*store_, {});
  auto http = client(running);
  const std::string body = R"({"document": {"name": "x"}})";
  const auto put = [&](const httplib::Headers& headers) {
    return http.Post("/api/v1/records/part", headers, body, "application/json");
  };
  EXPECT_EQ(code(put({{"Origin", "http://evil.example"}})), "request.origin");
  EXPECT_EQ(code(put({{"Origin", "null"}})), "request.origin");
  EXPECT_EQ(code(put({{"Sec-Fetch-Site", "cross-site"}})), "request.origin");
  EXPECT_EQ(code(put({{"Host", "rebound.example"}})), "request.host");
  EXPECT_EQ(code(http.Get("/api/v1/parts", {{"Host", "rebound.example"}})), "request.host");
  const std::string own = "http://127.0.0.1:" + std::to_string(running.port());
  EXPECT_EQ(put({{"Origin", own}})->status, 201);
  EXPECT_EQ(Json::parse(http.Get("/api/v1/parts")->body)["total"], 1);
}

// What is refused is read to its end, and does not turn into a request of its own.
TEST_F(ServerTest, NothingHidesInARefusedBody) {
  const Running running(*store_, {});
  auto http = client(running);
  const std::string hidden =
      "POST /api/v1/records/part HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 27\r\n\r\n"
      R"({"document": {"name": "x"}})";
  for (const std::string& path :
       {std::string("/api/v1/records/part"), "/" + std::string(3000, 'a')}) {
    const auto reply = http.Post(path, {{"Origin", "http://evil.example"}}, hidden, "text/plain");
    ASSERT_TRUE(reply);
    EXPECT_GE(reply->status, 400);
    http.Get("/api/v1/about");
  }
  auto fresh = client(running);
  EXPECT_EQ(Json::parse(fresh.Get("/api/v1/parts")->body)["total"], 0);
}

TEST_F(ServerTest, LargeBodiesAreRefused) {
  const Running running(*store_, {});
  auto http = client(running);
  const std::string large(kUsualBody_bytes + 1, ' ');
  EXPECT_EQ(http.Post("/api/v1/plan", large, "application/json")->status, 413);
  EXPECT_EQ(http.Post("/api/v1/blobs", large, "application/octet-stream")->status, 201);
  EXPECT_EQ(http.Post("/api/v1/plan", "{", "application/json")->status, 400);
}

TEST_F(ServerTest, BeyondLoopbackAPassIsNeeded) {
  ServerOptions options;
  options.listen = "0.0.0.0";
  EXPECT_EQ(Server::make(*store_, options).failure().code, "serve.pass");
  options.listen = "127.0.0.1";  // the same guards, without listening wider in a test
  options.pass_hash = *hashed_pass("eel pie island");
  const Running running(*store_, std::move(options));
  auto http = client(running);
  EXPECT_EQ(http.Get("/api/v1/about")->status, 200);
  EXPECT_EQ(http.Get("/api/v1/parts")->status, 401);
  EXPECT_EQ(http.Get("/api/v1/events")->status, 401);
  const std::string pass = R"({"pass": "eel pie island"})";
  EXPECT_EQ(code(http.Post("/api/v1/session", pass, "application/json")), "request.by");
  const auto opened =
      http.Post("/api/v1/session", {{"X-Bight-By", "KB"}}, pass, "application/json");
  ASSERT_EQ(opened->status, 200);
  const std::string cookie = opened->get_header_value("Set-Cookie");
  const httplib::Headers mine = {{"Cookie", cookie.substr(0, cookie.find(';'))}};
  EXPECT_EQ(http.Get("/api/v1/parts", mine)->status, 200);
  EXPECT_EQ(code(http.Post("/api/v1/part/check", mine, "{}", "application/json")), "request.by");
}

TEST_F(ServerTest, EventsReachAnOpenPageAndEndWithTheServer) {
  std::string heard;
  std::thread page;
  {
    const Running running(*store_, {});
    std::atomic<bool> change{false};
    page = std::thread([&, port = running.port()] {
      httplib::Client http("127.0.0.1", port);
      http.Get("/api/v1/events?since=0", [&](const char* data, std::size_t size) {
        heard.append(data, size);
        change = heard.find("event: change") != std::string::npos;
        return true;
      });
    });
    auto http = client(running);
    EXPECT_EQ(
        http.Post("/api/v1/records/part", R"({"document": {"name": "x"}})", "application/json")
            ->status,
        201);
    while (!change) std::this_thread::yield();
  }
  page.join();
  EXPECT_NE(heard.find("\"kind\":\"part\""), std::string::npos);
}

TEST_F(ServerTest, TakenPortsAndBadCertificates) {
  const Running running(*store_, {});
  ServerOptions options;
  options.certificate = options.key = "/nonexistent.pem";
  EXPECT_EQ(Server::make(*store_, options).failure().code, "serve.tls");
  options = {};
  options.listen = "203.0.113.1";
  options.pass_hash = "x";
  EXPECT_EQ(Server::make(*store_, options).failure().code, "serve.listen");
}

TEST_F(ServerTest, NamesOfThisComputer) {
  for (const char* own : {"localhost:8640", "127.0.0.1", "127.1.2.3:1", "[::1]:80", "LOCALHOST"}) {
    EXPECT_TRUE(is_loopback_host(own)) << own;
  }
  for (const char* other :
       {"", "example.org", "127.0.0.1.example.org", "localhost.example.org", "10.0.0.1", "[::2]"}) {
    EXPECT_FALSE(is_loopback_host(other)) << other;
  }
  EXPECT_TRUE(same_origin("http://Bench:8640", "bench:8640"));
  EXPECT_FALSE(same_origin("http://bench:8641", "bench:8640"));
  EXPECT_FALSE(same_origin("null", "bench:8640"));
}

}  // namespace
}  // namespace bight::service
