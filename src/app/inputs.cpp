#include "app/inputs.h"

#include <cstdlib>
#include <ctime>

#include "base/embedded.h"
#include "exchange/shop_toml.h"

namespace bight::embedded {
std::span<const File> demo_shop_files();
}

namespace bight::app {

namespace {

base::Result<workshop::Shop> demo_shop() {
  exchange::ShopTexts texts;
  for (const embedded::File& file : embedded::demo_shop_files()) {
    if (file.name == "shop.toml") texts.shop = file.text;
    if (file.name == "benders.toml") texts.benders = file.text;
    if (file.name == "die_sets.toml") texts.die_sets = file.text;
    if (file.name == "trials.toml") texts.trials = file.text;
  }
  return exchange::read_shop(texts, "demo shop");
}

}  // namespace

base::Result<workshop::Shop> load_shop(const std::string& folder) {
  if (!folder.empty()) return exchange::read_shop_folder(folder);
  const char* from_environment = std::getenv("BIGHT_SHOP");
  if (from_environment != nullptr && *from_environment != '\0') {
    return exchange::read_shop_folder(from_environment);
  }
  return demo_shop();
}

void add_plan_options(CLI::App& command, PlanArguments& arguments) {
  command.add_option("PART", arguments.part, "part file")->required();
  command.add_option("--shop", arguments.shop,
                     "shop folder (default: $BIGHT_SHOP, else the demo shop)");
  command.add_option("--bender", arguments.bender, "bender by name (default: the first that can)");
  command.add_option("--die", arguments.die, "one die set for every bend, by name");
  command.add_option("--from", arguments.from, "end to start bending from")
      ->check(CLI::IsMember({"A", "B"}, CLI::ignore_case))
      ->capture_default_str();
  command.add_option("--units", arguments.units, "mm, in, in/16, in/32 or in/64")
      ->check(CLI::IsMember({"mm", "in", "in/16", "in/32", "in/64"}));
  command.add_flag("--mirror", arguments.mirror, "plan the part of the other hand");
}

base::LengthStyle style_of(base::LengthUnit unit) {
  base::LengthStyle style;
  style.unit = unit;
  style.decimals = unit == base::LengthUnit::kInch ? 3 : 1;
  return style;
}

base::LengthStyle style_of(const std::string& units, base::LengthUnit part_unit) {
  if (units.empty()) return style_of(part_unit);
  if (units == "mm") return style_of(base::LengthUnit::kMillimetre);
  base::LengthStyle style = style_of(base::LengthUnit::kInch);
  if (const std::size_t slash = units.find('/'); slash != std::string::npos) {
    style.form = base::LengthStyle::Form::kFraction;
    style.denominator = std::atoi(units.c_str() + slash + 1);
  }
  return style;
}

std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  char text[16];
  return std::strftime(text, sizeof text, "%Y-%m-%d", &local) == 0 ? "" : text;
}

base::Result<MadePlan> make_plan(const PlanArguments& arguments) {
  BIGHT_TRY(const exchange::PartFile file, exchange::read_part_file(arguments.part));
  BIGHT_TRY(const workshop::Shop shop, load_shop(arguments.shop));
  planning::PlanOptions options;
  options.wish = {arguments.bender, arguments.die};
  options.from =
      arguments.from == "B" || arguments.from == "b" ? planning::End::kB : planning::End::kA;
  options.style = style_of(arguments.units, file.unit);
  const part::Part part = arguments.mirror ? part::mirrored(file.part) : file.part;
  BIGHT_TRY(planning::Plan plan, planning::plan(part, shop, options));
  return MadePlan{std::move(plan), options.style};
}

}  // namespace bight::app
