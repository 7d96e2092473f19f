#include <fmt/format.h>

#include <memory>

#include "app/bench_commands.h"
#include "app/bench_inputs.h"
#include "app/bench_text.h"
#include "app/run_files.h"
#include "base/angle_text.h"
#include "exchange/bench_json.h"
#include "geometry/centreline.h"
#include "papers/inspection_report.h"

namespace bight::app {

namespace {

using inspection::Agreed;

struct InspectArguments {
  BenchArguments bench;
  std::string align;
  std::vector<std::string> datum;
  std::string length, angle, zone, corner, end;
  std::vector<std::string> rules;
  bool guard_band = false;
  bool json = false;
  std::string pdf, date;
  std::string paper = "a4";
};

// The limits given on the command line; lengths without a unit are in the part's.
base::Result<Agreed> agreed_of(const InspectArguments& arguments, const base::LengthStyle& style) {
  Agreed out;
  if (!arguments.align.empty()) out.align = inspection::align_by(arguments.align);
  out.datum_points = arguments.datum;
  if (!arguments.datum.empty() && !out.align) out.align = inspection::AlignBy::kDatumPoints;
  const std::tuple<const char*, const std::string&, std::optional<double>&> lengths[] = {
      {"--length", arguments.length, out.length_mm},
      {"--zone", arguments.zone, out.zone_radius_mm},
      {"--corner", arguments.corner, out.corner_mm},
      {"--end", arguments.end, out.end_mm}};
  for (const auto& [option, text, value] : lengths) {
    if (text.empty()) continue;
    const base::Result<double> length_mm =
        base::parse_length_mm(text, {style.unit, base::DecimalMark::kPoint});
    if (!length_mm.ok()) {
      return base::Failure{length_mm.failure().code, option, length_mm.failure().message,
                           length_mm.failure().remedy};
    }
    value = *length_mm;
  }
  if (!arguments.angle.empty()) {
    const base::Result<base::Angle> angle = base::parse_angle(arguments.angle);
    if (!angle.ok()) {
      return base::Failure{angle.failure().code, "--angle", angle.failure().message,
                           angle.failure().remedy};
    }
    out.angle = *angle;
  }
  out.rules = arguments.rules;
  if (arguments.guard_band) out.guard_band = true;
  return out;
}

// The report on paper. Failure codes: those of report_files and save_bytes; papers.format.
base::Status write_report(const InspectArguments& arguments, const BenchInput& input,
                          const inspection::Inspection& inspection,
                          const inspection::Agreement& agreement) {
  if (!arguments.pdf.ends_with(".pdf")) {
    return base::Failure{"papers.format", arguments.pdf, "a report of several pages is a PDF",
                         "a name that ends in .pdf"};
  }
  papers::SheetOptions options;
  options.paper = arguments.paper == "letter" ? papers::Paper::kLetter : papers::Paper::kA4;
  options.length = input.made.style;
  options.date = arguments.date.empty() ? today() : arguments.date;
  const exchange::MeasuredPiece& piece = input.piece;
  const papers::ReportInput report{input.made.plan, piece.measured, inspection, agreement,
                                   piece.heat,      piece.date,     piece.who,  piece.gauge};
  BIGHT_TRY(const std::vector<std::string> files,
            papers::report_files(report, options, papers::Format::kPdf));
  return save_bytes(files.front(), arguments.pdf);
}

int run_inspect(const InspectArguments& arguments, Terminal& terminal) {
  const base::Result<BenchInput> input = read_bench_input(arguments.bench);
  if (!input.ok()) return report(terminal, input.failure());
  const planning::Plan& plan = input->made.plan;
  const base::Result<Agreed> typed = agreed_of(arguments, input->made.style);
  if (!typed.ok()) return report(terminal, typed.failure());
  const std::size_t num_points = geometry::corner_points_mm(plan.bent_table).size();
  const auto agreement =
      inspection::agreement_of(plan.part, num_points, {input->piece.agreed, *typed});
  if (!agreement.ok()) return report(terminal, agreement.failure());
  const auto inspected =
      inspection::inspect(plan.part, plan.bent_table, input->piece.measured, *agreement);
  if (!inspected.ok()) return report(terminal, inspected.failure());
  if (!arguments.pdf.empty()) {
    const base::Status saved = write_report(arguments, *input, *inspected, *agreement);
    if (!saved.ok()) return report(terminal, saved.failure(), kUnwritable);
  }
  if (arguments.json) {
    terminal.out << exchange::inspection_json(plan.part, *inspected, *agreement,
                                              input->piece.measured)
                        .dump(2)
                 << "\n";
  } else {
    terminal.out << inspection_text(plan.part, *inspected, *agreement, input->piece,
                                    input->made.style, terminal.colour);
  }
  return inspected->verdict == inspection::Verdict::kOutside ? kStopped : kDone;
}

}  // namespace

void add_inspect(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("inspect",
                          "judge a measured piece as agreed: where it lies off, and "
                          "whether that is allowed");
  command->footer(
      "Laid over by: ends (end A, first leg, first plane), leg (end A and first leg), fit (least\n"
      "squares), zone (smallest zone), points (agreed ones, --datum A,2,B).\n"
      "Examples:\n"
      "  bight inspect rail.toml first-piece.toml\n"
      "  bight inspect rail.toml points.csv --align fit --corner 2 --end 3 --guard-band\n"
      "  bight inspect rail.toml scan.ply --zone 1.5 --json\n"
      "  bight inspect rail.toml first-piece.toml --pdf report.pdf\n"
      "Ends with 0, with 2 when the piece is outside, with 3 when an input cannot be read.");
  const auto arguments = std::make_shared<InspectArguments>();
  InspectArguments& a = *arguments;
  add_bench_options(*command, a.bench);
  command->add_option("--align", a.align, "how the piece is laid over the drawing")
      ->check(CLI::IsMember({"ends", "leg", "fit", "zone", "points"}));
  command->add_option("--datum", a.datum, "agreed points: A, corner numbers, B")->delimiter(',');
  command->add_option("--length", a.length, "straights may be off by this much");
  command->add_option("--angle", a.angle, "bends and rotations may be off by this much");
  command->add_option("--zone", a.zone, "radius of the tube that must hold the centreline");
  command->add_option("--corner", a.corner, "corners lie within this of their places");
  command->add_option("--end", a.end, "ends lie within this of their places");
  command->add_option("--rule", a.rules, "acceptance rule beside the part's own; may be repeated");
  command->add_flag(
      "--guard-band", a.guard_band,
      "accept only what is inside by the reading's error, reject only what is outside "
      "by it");
  command->add_flag("--json", a.json, "print the inspection as JSON");
  command->add_option("--pdf", a.pdf, "write the report, with room to sign, into this PDF file");
  command->add_option("--paper", a.paper, "of the report: a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();
  command->add_option("--date", a.date, "to print on the report (default: today)");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_inspect(*arguments, terminal); };
  });
}

}  // namespace bight::app
