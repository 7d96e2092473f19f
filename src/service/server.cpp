#include "service/server.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <semaphore>
#include <thread>

#include "service/handlers.h"
#include "service/site.h"

// Last: it brings a macro of the resolver that other headers trip over.
#include <httplib.h>

namespace bight::service {

using base::Failure;
using SteadyClock = std::chrono::steady_clock;

namespace {

constexpr std::string_view kBase = "/api/v1";
constexpr std::size_t kMostConnections = 400;
constexpr std::size_t kLongestPath = 1000;
constexpr int kRead_s = 10;
constexpr int kWrite_s = 10;
constexpr int kIdle_s = 5;

// A thread for each connection, as many as are open: a stream of events holds its own and takes
// none from the others. Beyond the limit connections wait.
class Threads final : public httplib::TaskQueue {
 public:
  void enqueue(std::function<void()> fn) override {
    const std::lock_guard lock(mutex_);
    tasks_.push_back(std::move(fn));
    if (idle_ < tasks_.size() && threads_ < kMostConnections) {
      ++threads_;
      std::thread([this] { work(); }).detach();
    } else {
      wake_.notify_one();
    }
  }

  void shutdown() override {
    std::unique_lock lock(mutex_);
    ending_ = true;
    wake_.notify_all();
    gone_.wait(lock, [&] { return threads_ == 0; });
  }

 private:
  void work() {
    std::unique_lock lock(mutex_);
    while (true) {
      ++idle_;
      wake_.wait_for(lock, std::chrono::seconds(30), [&] { return ending_ || !tasks_.empty(); });
      --idle_;
      if (tasks_.empty()) break;
      const std::function<void()> task = std::move(tasks_.front());
      tasks_.pop_front();
      lock.unlock();
      task();
      lock.lock();
    }
    --threads_;
    if (threads_ == 0) gone_.notify_all();
  }

  std::mutex mutex_;
  std::condition_variable wake_;
  std::condition_variable gone_;
  std::deque<std::function<void()>> tasks_;
  std::size_t idle_ = 0;
  std::size_t threads_ = 0;
  bool ending_ = false;
};

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) {
    return static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  });
  return text;
}

Request request_of(const httplib::Request& from) {
  Request request;
  request.method = from.method;
  request.from = from.remote_addr;
  for (const auto& [name, value] : from.headers) {
    request.headers.emplace(lower(name), value);
  }
  for (const auto& [key, value] : from.params) request.query.emplace(key, value);
  return request;
}

// Path as sent, before decoding, without the query.
std::string_view raw_path(const httplib::Request& from) {
  const std::string_view target = from.target;
  return target.substr(0, target.find_first_of("?#"));
}

bool writes(const std::string& method) {
  return method == "POST" || method == "PUT" || method == "DELETE" || method == "PATCH";
}

class HttpServer final : public Server {
 public:
  HttpServer(records::Store& store, ServerOptions options)
      : options_(std::move(options)), context_(store), site_(options_.page) {
    context_.version = options_.version;
    context_.demo = options_.demo;
    context_.secure = !options_.certificate.empty();
    if (!options_.pass_hash.empty()) context_.sessions.need(options_.pass_hash);
    add_handlers(router_, context_);
  }

  base::Status bind();
  int port() const override { return port_; }
  std::string address() const override;
  void run() override;
  void stop() override;

 private:
  void set_up();
  // A connection whose last body was left unread: what follows on it is no request.
  bool spoilt(const httplib::Request& from);
  void spoil(const httplib::Request& from);
  Reply reply_to(const httplib::Request& from, const httplib::ContentReader* reader);
  std::optional<Failure> guard(const Request& request, const Route* route);
  void send(const httplib::Request& from, Reply reply, httplib::Response& to);
  void log(const httplib::Request& from, const Reply& reply, SteadyClock::time_point start);
  void serve(const httplib::Request& from, httplib::Response& to,
             const httplib::ContentReader* reader);

  ServerOptions options_;
  Context context_;
  Router router_;
  Site site_;
  std::unique_ptr<httplib::Server> http_;
  int port_ = 0;
  std::mutex log_mutex_;
  std::mutex spoilt_mutex_;
  std::deque<std::pair<std::string, int>> spoilt_;
  std::counting_semaphore<64> processors_{
      static_cast<std::ptrdiff_t>(std::clamp(std::thread::hardware_concurrency(), 1U, 64U))};
};

base::Status HttpServer::bind() {
  const bool tls = !options_.certificate.empty() || !options_.key.empty();
  if (tls) {
    auto secure =
        std::make_unique<httplib::SSLServer>(options_.certificate.c_str(), options_.key.c_str());
    if (!secure->is_valid()) {
      return Failure{"serve.tls", options_.certificate, "the certificate and key cannot be used",
                     "name a PEM certificate and its key, both readable"};
    }
    http_ = std::move(secure);
  } else {
    http_ = std::make_unique<httplib::Server>();
  }
  set_up();
  if (options_.port == 0) {
    port_ = http_->bind_to_any_port(options_.listen);
  } else if (http_->bind_to_port(options_.listen, options_.port)) {
    port_ = options_.port;
  }
  if (port_ > 0) return base::Done{};
  return Failure{"serve.listen", fmt::format("{}:{}", options_.listen, options_.port),
                 "this address and port are not to be had",
                 "another --port, or end what listens there"};
}

void HttpServer::set_up() {
  http_->new_task_queue = [] { return new Threads(); };
  http_->set_payload_max_length(kLargestBody_bytes);
  http_->set_read_timeout(kRead_s);
  http_->set_write_timeout(kWrite_s);
  http_->set_keep_alive_timeout(kIdle_s);
  http_->set_keep_alive_max_count(10'000);
  http_->set_tcp_nodelay(true);
  // What has no body is answered before the library looks for a pattern.
  http_->set_pre_routing_handler([this](const httplib::Request& from, httplib::Response& to) {
    const bool body = writes(from.method);
    if (spoilt(from) || (body && from.path.size() > kLongestPath)) {
      spoil(from);
      send(from, failed({"request.route", "", "the address is too long", ""}), to);
      to.set_header("Connection", "close");
      return httplib::Server::HandlerResponse::Handled;
    }
    if (body) return httplib::Server::HandlerResponse::Unhandled;
    serve(from, to, nullptr);
    return httplib::Server::HandlerResponse::Handled;
  });
  const auto write = [this](const httplib::Request& from, httplib::Response& to,
                            const httplib::ContentReader& reader) { serve(from, to, &reader); };
  http_->Post(".*", write);
  http_->Put(".*", write);
  http_->Patch(".*", write);
  http_->Delete(".*", write);
  http_->set_exception_handler(
      [this](const httplib::Request& from, httplib::Response& to, std::exception_ptr) {
        send(from, failed({"request.broken", "", "the service could not answer", ""}), to);
      });
}

bool HttpServer::spoilt(const httplib::Request& from) {
  const std::lock_guard lock(spoilt_mutex_);
  return std::find(spoilt_.begin(), spoilt_.end(), std::pair(from.remote_addr, from.remote_port)) !=
         spoilt_.end();
}

void HttpServer::spoil(const httplib::Request& from) {
  const std::lock_guard lock(spoilt_mutex_);
  spoilt_.emplace_back(from.remote_addr, from.remote_port);
  if (spoilt_.size() > 100) spoilt_.pop_front();
}

std::string HttpServer::address() const {
  const bool tls = !options_.certificate.empty();
  const bool six = options_.listen.find(':') != std::string::npos;
  return fmt::format("{}://{}{}{}:{}/", tls ? "https" : "http", six ? "[" : "", options_.listen,
                     six ? "]" : "", port_);
}

void HttpServer::run() { http_->listen_after_bind(); }

void HttpServer::stop() {
  context_.stopping = true;
  context_.jobs.end_all();
  http_->stop();
}

// What speaks against answering at all.
std::optional<Failure> HttpServer::guard(const Request& request, const Route* route) {
  const std::string host = request.header("host");
  if (is_loopback(options_.listen) && !is_loopback_host(host)) {
    return Failure{"request.host", "Host", "this name is not of this computer",
                   fmt::format("open {}", address())};
  }
  if (writes(request.method)) {
    const std::string origin = request.header("origin");
    const std::string site = request.header("sec-fetch-site");
    const bool foreign = (!origin.empty() && !same_origin(origin, host)) ||
                         (origin.empty() && (site == "cross-site" || site == "same-site"));
    if (foreign) {
      return Failure{"request.origin", "Origin", "another site's page asked for this",
                     "use the page of this service"};
    }
  }
  if (!context_.sessions.needed() || route == nullptr) return std::nullopt;
  if (writes(request.method) && !request.headers.contains("x-bight-by")) {
    return Failure{"request.by", "X-Bight-By", "the header X-Bight-By is missing",
                   "send it, even if empty"};
  }
  if (route->open) return std::nullopt;
  const std::string token = cookie(request.header("cookie"), kCookie);
  if (context_.sessions.initials_of(token, SteadyClock::now())) return std::nullopt;
  return Failure{"session.needed", "", "the shop pass has not been shown",
                 "POST /api/v1/session with the pass"};
}

Reply HttpServer::reply_to(const httplib::Request& from, const httplib::ContentReader* reader) {
  Request request = request_of(from);
  const std::string_view path = raw_path(from);
  const bool api = path == kBase || path.starts_with(std::string(kBase) + "/");
  base::Result<Router::Found> found = api ? router_.find(from.method, path.substr(kBase.size()))
                                          : base::Result<Router::Found>(Router::Found{});
  const Route* route = found.ok() ? found->route : nullptr;
  std::optional<Failure> refused = guard(request, route);
  if (!refused && context_.stopping) {
    refused = Failure{"request.stopping", "", "the service is ending", "try again in a moment"};
  }
  // Whatever the answer, the body is read to its end: the next request follows it on the wire.
  const std::size_t most = refused || route == nullptr ? 0 : route->body_bytes;
  bool too_large = false;
  if (reader != nullptr) {
    const bool whole = (*reader)([&](const char* data, std::size_t size) {
      if (request.body.size() + size > most) {
        too_large = true;
      } else if (!too_large) {
        request.body.append(data, size);
      }
      return true;
    });
    if (!whole && !refused) {
      refused = Failure{"request.size", "", "the body is too large or did not arrive whole", ""};
    }
  }
  if (refused) return failed(*refused);
  if (!api) {
    if (writes(from.method) || from.method == "OPTIONS") {
      return failed({"request.method", std::string(path), "this is only read", "GET"});
    }
    return site_.answer(decoded(path), request);
  }
  if (!found.ok()) return failed(found.failure());
  if (too_large) {
    return failed({"request.size", "",
                   fmt::format("the body is larger than {} bytes", route->body_bytes),
                   "send less"});
  }
  request.path = decoded(path.substr(kBase.size()));
  request.holes = std::move(found->holes);
  if (!route->heavy) return route->handler(request);
  processors_.acquire();
  Reply reply = route->handler(request);
  processors_.release();
  return reply;
}

void HttpServer::send(const httplib::Request& from, Reply reply, httplib::Response& to) {
  to.status = reply.status;
  for (const auto& [name, value] : guard_headers()) to.set_header(name, value);
  bool own_cache = false;
  for (const auto& [name, value] : reply.headers) {
    to.set_header(name, value);
    own_cache = own_cache || name == "Cache-Control";
  }
  if (!own_cache) to.set_header("Cache-Control", "no-cache");
  if (reply.stream) {
    const auto stream = std::make_shared<std::function<void(Sink&)>>(std::move(reply.stream));
    to.set_chunked_content_provider(
        reply.type, [this, stream](std::size_t, httplib::DataSink& sink) {
          Sink mine{[&](std::string_view text) {
                      return sink.is_writable() && sink.write(text.data(), text.size());
                    },
                    [this] { return context_.stopping.load(); }};
          (*stream)(mine);
          sink.done();
          return true;
        });
    return;
  }
  if (reply.status == 204 || reply.status == 304) return;
  const bool packed = std::any_of(reply.headers.begin(), reply.headers.end(),
                                  [](const auto& h) { return h.first == "Content-Encoding"; });
  if (!packed || from.method == "HEAD") {
    to.set_content(std::move(reply.body), reply.type);
    return;
  }
  // By a provider, for the library packs bodies again.
  const auto bytes = std::make_shared<std::string>(std::move(reply.body));
  to.set_content_provider(bytes->size(), reply.type,
                          [bytes](std::size_t at, std::size_t size, httplib::DataSink& sink) {
                            return sink.write(bytes->data() + at, size);
                          });
}

void HttpServer::log(const httplib::Request& from, const Reply& reply,
                     SteadyClock::time_point start) {
  if (options_.log == nullptr) return;
  const double ms = std::chrono::duration<double, std::milli>(SteadyClock::now() - start).count();
  const nlohmann::ordered_json line = {{"at", time_text(records::SystemClock().now())},
                                       {"from", from.remote_addr},
                                       {"method", from.method},
                                       {"path", std::string(raw_path(from).substr(0, 500))},
                                       {"status", reply.status},
                                       {"bytes", reply.body.size()},
                                       {"ms", std::round(ms * 1000.0) / 1000.0},
                                       {"by", from.get_header_value("X-Bight-By").substr(0, 96)}};
  const std::string text =
      line.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
  const std::lock_guard lock(log_mutex_);
  *options_.log << text << std::flush;
}

void HttpServer::serve(const httplib::Request& from, httplib::Response& to,
                       const httplib::ContentReader* reader) {
  const SteadyClock::time_point start = SteadyClock::now();
  Reply reply = reply_to(from, reader);
  log(from, reply, start);
  send(from, std::move(reply), to);
}

}  // namespace

bool is_loopback(const std::string& address) {
  return address.starts_with("127.") || address == "::1" || address == "localhost";
}

bool is_loopback_host(const std::string& host) {
  const std::string name = lower(host.starts_with('[') ? host.substr(0, host.find(']') + 1)
                                                       : host.substr(0, host.find(':')));
  const bool four =
      name.starts_with("127.") && name.find_first_not_of("0123456789.") == std::string::npos;
  return four || name == "localhost" || name == "[::1]";
}

bool same_origin(const std::string& origin, const std::string& host) {
  const std::size_t slashes = origin.find("://");
  return slashes != std::string::npos && !host.empty() &&
         lower(origin.substr(slashes + 3)) == lower(host);
}

base::Result<std::unique_ptr<Server>> Server::make(records::Store& store, ServerOptions options) {
  if (!is_loopback(options.listen) && options.pass_hash.empty()) {
    return Failure{"serve.pass", options.listen, "listening beyond this computer needs a shop pass",
                   "set one first: bight serve --set-pass"};
  }
  auto server = std::make_unique<HttpServer>(store, std::move(options));
  BIGHT_TRY(const base::Done bound, server->bind());
  static_cast<void>(bound);
  return std::unique_ptr<Server>(std::move(server));
}

}  // namespace bight::service
