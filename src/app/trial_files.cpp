#include "app/trial_files.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "exchange/shop_toml.h"
#include "exchange/text_file.h"
#include "records/files.h"

namespace bight::app {

using base::Failure;

namespace {

base::Status has_dies(const workshop::Shop& shop, const std::vector<workshop::TrialBend>& trials) {
  std::vector<std::string> names;
  for (const workshop::DieSet& die : shop.die_sets) names.push_back(die.name);
  for (const workshop::TrialBend& trial : trials) {
    if (std::find(names.begin(), names.end(), trial.die) != names.end()) continue;
    return Failure{"learn.die", "die", fmt::format("the shop has no die set \"{}\"", trial.die),
                   names.empty() ? "add it to die_sets.toml first"
                                 : fmt::format("one of {}", fmt::join(names, ", "))};
  }
  return base::Done{};
}

}  // namespace

base::Result<std::string> shop_folder(const std::string& named) {
  if (!named.empty()) return named;
  const char* from_environment = std::getenv("BIGHT_SHOP");
  if (from_environment != nullptr && *from_environment != '\0') {
    return std::string(from_environment);
  }
  return Failure{
      "learn.shop", "--shop", "the demo shop inside the program cannot be added to",
      "name your shop folder with --shop or BIGHT_SHOP; examples/fenwater can be copied"};
}

base::Status add_trials(const std::string& folder, const std::vector<workshop::TrialBend>& trials,
                        exchange::Twice twice) {
  BIGHT_TRY(const workshop::Shop shop, exchange::read_shop_folder(folder));
  BIGHT_TRY(const base::Done known, has_dies(shop, trials));
  static_cast<void>(known);
  const std::filesystem::path path = std::filesystem::path(folder) / "trials.toml";
  std::string text;
  std::error_code error;
  if (std::filesystem::exists(path, error)) {
    BIGHT_TRY(text, exchange::read_text_file(path.string()));
  }
  const std::filesystem::path metals = std::filesystem::path(folder) / "materials.toml";
  std::string materials;
  if (std::filesystem::exists(metals, error)) {
    BIGHT_TRY(materials, exchange::read_text_file(metals.string()));
  }
  BIGHT_TRY(const std::string wanted,
            exchange::with_trials(text, trials, path.string(), twice, materials));
  if (wanted.size() > exchange::kLargestTextFile_bytes) {
    return Failure{"file.size", path.string(), "the file would be larger than any of ours",
                   "move old trials to a file beside it"};
  }
  return records::write_whole(path, wanted, "learn.write");
}

}  // namespace bight::app
