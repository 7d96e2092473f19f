#include <fmt/format.h>

#include <memory>

#include "app/commands_records.h"
#include "records/archive.h"
#include "service/folders.h"

namespace bight::app {

namespace {

struct ShopArguments {
  std::string data;
  std::string path;
  std::string part;
  std::string by;
  bool look = false;
  bool rest = false;
};

using Work = int (*)(records::Store&, const ShopArguments&, Terminal&);

void print_inventory(const records::Inventory& inventory, Terminal& terminal) {
  terminal.out << fmt::format(
      "{} records, {} revisions, {} attachments, up to change {}\nfingerprint {}\n",
      inventory.records, inventory.revisions, inventory.blobs, inventory.change,
      inventory.fingerprint);
}

int export_shop(records::Store& store, const ShopArguments& arguments, Terminal& terminal) {
  records::Scope scope;
  if (!arguments.part.empty()) {
    const base::Result<records::RecordId> id = records::RecordId::parse(arguments.part);
    if (!id.ok()) return report(terminal, id.failure());
    scope.part = *id;
  }
  const base::Result<records::Inventory> written =
      records::write_archive(store, scope, arguments.path);
  if (!written.ok()) return report(terminal, written.failure(), kUnwritable);
  print_inventory(*written, terminal);
  return kDone;
}

int import_shop(records::Store& store, const ShopArguments& arguments, Terminal& terminal) {
  const records::Taking taking = arguments.look   ? records::Taking::kLook
                                 : arguments.rest ? records::Taking::kTakeRest
                                                  : records::Taking::kAllOrNothing;
  const base::Result<records::TakingReport> taken =
      records::read_archive(store, arguments.path, taking);
  if (!taken.ok()) return report(terminal, taken.failure());
  terminal.out << fmt::format("{} new, {} continued, {} as here, {} attachments; {}\n",
                              taken->added, taken->continued, taken->same, taken->blobs,
                              taken->written ? "written" : "nothing was written");
  for (const records::Difference& d : taken->differences) {
    terminal.out << fmt::format("  differs from revision {} on: {}/{}\n", d.first_revision,
                                records::kind_name(d.kind), d.id.text());
  }
  return taken->written || arguments.look ? kDone : kUnreadable;
}

int backup_shop(records::Store& store, const ShopArguments& arguments, Terminal& terminal) {
  const base::Result<records::Inventory> kept = store.backup(arguments.path);
  if (!kept.ok()) return report(terminal, kept.failure(), kUnwritable);
  print_inventory(*kept, terminal);
  return kDone;
}

int inventory_of_shop(records::Store& store, const ShopArguments&, Terminal& terminal) {
  const base::Result<records::Inventory> inventory = store.inventory();
  if (!inventory.ok()) return report(terminal, inventory.failure());
  terminal.out << store.description() << "\n";
  print_inventory(*inventory, terminal);
  return kDone;
}

int take_folder(records::Store& store, const ShopArguments& arguments, Terminal& terminal) {
  const base::Result<service::FolderTexts> texts = service::read_folder_texts(arguments.path);
  if (!texts.ok()) return report(terminal, texts.failure());
  const base::Result<service::TakenFolder> taken =
      service::take_folder(store, *texts, arguments.by);
  if (!taken.ok()) return report(terminal, taken.failure());
  terminal.out << fmt::format("{} new, {} changed, {} as here\n", taken->added, taken->continued,
                              taken->same);
  return kDone;
}

int write_folder(records::Store& store, const ShopArguments& arguments, Terminal& terminal) {
  const base::Result<std::int64_t> files = service::write_folder(store, arguments.path);
  if (!files.ok()) return report(terminal, files.failure(), kUnwritable);
  terminal.out << fmt::format("{} files in {}\n", *files, arguments.path);
  return kDone;
}

int run_shop(const ShopArguments& arguments, Work work, Terminal& terminal) {
  const base::Result<std::unique_ptr<records::Store>> store =
      service::open_shop(arguments.data.empty() ? service::usual_data_folder() : arguments.data);
  if (!store.ok()) return report(terminal, store.failure());
  return work(**store, arguments, terminal);
}

struct Verb {
  const char* name;
  const char* what;
  const char* path;  // what it names; none: takes no path
  Work work;
};

constexpr Verb kVerbs[] = {
    {"export", "write the shop, or one part and what belongs to it, as an archive", "FILE",
     export_shop},
    {"import", "take records out of an archive; nothing is overwritten", "FILE", import_shop},
    {"backup", "copy everything while others work, read the copy back and compare", "FILE",
     backup_shop},
    {"inventory", "count what is kept, and hash it", nullptr, inventory_of_shop},
    {"take-folder", "take shop.toml and its files, and parts/*.toml, into the records", "FOLDER",
     take_folder},
    {"write-folder", "write the records as text files into a new folder", "FOLDER", write_folder}};

}  // namespace

void add_shop(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("shop", "the shop's records: archives, backup, text files");
  command->require_subcommand(1);
  command->footer(
      "Examples:\n"
      "  bight shop export shop.zip\n"
      "  bight shop import shop.zip --look\n"
      "  bight shop backup /media/stick/bight.db\n"
      "  bight shop take-folder examples/fenwater --by KB");
  const auto arguments = std::make_shared<ShopArguments>();
  for (const Verb& verb : kVerbs) {
    CLI::App* sub = command->add_subcommand(verb.name, verb.what);
    sub->add_option("--data", arguments->data,
                    "folder of the shop's data (default: $BIGHT_DATA, ~/.local/share/bight)");
    if (verb.path != nullptr) sub->add_option(verb.path, arguments->path, "")->required();
    const std::string name = verb.name;
    if (name == "export") sub->add_option("--part", arguments->part, "id of the one part");
    if (name == "import") {
      sub->add_flag("--look", arguments->look, "write nothing; say what would be");
      sub->add_flag("--rest", arguments->rest, "leave what differs as it is here, take the rest");
    }
    if (name == "take-folder") sub->add_option("--by", arguments->by, "initials for the history");
    sub->callback([=, &terminal, &action] {
      action = [=, &terminal] { return run_shop(*arguments, verb.work, terminal); };
    });
  }
}

}  // namespace bight::app
