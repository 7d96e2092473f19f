#include <fmt/format.h>
#include <termios.h>
#include <unistd.h>

#include <atomic>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <thread>

#include "app/commands_records.h"
#include "app/version.h"
#include "base/embedded.h"
#include "service/folders.h"
#include "service/server.h"
#include "service/sessions.h"

namespace bight::embedded {
std::span<const File> page_files();
std::span<const File> demo_shop_files();
std::span<const File> demo_part_files();
}  // namespace bight::embedded

namespace bight::app {

namespace {

struct ServeArguments {
  std::string data;
  int port = 8640;
  std::string listen = "127.0.0.1";
  std::string certificate;
  std::string key;
  std::string log;
  std::string pass_file;
  bool demo = false;
  bool set_pass = false;
};

service::FolderTexts demo_texts() {
  service::FolderTexts texts;
  texts.name = "demo shop";
  for (const embedded::File& file : embedded::demo_shop_files()) {
    if (file.name == "shop.toml") texts.shop.shop = file.text;
    if (file.name == "benders.toml") texts.shop.benders = file.text;
    if (file.name == "die_sets.toml") texts.shop.die_sets = file.text;
    if (file.name == "trials.toml") texts.shop.trials = file.text;
    if (file.name == "materials.toml") texts.shop.materials = file.text;
    if (file.name == "stock.toml") texts.shop.stock = file.text;
  }
  for (const embedded::File& file : embedded::demo_part_files()) {
    texts.parts.emplace_back(file.name, file.text);
  }
  return texts;
}

// Fills an empty shop; one with anything in it stays as it is.
base::Status fill_with_demo(records::Store& store) {
  BIGHT_TRY(const std::int64_t change, store.latest_change());
  if (change > 0) return base::Done{};
  BIGHT_TRY(const service::TakenFolder taken, service::take_folder(store, demo_texts(), "demo"));
  static_cast<void>(taken);
  return base::Done{};
}

// One line from the terminal without showing it, or from what is piped in.
std::string typed_pass(std::ostream& out, const char* question) {
  termios before{};
  const bool terminal = isatty(STDIN_FILENO) != 0 && tcgetattr(STDIN_FILENO, &before) == 0;
  if (terminal) {
    termios silent = before;
    silent.c_lflag &= ~static_cast<tcflag_t>(ECHO);
    tcsetattr(STDIN_FILENO, TCSAFLUSH, &silent);
    out << question << std::flush;
  }
  std::string line;
  std::getline(std::cin, line);
  if (terminal) {
    tcsetattr(STDIN_FILENO, TCSAFLUSH, &before);
    out << "\n";
  }
  return line;
}

int set_pass(const std::filesystem::path& folder, Terminal& terminal) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  const std::string pass = typed_pass(terminal.out, "New shop pass: ");
  if (isatty(STDIN_FILENO) != 0 && pass != typed_pass(terminal.out, "The same again: ")) {
    return report(terminal, {"session.pass-differs", "pass", "the two are not the same",
                             "type the same pass twice"});
  }
  const base::Status set = service::set_pass(folder, pass);
  if (!set.ok()) return report(terminal, set.failure());
  terminal.out << "the pass is set; restart bight serve for it to count\n";
  return kDone;
}

// Waits for SIGTERM or SIGINT and then stops the server; a second one ends the program at once.
class EndBySignal {
 public:
  explicit EndBySignal(service::Server& server) : thread_([this, &server] { wait(server); }) {}
  ~EndBySignal() {
    over_ = true;
    thread_.join();
  }
  static void block() {
    const sigset_t both = signals();
    pthread_sigmask(SIG_BLOCK, &both, nullptr);
  }

 private:
  static sigset_t signals() {
    sigset_t both;
    sigemptyset(&both);
    sigaddset(&both, SIGTERM);
    sigaddset(&both, SIGINT);
    return both;
  }
  void wait(service::Server& server) {
    const sigset_t both = signals();
    const timespec moment{0, 200'000'000};
    while (!over_) {
      if (sigtimedwait(&both, nullptr, &moment) < 0) continue;
      pthread_sigmask(SIG_UNBLOCK, &both, nullptr);
      server.stop();
      return;
    }
  }
  std::atomic<bool> over_{false};
  std::thread thread_;
};

base::Result<service::ServerOptions> options_of(const ServeArguments& arguments,
                                                const std::filesystem::path& folder) {
  service::ServerOptions options;
  options.listen = arguments.listen;
  options.port = arguments.port;
  options.certificate = arguments.certificate;
  options.key = arguments.key;
  options.version = kVersion;
  options.demo = arguments.demo;
  const auto files = embedded::page_files();
  options.page.assign(files.begin(), files.end());
  if (!arguments.pass_file.empty()) {
    std::ifstream stream(arguments.pass_file);
    std::string pass;
    std::getline(stream, pass);
    BIGHT_TRY(options.pass_hash, service::hashed_pass(pass));
  } else if (!service::is_loopback(arguments.listen)) {
    BIGHT_TRY(options.pass_hash, service::read_pass(folder));
  }
  return options;
}

int run_serve(const ServeArguments& arguments, Terminal& terminal) {
  const std::filesystem::path folder =
      arguments.data.empty() ? service::usual_data_folder() : std::filesystem::path(arguments.data);
  if (arguments.set_pass) return set_pass(folder, terminal);
  const base::Result<std::unique_ptr<records::Store>> store = service::open_shop(folder);
  if (!store.ok()) return report(terminal, store.failure());
  if (arguments.demo) {
    const base::Status filled = fill_with_demo(**store);
    if (!filled.ok()) return report(terminal, filled.failure());
  }
  base::Result<service::ServerOptions> options = options_of(arguments, folder);
  if (!options.ok()) return report(terminal, options.failure());
  std::ofstream log;
  if (!arguments.log.empty()) {
    log.open(arguments.log, std::ios::app);
    if (!log) {
      return report(terminal,
                    {"serve.log", arguments.log, "the log cannot be written", "name another file"},
                    kUnwritable);
    }
  }
  service::ServerOptions settled = std::move(options).value();
  settled.log = arguments.log.empty() ? &terminal.err : &log;
  EndBySignal::block();
  const base::Result<std::unique_ptr<service::Server>> server =
      service::Server::make(**store, std::move(settled));
  if (!server.ok()) return report(terminal, server.failure());
  terminal.out << "Bight answers at " << (*server)->address() << "\n"
               << "  " << (*store)->description() << "\n"
               << "  end with Ctrl-C\n"
               << std::flush;
  const EndBySignal end(**server);
  (*server)->run();
  return kDone;
}

}  // namespace

void add_serve(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand("serve", "open the shop's page for browsers");
  command->footer(
      "Examples:\n"
      "  bight serve\n"
      "  bight serve --demo --data /tmp/demo --port 8640\n"
      "  bight serve --set-pass && bight serve --listen 0.0.0.0 --tls-cert c.pem --tls-key k.pem\n"
      "Records are kept in --data, or where BIGHT_STORE=postgresql://… points. Beyond this "
      "computer\n"
      "a shop pass is needed; without TLS it can be overheard on the way.");
  const auto arguments = std::make_shared<ServeArguments>();
  command->add_option("--data", arguments->data,
                      "folder of the shop's data (default: $BIGHT_DATA, ~/.local/share/bight)");
  command->add_option("--port", arguments->port, "port; 0 takes a free one")
      ->check(CLI::Range(0, 65535))
      ->capture_default_str();
  command->add_option("--listen", arguments->listen, "address to listen at")->capture_default_str();
  command->add_option("--tls-cert", arguments->certificate, "certificate, PEM");
  command->add_option("--tls-key", arguments->key, "its key, PEM");
  command->add_option("--pass-file", arguments->pass_file,
                      "file whose first line is the shop pass, instead of the one set");
  command->add_option("--log", arguments->log, "file for the log (default: the error stream)");
  command->add_flag("--demo", arguments->demo, "fill an empty shop with the demo shop");
  command->add_flag("--set-pass", arguments->set_pass, "set the shop pass and end");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_serve(*arguments, terminal); };
  });
}

}  // namespace bight::app
