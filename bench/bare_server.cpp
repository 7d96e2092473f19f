// The HTTP library alone, answering every request with as many bytes as it is told: what
// service_bench.sh holds the service against.
#include <httplib.h>

#include <cstdlib>
#include <iostream>
#include <string>

int main(int argc, char** argv) {
  const std::string body(argc > 1 ? static_cast<std::size_t>(std::atoi(argv[1])) : 100, 'x');
  httplib::Server server;
  server.new_task_queue = [] { return new httplib::ThreadPool(220); };
  server.set_keep_alive_max_count(10'000);
  server.set_tcp_nodelay(true);
  server.Get(".*", [&](const httplib::Request&, httplib::Response& reply) {
    reply.set_content(body, "application/octet-stream");
  });
  std::cout << server.bind_to_any_port("127.0.0.1") << std::endl;
  server.listen_after_bind();
}
