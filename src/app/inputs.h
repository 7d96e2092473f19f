// What several commands read in the same way: a part, a shop, units.
#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "exchange/read_any.h"
#include "planning/planner.h"
#include "workshop/shop.h"

namespace bight::app {

// The shop folder of this name; empty: the folder in the environment variable BIGHT_SHOP, else the
// demo shop that travels inside the program.
base::Result<workshop::Shop> load_shop(const std::string& folder);

// The metals of that shop: the catalogue's and its own.
base::Result<exchange::KnownMetals> metals_of_shop(const std::string& folder);

// A file that holds a part or a centreline, and what it leaves open.
struct InputArguments {
  std::string path;                  // "-" reads what is piped in
  std::string format;                // empty: by content
  std::vector<std::string> answers;  // "units=mm"
  std::string radius;
  std::string layer;
  std::string join;
  bool swap_ends = false;
  exchange::TubeWords tube;
};
// Adds them; `name` is what the help calls the file.
void add_input_options(CLI::App& command, InputArguments& arguments, const std::string& name);
// `metals`: a shop's; none: the catalogue alone. Failure codes: those of exchange::read_any;
// ask.unknown (an answer to a question nobody asks), ask.length.
base::Result<exchange::AnyPart> read_input(const InputArguments& arguments,
                                           exchange::KnownMetals metals = nullptr);
// The same where a whole part is needed. An open question is a failure with the question's code.
base::Result<exchange::PartFile> read_part_input(const InputArguments& arguments,
                                                 exchange::KnownMetals metals = nullptr);
// All questions as one failure: the first one's code, every one's text and answers.
// @pre there is one.
base::Failure as_failure(const std::vector<exchange::Question>& questions);

// Options shared by plan and sheet.
struct PlanArguments {
  InputArguments input;
  std::string shop;
  std::string bender;
  std::string die;
  std::string from = "A";
  std::string order = "auto";
  std::string units;  // empty: as the part file says
  bool mirror = false;
  bool changes = false;       // where no order works: the least change that helps
  bool alternatives = false;  // other orders even where nothing speaks against the one taken
};
void add_plan_options(CLI::App& command, PlanArguments& arguments);

// The size of tube, bar or section of `bend` and `roll`: as words or as --size, whichever comes
// easier; and the words as one text.
void add_size_option(CLI::App& command, std::vector<std::string>& words);
std::string as_one_text(const std::vector<std::string>& words);

// Length style for a unit: millimetres to 0.1, inches to 0.001.
base::LengthStyle style_of(base::LengthUnit unit);
// "mm", "in" or "in/16", "in/32", "in/64"; the part's own unit when empty.
base::LengthStyle style_of(const std::string& units, base::LengthUnit part_unit);

// Today's date where the program runs, "2026-01-31".
std::string today();

struct MadePlan {
  planning::Plan plan;
  base::LengthStyle style;
};
base::Result<MadePlan> make_plan(const PlanArguments& arguments);
// The same for a file that has been read already.
base::Result<MadePlan> make_plan(const PlanArguments& arguments, const exchange::PartFile& file);

}  // namespace bight::app
