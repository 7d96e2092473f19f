#include "service/plan_remedies.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "planning/bent_shape.h"
#include "planning/straights.h"
#include "planning/tooling.h"
#include "planning/words.h"
#include "service/line_answer.h"
#include "service/plan_arithmetic.h"
#include "service/plan_tooling.h"

namespace bight::service {

using base::Result;
using planning::Plan;
using Json = nlohmann::ordered_json;

namespace {

std::size_t num_stops(const Plan& plan) {
  return static_cast<std::size_t>(
      std::count_if(plan.findings.begin(), plan.findings.end(),
                    [](const part::Finding& f) { return f.severity == part::Severity::kStop; }));
}

// The document with another bend table, its line written in the form it has.
std::optional<Json> with_table(const Json& document, const part::Part& part,
                               std::vector<geometry::BendRow> rows, double last_mm) {
  const Result<geometry::BendTable> table = geometry::BendTable::make(std::move(rows), last_mm);
  if (!table.ok()) return std::nullopt;
  const bool inch = document.value("units", "mm") == "in";
  const exchange::Line line{*table, part.start, part.radii_are_die, {}};
  Json out = document;
  out.erase("measured");
  out["line"] = bends_line(line, inch ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre);
  const auto typed = document.find("line");
  if (typed == document.end() || !typed->contains("corners")) return out;
  Rewrite wish;
  wish.as_corners = true;
  Result<Json> corners = rewritten(out, wish);
  return corners.ok() ? std::move(corners).value() : out;
}

class Remedies {
 public:
  Remedies(const Plan& plan, const workshop::Shop& shop, const PlanWish& wish, const Json& document)
      : plan_(plan), shop_(shop), wish_(wish), document_(document) {}

  Json all() {
    for (std::size_t i = 0; i < plan_.findings.size(); ++i) mend(i, plan_.findings[i]);
    other_end();
    return std::move(out_);
  }

 private:
  void add(std::size_t finding, const std::string& title) {
    out_.push_back({{"finding", finding}, {"title", title}});
  }

  void mend(std::size_t i, const part::Finding& f) {
    if (f.code == "plan.straight-below-clamp") return lengthen(i, f, true);
    if (f.code == "plan.straight-below-tail") return lengthen(i, f, false);
    const bool shape = f.code == "plan.no-die" || f.code == "plan.radius-differs";
    const bool weak = f.code.starts_with("plan.capacity-") || f.code == "plan.torque";
    const bool named = f.code == "plan.groove" || f.code == "plan.die-not-on-bender" ||
                       f.code == "plan.angle-beyond" || f.code == "order.hit";
    if (weak) other_bender(i, f);
    if (weak || shape || named) let_choose(i, f);
    if (shape) take_radius(i, f);
  }

  // Whether a plan made so is rid of the finding, and has no more stops than this one.
  bool mends(const planning::PlanOptions& options, const part::Finding& f) const {
    const Result<Plan> other = planning::plan(wish_.part, shop_, options);
    if (!other.ok() || num_stops(*other) > num_stops(plan_)) return false;
    return std::none_of(other->findings.begin(), other->findings.end(),
                        [&](const part::Finding& one) { return one.code == f.code; });
  }

  // The straight that the finding names: ahead of the bend for the clamp, else behind it.
  void lengthen(std::size_t i, const part::Finding& f, bool clamp) {
    if (!f.bend || wish_.part.table.num_bends() != plan_.bent_table.num_bends()) return;
    const auto step = std::find_if(plan_.steps.begin(), plan_.steps.end(),
                                   [&](const planning::Step& one) { return one.bend == *f.bend; });
    if (step == plan_.steps.end()) return;
    const planning::Beside beside = planning::straights_beside(
        plan_.bent_table, arcs_mm(plan_),
        plan_.order.bends)[static_cast<std::size_t>(step - plan_.steps.begin())];
    const std::size_t index = clamp ? beside.ahead.first : beside.behind.last;
    // To the next tenth, so that the clamp finds room enough.
    const double more_mm = std::ceil(f.numbers.at("missing_mm") * 10.0 - 1e-6) / 10.0;
    std::vector<geometry::BendRow> rows = wish_.part.table.rows();
    double last_mm = wish_.part.table.last_straight_mm();
    (index < rows.size() ? rows[index].straight_mm : last_mm) += more_mm;
    const std::optional<Json> part = with_table(document_, wish_.part, std::move(rows), last_mm);
    if (!part) return;
    add(i, fmt::format("lengthen straight {} by {}", index + 1,
                       planning::say(more_mm, wish_.options.style)));
    out_.back()["part"] = *part;
  }

  // The die set that takes the tube and comes nearest to the drawn radius.
  void take_radius(std::size_t i, const part::Finding& f) {
    if (shop_.benders.empty() || !f.bend) return;
    const workshop::Bender& bender = plan_.bender ? *plan_.bender : shop_.benders.front();
    const std::size_t bend = *f.bend - 1;
    if (bend >= wish_.part.table.num_bends()) return;
    const double drawn_mm = wish_.part.table.rows()[bend].radius_mm;
    const planning::DieOpinion* best = nullptr;
    const std::vector<planning::DieOpinion> views = planning::opinions(
        shop_, bender, wish_.part, part::section_at(wish_.part, bend), wish_.options.style);
    const auto radius_of = [&](const planning::DieOpinion& view) {
      return wish_.part.radii_are_die ? shop_.die_sets[view.die_index].radius_mm
                                      : view.radius_after_release_mm;
    };
    for (const planning::DieOpinion& view : views) {
      if (!view.fits) continue;
      if (best == nullptr ||
          std::abs(radius_of(view) - drawn_mm) < std::abs(radius_of(*best) - drawn_mm)) {
        best = &view;
      }
    }
    if (best == nullptr) return;
    const double radius_mm = std::round(radius_of(*best) * 10.0) / 10.0;
    std::vector<geometry::BendRow> rows = wish_.part.table.rows();
    for (geometry::BendRow& row : rows) {
      if (row.radius_mm == drawn_mm) row.radius_mm = radius_mm;
    }
    // Corners stay where they are: the straights give way.
    std::vector<double> radii_mm;
    for (const geometry::BendRow& row : rows) radii_mm.push_back(row.radius_mm);
    const geometry::BendTable held = planning::with_radii(wish_.part.table, radii_mm);
    const std::optional<Json> part =
        with_table(document_, wish_.part, held.rows(), held.last_straight_mm());
    if (!part) return;
    add(i,
        fmt::format("draw it with the {} of die {}", planning::say(radius_mm, wish_.options.style),
                    shop_.die_sets[best->die_index].name));
    out_.back()["part"] = *part;
  }

  // With the die set asked for where it goes on the other bender, else with one that does.
  void other_bender(std::size_t i, const part::Finding& f) {
    for (const workshop::Bender& bender : shop_.benders) {
      if (plan_.bender && bender.name == plan_.bender->name) continue;
      if (!too_weak(bender, wish_.part.section).empty()) continue;
      planning::PlanOptions options = wish_.options;
      options.wish.bender = bender.name;
      const bool same_die = mends(options, f);
      options.wish.die.clear();
      if (!same_die && (wish_.options.wish.die.empty() || !mends(options, f))) continue;
      add(i, fmt::format("use bender {}{}", bender.name,
                         same_die ? "" : " and the die set that fits"));
      out_.back()["wish"] = {{"bender", bender.name}};
      if (!same_die) out_.back()["wish"]["die"] = "";
      return;
    }
  }

  // Where the bender or die set asked for is in the way: the planner's own choice.
  void let_choose(std::size_t i, const part::Finding& f) {
    if (!wish_.die_named) return;
    planning::PlanOptions options = wish_.options;
    options.wish = {};
    if (!mends(options, f)) return;
    add(i, "let bender and die set be chosen");
    out_.back()["wish"] = {{"die", ""}, {"bender", ""}};
  }

  // Starting from the other end costs nothing: worth a look wherever a plan is stopped.
  void other_end() {
    const std::size_t stops = num_stops(plan_);
    if (stops == 0 || plan_.steps.size() < 2) return;
    planning::PlanOptions options = wish_.options;
    const bool from_a = plan_.from == planning::End::kA;
    options.from = from_a ? planning::End::kB : planning::End::kA;
    const Result<Plan> other = planning::plan(wish_.part, shop_, options);
    if (!other.ok() || num_stops(*other) >= stops) return;
    for (std::size_t i = 0; i < plan_.findings.size(); ++i) {
      if (plan_.findings[i].severity != part::Severity::kStop) continue;
      add(i, fmt::format("start from end {}", from_a ? "B" : "A"));
      out_.back()["wish"] = {{"from", from_a ? "B" : "A"}};
      return;
    }
  }

  const Plan& plan_;
  const workshop::Shop& shop_;
  const PlanWish& wish_;
  const Json& document_;
  Json out_ = Json::array();
};

}  // namespace

Json remedies_json(const Plan& plan, const workshop::Shop& shop, const PlanWish& wish,
                   const Json& document) {
  return Remedies(plan, shop, wish, document).all();
}

}  // namespace bight::service
