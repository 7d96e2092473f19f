#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "app/plan_text.h"
#include "exchange/dxf_write.h"
#include "exchange/gltf_write.h"
#include "exchange/part_toml_write.h"
#include "exchange/step_write.h"
#include "exchange/stl_write.h"
#include "exchange/table_json.h"
#include "exchange/table_write.h"
#include "geometry/centreline.h"
#include "service/pictures.h"

namespace bight::app {

namespace {

using base::Failure;
using base::Result;
using exchange::AnyPart;

struct ConvertArguments {
  PlanArguments plan;  // shop, bender and die count for the strip only
  std::string output;
  std::string to_format;
  std::string what;
  std::string tolerance;
};

// Everything an output may be made from.
struct Source {
  const AnyPart& any;
  const ConvertArguments& arguments;
  base::LengthUnit unit;  // of the output
  std::string what;       // settled
};

using Writer = Result<std::string> (*)(const Source&);

Result<stock::Section> section_of(const Source& source) {
  if (source.any.size) return source.any.size->section;
  return Failure{"input.tube", source.arguments.plan.input.path,
                 "a picture needs the tube's size, and the file does not give it",
                 "give --size, or --od and --wall"};
}

Result<std::string> write_part(const Source& source) {
  BIGHT_TRY(const exchange::PartFile file,
            exchange::whole_part(source.any, source.arguments.plan.input.path));
  return exchange::part_toml(file.part, source.unit);
}

Result<std::string> write_table(const Source& source) {
  const exchange::Line& line = *source.any.line;
  const bool tabs = source.arguments.to_format == "tsv";
  const exchange::TableStyle style{source.unit, tabs ? '\t' : ','};
  return source.what == "corners" ? exchange::corners_csv(line.table, line.start, style)
                                  : exchange::bends_csv(line.table, style);
}

Result<std::string> write_json(const Source& source) {
  const auto json = source.what == "corners"
                        ? exchange::corners_json(*source.any.line, source.any.name)
                        : exchange::bends_json(*source.any.line, source.any.name);
  return json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

Result<planning::Plan> plan_of(const Source& source) {
  BIGHT_TRY(const exchange::PartFile file,
            exchange::whole_part(source.any, source.arguments.plan.input.path));
  BIGHT_TRY(MadePlan made, make_plan(source.arguments.plan, file));
  return std::move(made.plan);
}

Result<std::string> write_dxf(const Source& source) {
  const exchange::Line& line = *source.any.line;
  if (source.what == "views") {
    BIGHT_TRY(const stock::Section section, section_of(source));
    return exchange::dxf_views(service::flat_views(line.table, line.start, section));
  }
  if (source.what == "strip") {
    BIGHT_TRY(const planning::Plan plan, plan_of(source));
    return exchange::dxf_strip(plan);
  }
  return exchange::dxf_centreline(line.table, line.start);
}

Result<exchange::TubeMesh> mesh_of(const Source& source) {
  BIGHT_TRY(const stock::Section section, section_of(source));
  exchange::MeshOptions options;
  if (!source.arguments.tolerance.empty()) {
    Result<double> tolerance_mm = base::parse_length_mm(source.arguments.tolerance);
    if (!tolerance_mm.ok()) {
      Failure failure = tolerance_mm.failure();
      failure.where = "--tolerance";
      return failure;
    }
    options.tolerance_mm = *tolerance_mm;
  }
  return exchange::tube_mesh(source.any.line->table, source.any.line->start, section, options);
}

Result<std::string> write_gltf(const Source& source) {
  BIGHT_TRY(const exchange::TubeMesh mesh, mesh_of(source));
  const exchange::Line& line = *source.any.line;
  const exchange::GltfPicture picture{source.any.name, mesh,
                                      geometry::lay_out(line.table, line.start).sampled_mm(0.1)};
  return source.arguments.to_format == "gltf" ? exchange::gltf_text(picture)
                                              : exchange::glb_bytes(picture);
}

Result<std::string> write_stl(const Source& source) {
  BIGHT_TRY(const exchange::TubeMesh mesh, mesh_of(source));
  return exchange::stl_bytes(mesh, source.any.name);
}

Result<std::string> write_step_text(const Source& source) {
  BIGHT_TRY(const stock::Section section, section_of(source));
  const exchange::Line& line = *source.any.line;
  exchange::StepWriteOptions options;
  if (!source.any.name.empty()) options.name = source.any.name;
  if (source.unit == base::LengthUnit::kInch) options.unit = exchange::StepUnit::kInch;
  options.written = today() + "T00:00:00";
  return exchange::step_text(section, geometry::lay_out(line.table, line.start), options);
}

Result<std::string> write_svg(const Source& source) {
  if (source.what == "strip") {
    BIGHT_TRY(const planning::Plan plan, plan_of(source));
    return service::strip_svg(plan, style_of(source.unit));
  }
  BIGHT_TRY(const stock::Section section, section_of(source));
  return service::views_svg(source.any.line->table, section, style_of(source.unit));
}

// One line for each format that can be written: the first of `what` is its usual content.
struct Output {
  std::string_view name;
  std::string_view ending;
  std::vector<std::string_view> what;
  Writer write;
};

const std::vector<Output>& outputs() {
  static const std::vector<Output> kOutputs = {
      {"part", ".toml", {"part"}, write_part},
      {"csv", ".csv", {"bends", "corners"}, write_table},
      {"tsv", ".tsv", {"bends", "corners"}, write_table},
      {"json", ".json", {"bends", "corners"}, write_json},
      {"dxf", ".dxf", {"centreline", "views", "strip"}, write_dxf},
      {"step", ".step", {"views"}, write_step_text},
      {"glb", ".glb", {"views"}, write_gltf},
      {"gltf", ".gltf", {"views"}, write_gltf},
      {"stl", ".stl", {"views"}, write_stl},
      {"svg", ".svg", {"views", "strip"}, write_svg}};
  return kOutputs;
}

std::string names_of_outputs() {
  std::string names;
  for (const Output& output : outputs()) {
    names += (names.empty() ? "" : ", ") + std::string(output.name);
  }
  return names;
}

Result<const Output*> output_of(const ConvertArguments& arguments) {
  const std::string ending = std::filesystem::path(arguments.output).extension().string();
  for (const Output& output : outputs()) {
    if (arguments.to_format.empty() ? output.ending == ending
                                    : output.name == arguments.to_format) {
      return &output;
    }
  }
  return Failure{"convert.format", arguments.output,
                 arguments.to_format.empty()
                     ? fmt::format("nothing is written as \"{}\" files", ending)
                     : fmt::format("\"{}\" is no format written here", arguments.to_format),
                 "one of: " + names_of_outputs()};
}

Result<std::string> what_of(const Output& output, const std::string& wanted) {
  if (wanted.empty()) return std::string(output.what.front());
  if (std::find(output.what.begin(), output.what.end(), wanted) != output.what.end()) return wanted;
  std::string allowed;
  for (const std::string_view what : output.what) {
    allowed += (allowed.empty() ? "" : ", ") + std::string(what);
  }
  return Failure{"convert.what", "--what",
                 fmt::format("{} files do not hold {}", output.name, wanted), "one of: " + allowed};
}

base::Status write_output(const std::string& path, const std::string& bytes, Terminal& terminal) {
  if (path == "-") {
    terminal.out << bytes;
    return base::Done{};
  }
  std::ofstream stream(path, std::ios::binary);
  stream << bytes;
  stream.close();
  if (stream) return base::Done{};
  return Failure{"convert.write", path, "the file cannot be written",
                 "check the folder, its rights and the room on the disk"};
}

// The source's unit, or the one asked for.
base::LengthUnit unit_of(const ConvertArguments& arguments, base::LengthUnit source) {
  if (arguments.plan.units.empty()) return source;
  return arguments.plan.units == "in" ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre;
}

int run_convert(ConvertArguments arguments, Terminal& terminal) {
  const Result<const Output*> output = output_of(arguments);
  if (!output.ok()) return report(terminal, output.failure(), kUsage);
  arguments.to_format = (*output)->name;
  const Result<std::string> what = what_of(**output, arguments.what);
  if (!what.ok()) return report(terminal, what.failure(), kUsage);
  // One option says both: what a source without units is in, and what to write.
  if (!arguments.plan.units.empty()) {
    arguments.plan.input.answers.insert(arguments.plan.input.answers.begin(),
                                        "units=" + arguments.plan.units);
  }
  Result<exchange::KnownMetals> metals = metals_of_shop(arguments.plan.shop);
  if (!metals.ok()) return report(terminal, metals.failure());
  const Result<AnyPart> any = read_input(arguments.plan.input, std::move(metals).value());
  if (!any.ok()) return report(terminal, any.failure());
  if (!any->questions.empty()) return report(terminal, as_failure(any->questions));
  const Source source{*any, arguments, unit_of(arguments, any->unit), *what};
  const Result<std::string> bytes = (*output)->write(source);
  if (!bytes.ok()) return report(terminal, bytes.failure());
  const base::Status written = write_output(arguments.output, *bytes, terminal);
  if (!written.ok()) return report(terminal, written.failure(), kUnwritable);
  // What is written may go to standard output; what was understood goes beside it.
  terminal.err << findings_text(any->line->findings, terminal.colour);
  return part::any_stop(any->line->findings) ? kStopped : kDone;
}

}  // namespace

void add_convert(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("convert", "read any file we read and write any we write");
  command->footer(
      "Examples:\n"
      "  bight convert points.csv rail.toml --radius 50 --size '25 x 1.5' --material 304L\n"
      "  bight convert rail.toml rail.csv --what corners --units in\n"
      "  bight convert rail.dxf rail.csv --answer units=mm\n"
      "  bight convert rail.toml rail.glb\n"
      "  bight convert rail.toml strip.dxf --what strip\n"
      "A file that can be read in two ways is not guessed at: the command ends with 3, the\n"
      "question, and the option that answers it.");
  const auto arguments = std::make_shared<ConvertArguments>();
  add_input_options(*command, arguments->plan.input, "IN");
  command->add_option("OUT", arguments->output, "file to write; - for the terminal")->required();
  command->add_option("--to-format", arguments->to_format,
                      "format to write, when the ending does not say: " + names_of_outputs());
  command->add_option("--what", arguments->what, "bends, corners, centreline, views or strip")
      ->check(CLI::IsMember({"part", "bends", "corners", "centreline", "views", "strip"}));
  command
      ->add_option("--units", arguments->plan.units,
                   "mm or in: of a source that does not say, and of what is written")
      ->check(CLI::IsMember({"mm", "in"}));
  command->add_option("--tolerance", arguments->tolerance,
                      "how far triangles may lie from the true skin (default: 0.05)");
  command->add_option("--shop", arguments->plan.shop, "shop folder, for --what strip");
  command->add_option("--bender", arguments->plan.bender, "bender by name, for --what strip");
  command->add_option("--die", arguments->plan.die, "die set by name, for --what strip");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_convert(*arguments, terminal); };
  });
}

}  // namespace bight::app
