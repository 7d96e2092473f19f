// The server: sockets, limits, guards, log. What is answered stands in the handlers.
#pragma once

#include <atomic>
#include <functional>
#include <memory>
#include <ostream>
#include <string>
#include <vector>

#include "base/embedded.h"
#include "base/result.h"
#include "records/store.h"

namespace bight::service {

struct ServerOptions {
  std::string listen = "127.0.0.1";  // beyond loopback a pass is needed
  int port = 0;                      // 0: any free one
  std::string pass_hash;             // sessions.h; empty: none
  std::string certificate;           // files in PEM; both or none
  std::string key;
  std::vector<embedded::File> page;  // files of the page
  std::string version;
  bool demo = false;
  std::ostream* log = nullptr;  // one line of JSON for each request
};

class Server {
 public:
  // Binds the port. The store must outlive the server.
  // Failure codes: serve.pass (listening beyond loopback without a pass), serve.tls (the files
  // cannot be used), serve.listen (the address or port is not to be had).
  static base::Result<std::unique_ptr<Server>> make(records::Store& store, ServerOptions options);
  virtual ~Server() = default;

  virtual int port() const = 0;
  // "http://127.0.0.1:8640/"
  virtual std::string address() const = 0;
  // Answers until stop() is called from another thread; then what was begun is finished.
  virtual void run() = 0;
  virtual void stop() = 0;
};

bool is_loopback(const std::string& address);

// Whether a Host header names this computer's loopback, whatever the port: a name that somebody
// else's name server points here does not.
bool is_loopback_host(const std::string& host);

// Whether an Origin header is of this host: the same after "scheme://". "null" is not.
bool same_origin(const std::string& origin, const std::string& host);

}  // namespace bight::service
