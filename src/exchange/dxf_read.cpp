#include "exchange/dxf_read.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/typed_text.h"
#include "exchange/dxf_groups.h"
#include "exchange/dxf_line.h"
#include "exchange/table_text.h"

namespace bight::exchange {

using base::Failure;
using base::Result;
using geometry::Vec3;

namespace {

struct DxfUnit {
  double mm_ratio;
  const char* word;
  base::LengthUnit nearest;
};

// $INSUNITS (DXF reference, header variables), those a drawing of tube can be in.
std::optional<DxfUnit> unit_of(int code) {
  switch (code) {
    case 1:
      return DxfUnit{25.4, "inches", base::LengthUnit::kInch};
    case 2:
      return DxfUnit{304.8, "feet", base::LengthUnit::kInch};
    case 4:
      return DxfUnit{1.0, "millimetres", base::LengthUnit::kMillimetre};
    case 5:
      return DxfUnit{10.0, "centimetres", base::LengthUnit::kMillimetre};
    case 6:
      return DxfUnit{1000.0, "metres", base::LengthUnit::kMillimetre};
    case 14:
      return DxfUnit{100.0, "decimetres", base::LengthUnit::kMillimetre};
    default:
      return std::nullopt;
  }
}

Result<std::optional<DxfUnit>> settle_unit(const DxfDrawing& drawing, const std::string& file,
                                           Asking& asking) {
  if (drawing.unit_code.value_or(0) != 0) {
    if (const auto unit = unit_of(*drawing.unit_code)) return unit;
    return Failure{"dxf.unit", file,
                   fmt::format("the drawing's unit, number {}, is none tubes are drawn in",
                               *drawing.unit_code),
                   "save it in millimetres or inches"};
  }
  const std::optional<std::string> answer =
      asking.answer({"ask.units",
                     "Is the drawing in millimetres or inches? It does not say.",
                     file,
                     {{"mm", "millimetres"}, {"in", "inches"}},
                     ""});
  if (!answer) return std::optional<DxfUnit>();
  return unit_of(*answer == "in" ? 1 : 4);
}

void scale(std::vector<DxfCurve>& curves, double mm_ratio) {
  for (DxfCurve& curve : curves) {
    for (DxfPiece& piece : curve.pieces) {
      piece.start *= mm_ratio;
      piece.end *= mm_ratio;
      piece.centre *= mm_ratio;
    }
  }
}

// Lengths and centres beyond this are no drawing of a tube, wherever its origin lies.
constexpr double kFurthest_mm = 1e9;

base::Status in_range(const std::vector<DxfCurve>& curves, const std::string& file) {
  const auto near = [](const Vec3& p_mm) {
    return p_mm.allFinite() && p_mm.cwiseAbs().maxCoeff() <= kFurthest_mm;
  };
  for (const DxfCurve& curve : curves) {
    for (const DxfPiece& piece : curve.pieces) {
      const bool arc_ok = !piece.arc || (near(piece.centre) && piece.radius() > 0.0 &&
                                         std::abs(piece.nhat_axis.norm() - 1.0) < 1e-6);
      if (near(piece.start) && near(piece.end) && arc_ok) continue;
      return Failure{"dxf.range", file,
                     fmt::format("a line or arc on layer {} lies further off than any drawing",
                                 base::as_typed(curve.layer)),
                     "check the unit; draw near the origin"};
    }
  }
  return base::Done{};
}

std::string list_of(const std::map<std::string, int>& counts) {
  constexpr std::size_t kMostListed = 20;
  std::string text;
  std::size_t listed = 0;
  for (const auto& [type, count] : counts) {
    if (listed++ == kMostListed) return text + " and others";
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count, type);
  }
  return text;
}

std::string chain_text(const DxfChain& chain) {
  const auto arcs = std::count_if(chain.pieces.begin(), chain.pieces.end(),
                                  [](const DxfPiece& piece) { return piece.arc; });
  const Vec3& at = chain.pieces.front().start;
  return fmt::format("{} lines and {} arcs, {:.1f} mm long, from ({:.6g}, {:.6g}, {:.6g})",
                     chain.pieces.size() - static_cast<std::size_t>(arcs), arcs, chain.length_mm,
                     at.x(), at.y(), at.z());
}

// A layer whose name says centreline in one of our languages, or its usual short forms.
bool named_centreline(const std::string& layer) {
  const std::string name = " " + folded(layer) + " ";
  for (const char* word :
       {"centreline", "centerline", "centre line", "center line", " cl ", " center ", " centre ",
        "mittellinie", "achse", " axe ", " axis ", " eje ", " asse ", "hartlijn", " os ",
        "linia srodkowa", "ligne moyenne", "linea media"}) {
    if (name.find(word) != std::string::npos) return true;
  }
  return false;
}

using Chains = std::vector<const DxfChain*>;

std::vector<std::string> layers_of(const Chains& chains) {
  std::vector<std::string> layers;
  std::set<std::string> known;
  for (const DxfChain* chain : chains) {
    if (known.insert(chain->layer).second) layers.push_back(chain->layer);
  }
  return layers;
}

Chains on_layer(const Chains& chains, const std::string& layer) {
  Chains own;
  std::copy_if(chains.begin(), chains.end(), std::back_inserter(own),
               [&](const DxfChain* chain) { return chain->layer == layer; });
  return own;
}

// Open chains that could be a centreline: those that bend, or straight ones where none does.
Chains candidates(const std::vector<DxfChain>& chains) {
  Chains bending, open;
  for (const DxfChain& chain : chains) {
    if (chain.shape != DxfChain::Shape::kOpen) continue;
    open.push_back(&chain);
    if (chain.bends() || chain.pieces.front().arc) bending.push_back(&chain);
  }
  return bending.empty() ? open : bending;
}

Failure nothing_open(const std::vector<DxfChain>& chains, const DxfDrawing& drawing,
                     const std::string& file) {
  if (chains.empty()) {
    return {"dxf.none", file,
            drawing.passed_over.empty() ? "the drawing holds no lines or arcs"
                                        : fmt::format("the drawing holds no lines or arcs, only {}",
                                                      list_of(drawing.passed_over)),
            "draw the centreline with lines, arcs or polylines"};
  }
  const bool branched = std::any_of(chains.begin(), chains.end(), [](const DxfChain& chain) {
    return chain.shape == DxfChain::Shape::kBranched;
  });
  if (branched) {
    return {"dxf.branched", file,
            "lines meet three at a point, so none is the centreline of a tube",
            "put the centreline on a layer of its own and name it with --layer"};
  }
  return {"dxf.closed", file, "all lines are closed outlines; a tube has two ends",
          "draw the centreline open, broken where the tube is joined"};
}

struct Chosen {
  const DxfChain* chain = nullptr;  // none: a question is open
  std::string why;
};

std::optional<Chains> settle_layer(const Chains& open, const LineOptions& options,
                                   const std::string& file, Asking& asking, std::string& why) {
  const std::vector<std::string> layers = layers_of(open);
  if (!options.answers.contains("layer")) {
    if (layers.size() == 1) {
      why = "the only one with an open line";
      return open;
    }
    std::vector<std::string> named;
    std::copy_if(layers.begin(), layers.end(), std::back_inserter(named), named_centreline);
    if (named.size() == 1) {
      why = "by its name";
      return on_layer(open, named.front());
    }
  }
  Question question{
      "ask.layer",
      fmt::format("Which layer holds the centreline? {} layers have open lines.", layers.size()),
      file,
      {},
      ""};
  constexpr std::size_t kMostListed = 40;
  if (layers.size() > kMostListed) question.form = "the name of a layer";
  for (const std::string& layer : layers) {
    if (layers.size() > kMostListed) break;
    const Chains own = on_layer(open, layer);
    question.choices.push_back({layer, own.size() == 1
                                           ? chain_text(*own.front())
                                           : fmt::format("{} separate lines", own.size())});
  }
  const std::optional<std::string> answer = asking.answer(std::move(question));
  if (!answer) return std::nullopt;
  why = "as asked for";
  return on_layer(open, *answer);
}

Chosen choose(const std::vector<DxfChain>& chains, const Chains& open, const LineOptions& options,
              const std::string& file, Asking& asking) {
  Chosen chosen;
  const std::optional<Chains> own = settle_layer(open, options, file, asking, chosen.why);
  if (!own || own->empty()) return chosen;
  if (own->size() == 1) {
    chosen.chain = own->front();
    return chosen;
  }
  const double gap_mm = smallest_gap_mm(chains, own->front()->layer);
  Question question{
      "ask.chain",
      fmt::format("Which of the {} separate lines on layer {} is the centreline?", own->size(),
                  own->front()->layer) +
          (gap_mm > 0.0 ? fmt::format(" Two of them stop {:.3f} mm apart: --join {:.2g} makes them "
                                      "one.",
                                      gap_mm, gap_mm * 1.5)
                        : ""),
      file,
      {},
      ""};
  constexpr std::size_t kMostListed = 40;
  for (std::size_t i = 0; i < own->size(); ++i) {
    if (own->size() <= kMostListed) {
      question.choices.push_back({std::to_string(i + 1), chain_text(*(*own)[i])});
    }
  }
  if (own->size() > kMostListed) question.form = fmt::format("a number from 1 to {}", own->size());
  const std::optional<std::string> answer = asking.answer(std::move(question));
  if (!answer) return chosen;
  const Result<std::int64_t> number = base::parse_whole_number(*answer);
  if (number.ok() && *number >= 1 && *number <= static_cast<std::int64_t>(own->size())) {
    chosen.chain = (*own)[static_cast<std::size_t>(*number - 1)];
  }
  return chosen;
}

void add_notes(const DxfDrawing& drawing, const DxfUnit& unit, const Chosen& chosen,
               std::size_t num_doubled, Line& line) {
  const Vec3& a_mm = line.start.origin_mm;
  line.findings.push_back(understood(
      "dxf.read",
      fmt::format("Read layer {} ({}) in {}; the line starts at ({:.6g}, {:.6g}, {:.6g}) mm.",
                  base::as_typed(chosen.chain->layer), chosen.why, unit.word, a_mm.x(), a_mm.y(),
                  a_mm.z())));
  if (num_doubled > 0) {
    line.findings.push_back(
        understood("dxf.doubled", fmt::format("{} lines are drawn twice.", num_doubled)));
  }
  if (!drawing.passed_over.empty()) {
    line.findings.push_back(understood(
        "dxf.passed-over", fmt::format("Passed over: {}.", list_of(drawing.passed_over))));
  }
  if (!drawing.complete) {
    part::Finding cut =
        understood("dxf.unfinished", "The drawing has no end mark; the rest may be missing.");
    cut.severity = part::Severity::kCaution;
    cut.remedy = "copy or export it again";
    line.findings.push_back(std::move(cut));
  }
}

}  // namespace

bool looks_like_dxf(std::string_view bytes) {
  if (bytes.substr(0, 22).ends_with(std::string_view("Binary DXF\r\n\x1a\0", 14))) return true;
  // Group 0 or a comment (999) first, within the first lines.
  const std::string_view start = bytes.substr(0, 2000);
  const std::size_t code = start.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
  if (code == std::string_view::npos) return false;
  const bool group = start.substr(code, 3) == "999" || start.substr(code, 1) == "0";
  return group && start.find("SECTION") != std::string_view::npos;
}

Result<LineReading> read_dxf(std::string_view bytes, const std::string& file,
                             const LineOptions& options) {
  BIGHT_TRY(DxfDrawing drawing, read_dxf_drawing(bytes, file));
  Asking asking(options.answers);
  LineReading reading;
  BIGHT_TRY(const std::optional<DxfUnit> unit, settle_unit(drawing, file, asking));
  BIGHT_TRY([[maybe_unused]] const base::Done units_known, asking.status());
  // What is drawn can be looked at in any unit; lengths in the questions would be wrong, though.
  if (!unit) {
    reading.questions = asking.open();
    return reading;
  }
  reading.unit = unit->nearest;
  scale(drawing.curves, unit->mm_ratio);
  BIGHT_TRY([[maybe_unused]] const base::Done near, in_range(drawing.curves, file));
  const DxfChains joined = join_curves(drawing.curves, options.join_mm);
  const Chains open = candidates(joined.chains);
  if (open.empty()) return nothing_open(joined.chains, drawing, file);
  const Chosen chosen = choose(joined.chains, open, options, file, asking);
  BIGHT_TRY([[maybe_unused]] const base::Done chain_known, asking.status());
  if (chosen.chain == nullptr) {
    reading.questions = asking.open();
    if (!reading.questions.empty()) return reading;
    return Failure{"ask.choice", file, "there is no layer of that name or line of that number",
                   "take one that the question lists"};
  }
  BIGHT_TRY(std::optional<Line> line, line_of_chain(*chosen.chain, file, asking));
  BIGHT_TRY([[maybe_unused]] const base::Done radius_known, asking.status());
  if (!line) {
    reading.questions = asking.open();
    return reading;
  }
  add_notes(drawing, *unit, chosen, joined.num_doubled, *line);
  reading.line = std::move(line);
  return reading;
}

}  // namespace bight::exchange
