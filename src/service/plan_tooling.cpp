#include "service/plan_tooling.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "exchange/json_numbers.h"
#include "planning/tooling.h"

namespace bight::service {

using exchange::tidy;
using planning::Plan;
using Json = nlohmann::ordered_json;

namespace {

Json find_bender(const workshop::Shop& shop, const Plan& plan) {
  return plan.bender            ? Json(plan.bender->name)
         : shop.benders.empty() ? Json(nullptr)
                                : Json(shop.benders.front().name);
}

bool uses(const Plan& plan, const std::string& die) {
  return std::any_of(plan.dies.begin(), plan.dies.end(),
                     [&](const planning::UsedDie& used) { return used.die.name == die; });
}

}  // namespace

std::string too_weak(const workshop::Bender& bender, const stock::Section& section) {
  const double size_mm = std::max(section.height_mm(), section.width_mm());
  if (bender.kind == workshop::BenderKind::kThreeRoll) return "it rolls, and has no die";
  if (size_mm > bender.od_max_mm) {
    return fmt::format("it takes tube up to {:.4g} mm, this is {:.4g} mm", bender.od_max_mm,
                       size_mm);
  }
  if (bender.wall_max_mm && section.hollow() && section.wall_mm() > *bender.wall_max_mm) {
    return fmt::format("it takes walls up to {:.4g} mm, this is {:.4g} mm", *bender.wall_max_mm,
                       section.wall_mm());
  }
  const double modulus_mm3 =
      std::max(section.elastic_modulus_mm3(), section.turned().elastic_modulus_mm3());
  if (bender.section_modulus_max_mm3 && modulus_mm3 > *bender.section_modulus_max_mm3) {
    return fmt::format("it is rated for a section modulus of {:.0f} mm³, this has {:.0f} mm³",
                       *bender.section_modulus_max_mm3, modulus_mm3);
  }
  return "";
}

Json tooling_json(const Plan& plan, const workshop::Shop& shop, const base::LengthStyle& style) {
  Json list = Json::array();
  if (shop.benders.empty()) return list;
  const workshop::Bender& bender = plan.bender ? *plan.bender : shop.benders.front();
  for (const planning::DieOpinion& view :
       planning::opinions(shop, bender, plan.part, plan.part.section, style)) {
    const workshop::DieSet& die = shop.die_sets[view.die_index];
    list.push_back(
        {{"die", die.name},
         {"bender", find_bender(shop, plan)},
         {"fits", view.fits},
         {"why", view.why_not},
         {"radius_mm", die.radius_mm},
         {"radius_after_mm", view.fits ? Json(tidy(view.radius_after_release_mm)) : Json(nullptr)},
         {"used", uses(plan, die.name)}});
  }
  return list;
}

Json benders_json(const Plan& plan, const workshop::Shop& shop) {
  Json list = Json::array();
  for (const workshop::Bender& bender : shop.benders) {
    const std::string why = too_weak(bender, plan.part.section);
    list.push_back({{"bender", bender.name},
                    {"fits", why.empty()},
                    {"why", why},
                    {"used", plan.bender && plan.bender->name == bender.name}});
  }
  return list;
}

}  // namespace bight::service
