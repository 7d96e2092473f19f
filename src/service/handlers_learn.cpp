// What trial bends teach about a part's bends: model, band, the next trial, the next hit.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "exchange/lessons_json.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Angle;
using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

constexpr std::size_t kMostTrials = 200;
constexpr std::size_t kMostHits = 400;

struct HitMade {
  std::size_t bend = 0;
  learning::AngleTrial angles;
};

// What stands beside the keys of a plan.
struct LearnWish {
  std::vector<workshop::TrialBend> trials;  // not kept; die, bender and heat as said
  std::vector<HitMade> hits;
  learning::HitOptions options;
};

Angle angle_of_bend(exchange::Fields& f, const char* key) {
  const Angle angle = f.need_angle(key);
  if (!(angle > Angle() && angle < Angle::degrees(360)) && f.status().ok()) {
    f.complain(key, "learn.hit", "this is no angle of a bend", "an angle between 0 and 360");
  }
  return angle;
}

void read_trials(exchange::Fields& f, LearnWish& wish) {
  if (f.count("trials") > kMostTrials) {
    f.complain("trials", "key.value", fmt::format("at most {} at a time", kMostTrials), "");
    return;
  }
  for (exchange::Fields& row : f.tables("trials")) {
    workshop::TrialBend trial;
    trial.set_angle = angle_of_bend(row, "set");
    trial.finished_angle = angle_of_bend(row, "finished");
    trial.die = row.text("die").value_or("");
    trial.heat = row.text("heat").value_or("");
    trial.bender = row.text("bender").value_or("");
    trial.date = row.text("date").value_or("");
    trial.who = row.text("who").value_or("");
    row.no_others();
    f.adopt(row);
    wish.trials.push_back(std::move(trial));
  }
}

void read_hits(exchange::Fields& f, LearnWish& wish) {
  if (f.count("hits") > kMostHits) {
    f.complain("hits", "key.value", fmt::format("at most {} at a time", kMostHits), "");
    return;
  }
  for (exchange::Fields& row : f.tables("hits")) {
    const long bend = row.whole("bend").value_or(0);
    if (bend < 1 && row.status().ok()) {
      row.complain("bend", "learn.hit", "which bend was hit is not said", "1 is next to end A");
    }
    const Angle set = angle_of_bend(row, "set");
    const Angle finished = angle_of_bend(row, "finished");
    row.no_others();
    const HitMade* before = nullptr;
    for (const HitMade& made : wish.hits) {
      if (made.bend == static_cast<std::size_t>(bend)) before = &made;
    }
    const bool below = before != nullptr && set < before->angles.set;
    if ((finished > set + Angle::degrees(0.5) || below) && row.status().ok()) {
      row.complain("finished", "learn.hit",
                   "a bend finishes below what was set, and every hit is set above the last",
                   "give set and finished in the order of the hits");
    }
    f.adopt(row);
    wish.hits.push_back({static_cast<std::size_t>(std::max(1L, bend)), {set, finished}});
  }
}

Result<LearnWish> read_wish(const exchange::Document& document) {
  exchange::Fields f(document);
  LearnWish wish;
  read_trials(f, wish);
  read_hits(f, wish);
  const double tolerance_deg = f.number("tolerance_deg").value_or(0.5);
  if (!(tolerance_deg > 0.0 && tolerance_deg <= 20.0)) {
    f.complain("tolerance_deg", "key.value", "this is out of range", "above 0 and up to 20");
  }
  wish.options.tolerance = Angle::degrees(tolerance_deg);
  wish.options.overbend_chance_ratio = f.number("chance").value_or(0.05);
  if (!(wish.options.overbend_chance_ratio >= 0.001 && wish.options.overbend_chance_ratio <= 0.5)) {
    f.complain("chance", "key.value", "this is out of range", "0.001 to 0.5");
  }
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  return wish;
}

// The shop with the trials sent, each taken to be of the part's tube, in its die.
Result<workshop::Shop> with_trials(const planning::Plan& plan, workshop::Shop shop,
                                   const std::vector<workshop::TrialBend>& trials) {
  for (std::size_t i = 0; i < trials.size(); ++i) {
    workshop::TrialBend trial = trials[i];
    if (trial.die.empty() && plan.dies.size() == 1) trial.die = plan.dies.front().die.name;
    const bool used =
        std::any_of(plan.dies.begin(), plan.dies.end(),
                    [&](const planning::UsedDie& one) { return one.die.name == trial.die; });
    if (!used) {
      std::string names;
      for (const planning::UsedDie& one : plan.dies) {
        names += (names.empty() ? "" : ", ") + one.die.name;
      }
      return Failure{"learn.die", fmt::format("trials[{}].die", i),
                     trial.die.empty() ? "the plan takes several dies: which one was it?"
                                       : fmt::format("the plan does not take \"{}\"", trial.die),
                     "one of " + names};
    }
    trial.od_mm = plan.part.section.height_mm();
    trial.wall_mm = plan.part.section.hollow() ? plan.part.section.wall_mm() : 0.5 * trial.od_mm;
    trial.material = plan.part.material.name;
    if (trial.heat.empty()) trial.heat = plan.part.material.heat;
    shop.trials.push_back(std::move(trial));
  }
  return shop;
}

Json hits_json(const planning::Plan& plan, const std::vector<planning::DieLessons>& lessons,
               const LearnWish& wish) {
  Json list = Json::array();
  for (std::size_t bend = 1; bend <= plan.bent_table.num_bends(); ++bend) {
    std::vector<learning::AngleTrial> made;
    for (const HitMade& hit : wish.hits) {
      if (hit.bend == bend) made.push_back(hit.angles);
    }
    const learning::SpringbackModel& model = planning::lessons_for(lessons, bend).known.model();
    const Angle wanted = plan.bent_table.rows()[bend - 1].angle;
    const learning::Hit hit = made.empty() ? learning::first_hit(model, wanted, wish.options)
                                           : learning::next_hit(model, made, wanted, wish.options);
    list.push_back(exchange::hit_json(
        plan, bend, hit, learning::forecast_hits(model, wanted, wish.options), wish.options));
  }
  return list;
}

Result<Reply> answered(Context& context, const Request& request) {
  BIGHT_TRY(const Beside beside,
            keys_beside(request, {"trials", "hits", "tolerance_deg", "chance"}));
  BIGHT_TRY(const LearnWish wish, read_wish(beside.keys));
  std::variant<PlanningRequest, Reply> read = read_planning_request(context, beside.rest);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const PlanningRequest& p = std::get<PlanningRequest>(read);
  BIGHT_TRY(planning::Plan plan, planning::plan(p.wish.part, p.shop->shop, p.wish.options));
  workshop::Shop shop = p.shop->shop;
  if (!wish.trials.empty() && !plan.steps.empty()) {
    // The dies stay, what is known of them changes: planned once more with it.
    BIGHT_TRY(shop, with_trials(plan, shop, wish.trials));
    BIGHT_TRY(plan, planning::plan(p.wish.part, shop, p.wish.options));
  }
  BIGHT_TRY(const std::vector<planning::DieLessons> lessons, planning::lessons_of(plan, shop));
  for (const HitMade& hit : wish.hits) {
    if (hit.bend <= plan.bent_table.num_bends()) continue;
    return Failure{"learn.hit", "hits", fmt::format("the part has no bend {}", hit.bend),
                   fmt::format("1 to {}", plan.bent_table.num_bends())};
  }
  return json_reply({{"lessons", exchange::lessons_json(plan, lessons)},
                     {"hits", hits_json(plan, lessons, wish)}});
}

}  // namespace

void add_learning(Router& router, Context& context) {
  Route route{"POST", "/learn", with(context, answered)};
  route.heavy = true;
  router.add(std::move(route));
}

}  // namespace bight::service
