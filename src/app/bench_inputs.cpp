#include "app/bench_inputs.h"

#include <fmt/format.h>

#include "exchange/measured_file.h"

namespace bight::app {

void add_bench_options(CLI::App& command, BenchArguments& arguments) {
  add_plan_options(command, arguments.plan);
  command
      .add_option("MEASURED", arguments.measured,
                  "what was measured: TOML or JSON, a table of bends or points, a scan; - for what "
                  "is piped in")
      ->required();
  command.add_flag("--swap-scan", arguments.swap_scan,
                   "end A of the scan is the end that would be B");
}

base::Result<BenchInput> read_bench_input(const BenchArguments& arguments) {
  BIGHT_TRY(MadePlan made, make_plan(arguments.plan));
  exchange::MeasuredOptions options;
  for (const std::string& answer : arguments.plan.input.answers) {
    const std::size_t equals = answer.find('=');
    if (equals == std::string::npos) continue;
    const std::string name = answer.substr(0, equals);
    options.answers[name.starts_with("ask.") ? name.substr(4) : name] = answer.substr(equals + 1);
  }
  options.swap_ends = arguments.swap_scan;
  const std::string path = arguments.measured == "-" ? "/dev/stdin" : arguments.measured;
  BIGHT_TRY(exchange::MeasuredPiece piece,
            exchange::read_measured_file(path, made.plan.part, made.plan.bent_table, options));
  if (!piece.questions.empty()) return as_failure(piece.questions);
  if (!piece.part.empty() && piece.part != made.plan.part.name) {
    return base::Failure{"measured.part", arguments.measured,
                         fmt::format("this piece is said to be a \"{}\", the part is \"{}\"",
                                     piece.part, made.plan.part.name),
                         "give the part's own file, or take the part's name out of the piece's"};
  }
  if (piece.measured.name.empty()) {
    const std::size_t slash = arguments.measured.rfind('/');
    piece.measured.name =
        slash == std::string::npos ? arguments.measured : arguments.measured.substr(slash + 1);
  }
  return BenchInput{std::move(made), std::move(piece)};
}

}  // namespace bight::app
