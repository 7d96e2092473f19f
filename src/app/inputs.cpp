#include "app/inputs.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
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
    if (file.name == "materials.toml") texts.materials = file.text;
    if (file.name == "stock.toml") texts.stock = file.text;
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

base::Result<exchange::KnownMetals> metals_of_shop(const std::string& folder) {
  BIGHT_TRY(const workshop::Shop shop, load_shop(folder));
  return exchange::metals_with(shop.materials);
}

void add_input_options(CLI::App& command, InputArguments& arguments, const std::string& name) {
  command.add_option(name, arguments.path, "part file, table, drawing; - for what is piped in")
      ->required();
  command.add_option("--from-format", arguments.format,
                     fmt::format("how to read it, when its content and name mislead: {}",
                                 fmt::join(exchange::readable_formats(), ", ")));
  command.add_option("--answer", arguments.answers,
                     "answer to a question about the file, as question=answer; may be repeated");
  command.add_option("--radius", arguments.radius,
                     "centreline radius where the file gives none, as 50 or 2in");
  command.add_option("--layer", arguments.layer, "layer of a drawing that holds the centreline");
  command.add_option("--join", arguments.join,
                     "lines of a drawing that stop this short of each other still meet");
  command.add_flag("--swap-ends", arguments.swap_ends, "end A is the end that would be B");
  command.add_option("--size", arguments.tube.size, "tube of a file that names none, as 25 x 1.5");
  command.add_option("--od", arguments.tube.od, "its outside diameter, instead of --size");
  command.add_option("--wall", arguments.tube.wall, "its wall, with --od");
  command.add_option("--material", arguments.tube.material, "its metal, as 304L annealed");
}

namespace {

base::Result<exchange::Answers> answers_of(const InputArguments& arguments) {
  exchange::Answers answers;
  for (const std::string& answer : arguments.answers) {
    const std::size_t equals = answer.find('=');
    std::string name = answer.substr(0, equals);
    if (name.starts_with("ask.")) name.erase(0, 4);
    const std::vector<std::string_view>& names = exchange::question_names();
    if (equals == std::string::npos || std::find(names.begin(), names.end(), name) == names.end()) {
      return base::Failure{
          "ask.unknown", "--answer " + answer, "this answers no question a reader asks",
          fmt::format("write question=answer with one of: {}", fmt::join(names, ", "))};
    }
    answers[name] = answer.substr(equals + 1);
  }
  if (!arguments.radius.empty()) answers["radius"] = arguments.radius;
  if (!arguments.layer.empty()) answers["layer"] = arguments.layer;
  return answers;
}

}  // namespace

base::Result<exchange::AnyPart> read_input(const InputArguments& arguments,
                                           exchange::KnownMetals metals) {
  exchange::ReadOptions options;
  options.format = arguments.format;
  BIGHT_TRY(options.line.answers, answers_of(arguments));
  options.tube = arguments.tube;
  options.swap_ends = arguments.swap_ends;
  options.metals = std::move(metals);
  const auto units = options.line.answers.find("units");
  if (units != options.line.answers.end() && units->second == "in") {
    options.unit = base::LengthUnit::kInch;
  }
  if (!arguments.join.empty()) {
    const base::Result<double> join_mm = base::parse_length_mm(arguments.join);
    if (!join_mm.ok() || !(*join_mm > 0.0 && *join_mm <= 10.0)) {
      return base::Failure{"ask.length", "--join", "this is no gap between lines",
                           "a length up to 10 mm, such as 0.1"};
    }
    options.line.join_mm = *join_mm;
  }
  return exchange::read_any(arguments.path == "-" ? "/dev/stdin" : arguments.path, options);
}

base::Failure as_failure(const std::vector<exchange::Question>& questions) {
  base::Failure failure{questions.front().code, questions.front().where, "", ""};
  for (const exchange::Question& question : questions) {
    const std::string name = question.code.substr(question.code.find('.') + 1);
    failure.message += (failure.message.empty() ? "" : " ") + question.text;
    std::string answers;
    for (const exchange::Choice& choice : question.choices) {
      const bool spaced = choice.word.find(' ') != std::string::npos;
      const std::string quote = spaced ? "'" : "";
      answers += fmt::format("\n  --answer {}{}={}{}   {}", quote, name, choice.word, quote,
                             choice.meaning);
    }
    if (answers.empty()) answers = fmt::format("\n  --answer {}=…   {}", name, question.form);
    failure.remedy += answers;
  }
  return failure;
}

base::Result<exchange::PartFile> read_part_input(const InputArguments& arguments,
                                                 exchange::KnownMetals metals) {
  BIGHT_TRY(const exchange::AnyPart any, read_input(arguments, std::move(metals)));
  if (!any.questions.empty()) return as_failure(any.questions);
  return exchange::whole_part(any, arguments.path);
}

void add_plan_options(CLI::App& command, PlanArguments& arguments) {
  add_input_options(command, arguments.input, "PART");
  command.add_option("--shop", arguments.shop,
                     "shop folder (default: $BIGHT_SHOP, else the demo shop)");
  command.add_option("--bender", arguments.bender, "bender by name (default: the first that can)");
  command.add_option("--die", arguments.die, "one die set for every bend, by name");
  command.add_option("--from", arguments.from, "end to start bending from")
      ->check(CLI::IsMember({"A", "B"}, CLI::ignore_case))
      ->capture_default_str();
  command
      .add_option("--order", arguments.order,
                  "auto (as drawn unless that cannot be worked), keep, best, or every bend once as "
                  "3,1,2 or 3B,1A,2A (the letter is the end that goes ahead)")
      ->capture_default_str();
  command.add_option("--units", arguments.units, "mm, in, in/16, in/32 or in/64")
      ->check(CLI::IsMember({"mm", "in", "in/16", "in/32", "in/64"}));
  command.add_flag("--mirror", arguments.mirror, "plan the part of the other hand");
}

void add_size_option(CLI::App& command, std::vector<std::string>& words) {
  command.add_option("SIZE,--size", words, "tube, pipe, bar or section")->required();
}

std::string as_one_text(const std::vector<std::string>& words) {
  return fmt::format("{}", fmt::join(words, " "));
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
  BIGHT_TRY(exchange::KnownMetals metals, metals_of_shop(arguments.shop));
  BIGHT_TRY(const exchange::PartFile file, read_part_input(arguments.input, std::move(metals)));
  return make_plan(arguments, file);
}

base::Result<MadePlan> make_plan(const PlanArguments& arguments, const exchange::PartFile& file) {
  BIGHT_TRY(const workshop::Shop shop, load_shop(arguments.shop));
  planning::PlanOptions options;
  options.wish = {arguments.bender, arguments.die};
  options.from =
      arguments.from == "B" || arguments.from == "b" ? planning::End::kB : planning::End::kA;
  options.style = style_of(arguments.units, file.unit);
  BIGHT_TRY(options.order, planning::parse_order_wish(arguments.order));
  options.alternatives = arguments.alternatives;
  options.changes = arguments.changes;
  const part::Part part = arguments.mirror ? part::mirrored(file.part) : file.part;
  BIGHT_TRY(planning::Plan plan, planning::plan(part, shop, options));
  return MadePlan{std::move(plan), options.style};
}

}  // namespace bight::app
