#include "exchange/rack.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "exchange/plan_json.h"

namespace bight::exchange {

using base::Result;
using nlohmann::ordered_json;

namespace {

constexpr double kSameSize_mm = 0.02;  // a size in inches and its rounded millimetres are one
constexpr long kMostInRack = 10'000;

bool near(double a_mm, double b_mm) { return std::abs(a_mm - b_mm) <= kSameSize_mm; }

}  // namespace

Result<RackTube> read_rack_tube(const Document& document) {
  Fields f(document);
  BIGHT_TRY(const base::Done done, read_rules(f, "shop.schema"));
  static_cast<void>(done);
  return read_rack_tube(f);
}

Result<RackTube> read_rack_tube(Fields& f) {
  const std::optional<double> length_mm = f.length_mm("length");
  const std::optional<long> sticks = f.whole("pieces");
  std::string place = f.text("place").value_or("");
  f.text("note");
  if (length_mm && !(*length_mm > 0.0)) {
    f.complain("length", "shop.value", "a length lies above zero", "6000 mm, 20 ft");
  }
  if (sticks && (*sticks < 0 || *sticks > kMostInRack)) {
    f.complain("pieces", "shop.value", "pieces in the rack are 0 to 10000", "how many lie there");
  }
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  BIGHT_TRY(Tube tube, read_tube(f));  // which knows what has been asked for here
  return RackTube{std::move(tube), length_mm, static_cast<int>(sticks.value_or(1)),
                  std::move(place)};
}

Result<std::vector<RackTube>> read_rack(const std::string& text, const std::string& file,
                                        KnownMetals metals) {
  std::vector<RackTube> rack;
  if (text.empty()) return rack;
  BIGHT_TRY(Document document, parse_toml(text, file));
  document.metals = std::move(metals);
  Fields top(document);
  BIGHT_TRY(const base::Done done, read_rules(top, "shop.schema"));
  static_cast<void>(done);
  for (Fields& f : top.tables("tube")) {
    BIGHT_TRY(RackTube tube, read_rack_tube(f));
    rack.push_back(std::move(tube));
  }
  top.no_others();
  BIGHT_TRY(const base::Done read, top.status());
  static_cast<void>(read);
  return rack;
}

bool same_stock(const Tube& a, const Tube& b) {
  using stock::Section;
  const Section& s = a.section;
  const Section& t = b.section;
  if (s.kind() != t.kind() || a.material.name != b.material.name) return false;
  if (s.hollow() && !near(s.wall_mm(), t.wall_mm())) return false;
  const auto small_mm = [](const Section& one) {
    return std::min(one.height_mm(), one.width_mm());
  };
  const auto large_mm = [](const Section& one) {
    return std::max(one.height_mm(), one.width_mm());
  };
  return near(small_mm(s), small_mm(t)) && near(large_mm(s), large_mm(t));
}

ordered_json sticks_json(const planning::SticksRequest& request, const planning::SticksPlan& plan) {
  ordered_json rack = ordered_json::array();
  for (const planning::StickUse& use : plan.from_rack) {
    const planning::RackSticks& here = request.rack[use.rack];
    rack.push_back({{"heat", here.heat},
                    {"length_mm", here.length_mm},
                    {"sticks", here.sticks},
                    {"per_stick", use.per_stick},
                    {"rest_mm", use.rest_mm},
                    {"taken", use.taken},
                    {"pieces", use.pieces}});
  }
  ordered_json findings = ordered_json::array();
  for (const part::Finding& finding : plan.findings) findings.push_back(finding_json(finding));
  return {{"cut_mm", request.cut_mm},
          {"pieces", request.pieces},
          {"spare", request.spare},
          {"kerf_mm", request.kerf_mm},
          {"stick_mm", request.stick_mm},
          {"per_stick", plan.per_stick},
          {"rest_mm", plan.rest_mm},
          {"to_buy", plan.to_buy},
          {"to_buy_mm", plan.to_buy * request.stick_mm},
          {"missing", plan.missing},
          {"last_rest_mm", plan.last_rest_mm},
          {"over_mm", plan.over_mm ? ordered_json(*plan.over_mm) : ordered_json(nullptr)},
          {"rack", std::move(rack)},
          {"findings", std::move(findings)}};
}

}  // namespace bight::exchange
