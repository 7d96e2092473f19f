#include "planning/tooling.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planning/words.h"

namespace bight::planning {

using part::Finding;
using part::Severity;
using workshop::Bender;
using workshop::DieSet;
using workshop::Shop;

namespace {

std::string groove_text(const workshop::Groove& groove, const base::LengthStyle& style) {
  return groove.round ? say(groove.height_mm, style)
                      : say(groove.height_mm, style) + " x " + say(groove.width_mm, style);
}

// Why a tube does not sit in a groove; empty when it does.
std::string misfit(const stock::Section& section, const DieSet& die, double slack_mm,
                   const base::LengthStyle& style) {
  const std::string groove = groove_text(die.groove, style);
  switch (workshop::fit(section, die.groove, slack_mm)) {
    case workshop::Fit::kFits:
      return "";
    case workshop::Fit::kTubeTooLarge:
      return fmt::format("the tube of {} is too large for its groove of {}",
                         say(section.height_mm(), style), groove);
    case workshop::Fit::kTubeTooSmall:
      return fmt::format("the tube of {} is loose in its groove of {} and would kink",
                         say(section.height_mm(), style), groove);
    case workshop::Fit::kWrongShape:
      return fmt::format("its groove is for {} stock", die.groove.round ? "round" : "square");
  }
  return "";
}

struct Bid {
  std::vector<std::size_t> die_of_bend;  // into shop.die_sets; npos where none
  std::size_t num_missing = 0;
  double worst_off_ratio = 0.0;
};

constexpr std::size_t kNone = static_cast<std::size_t>(-1);

double wanted_mm(const geometry::BendRow& row) { return row.radius_mm; }

// Distance of a die from a bend's wanted radius, as a share of it.
double off_ratio(const part::Part& part, const geometry::BendRow& row, const DieSet& die,
                 double radius_after_mm) {
  const double radius_mm = part.radii_are_die ? die.radius_mm : radius_after_mm;
  return std::abs(radius_mm / wanted_mm(row) - 1.0);
}

// The die sets' opinions of the tube as it stands in each bend, worked out once for each way.
class Views {
 public:
  Views(const part::Part& part, const Shop& shop, const Bender& bender,
        const base::LengthStyle& style)
      : part_(part), upright_(opinions(shop, bender, part, part.section, style)) {
    for (std::size_t bend = 0; bend < part.table.num_bends() && turned_.empty(); ++bend) {
      if (part::section_at(part, bend) == part.section) continue;
      turned_ = opinions(shop, bender, part, part.section.turned(), style);
    }
  }

  const std::vector<DieOpinion>& of_bend(std::size_t bend) const {
    return part::section_at(part_, bend) == part_.section ? upright_ : turned_;
  }

 private:
  const part::Part& part_;
  std::vector<DieOpinion> upright_;
  std::vector<DieOpinion> turned_;
};

// The best this bender can do for every bend.
Bid bid(const part::Part& part, const Shop& shop, const Views& all_views) {
  Bid answer;
  for (std::size_t bend = 0; bend < part.table.num_bends(); ++bend) {
    const geometry::BendRow& row = part.table.rows()[bend];
    const std::vector<DieOpinion>& views = all_views.of_bend(bend);
    std::size_t best = kNone;
    double best_off_ratio = kRadiusFurthest_ratio;
    for (const DieOpinion& view : views) {
      if (!view.fits) continue;
      const DieSet& die = shop.die_sets[view.die_index];
      const double off = off_ratio(part, row, die, view.radius_after_release_mm);
      // A die whose own angle limit is passed serves only when no other does.
      const bool reaches = !die.angle_max || row.angle <= *die.angle_max;
      if (off < best_off_ratio && reaches) {
        best = view.die_index;
        best_off_ratio = off;
      }
    }
    answer.die_of_bend.push_back(best);
    if (best == kNone) {
      ++answer.num_missing;
    } else {
      answer.worst_off_ratio = std::max(answer.worst_off_ratio, best_off_ratio);
    }
  }
  return answer;
}

// The bender's own limits against the tube; stop findings where it is too weak.
std::vector<Finding> capacity_findings(const part::Part& part, const Bender& bender,
                                       const base::LengthStyle& style) {
  std::vector<Finding> findings;
  const std::string source = "the shop's data of bender " + bender.name;
  const double size_mm = std::max(part.section.height_mm(), part.section.width_mm());
  if (size_mm > bender.od_max_mm) {
    findings.push_back({Severity::kStop,
                        "plan.capacity-size",
                        std::nullopt,
                        fmt::format("bender {} takes tube up to {}, this is {}", bender.name,
                                    say(bender.od_max_mm, style), say(size_mm, style)),
                        "another bender",
                        source,
                        {{"size_mm", size_mm}, {"limit_mm", bender.od_max_mm}}});
  }
  if (bender.wall_max_mm && part.section.hollow() && part.section.wall_mm() > *bender.wall_max_mm) {
    findings.push_back(
        {Severity::kStop,
         "plan.capacity-wall",
         std::nullopt,
         fmt::format("bender {} takes walls up to {}, this is {}", bender.name,
                     say(*bender.wall_max_mm, style), say(part.section.wall_mm(), style)),
         "another bender or a thinner wall",
         source,
         {{"wall_mm", part.section.wall_mm()}, {"limit_mm", *bender.wall_max_mm}}});
  }
  const double modulus_mm3 =
      std::max(part.section.elastic_modulus_mm3(), part.section.turned().elastic_modulus_mm3());
  if (bender.section_modulus_max_mm3 && modulus_mm3 > *bender.section_modulus_max_mm3) {
    findings.push_back(
        {Severity::kStop,
         "plan.capacity-modulus",
         std::nullopt,
         fmt::format("bender {} is rated for a section modulus of {:.0f} mm³, this has {:.0f} mm³",
                     bender.name, *bender.section_modulus_max_mm3, modulus_mm3),
         "another bender or a lighter section",
         source,
         {{"modulus_mm3", modulus_mm3}, {"limit_mm3", *bender.section_modulus_max_mm3}}});
  }
  return findings;
}

std::vector<std::string> names(const std::vector<Bender>& benders) {
  std::vector<std::string> out;
  for (const Bender& b : benders) out.push_back(b.name);
  return out;
}

std::vector<std::string> names(const std::vector<DieSet>& dies) {
  std::vector<std::string> out;
  for (const DieSet& d : dies) out.push_back(d.name);
  return out;
}

template <typename Item>
base::Result<std::size_t> named(const std::vector<Item>& items, const std::string& name,
                                const char* code, const char* kind) {
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (items[i].name == name) return i;
  }
  return base::Failure{code, name, fmt::format("the shop has no {} called \"{}\"", kind, name),
                       fmt::format("one of: {}", fmt::join(names(items), ", "))};
}

// Says for each bend without a die which one comes nearest.
Finding no_die(const part::Part& part, const Shop& shop, std::size_t bend,
               const std::vector<DieOpinion>& views, const base::LengthStyle& style) {
  const geometry::BendRow& row = part.table.rows()[bend];
  std::string nearest;
  double nearest_off_ratio = 1e9;
  std::string reasons;
  for (const DieOpinion& view : views) {
    const DieSet& die = shop.die_sets[view.die_index];
    if (!view.fits) {
      if (std::abs(die.radius_mm / wanted_mm(row) - 1.0) < kRadiusFurthest_ratio) {
        reasons += fmt::format("; die {}: {}", die.name, view.why_not);
      }
      continue;
    }
    const double off = off_ratio(part, row, die, view.radius_after_release_mm);
    if (off < nearest_off_ratio) {
      nearest_off_ratio = off;
      nearest = fmt::format("die {} would give a radius of {}", die.name,
                            say(view.radius_after_release_mm, style));
    }
  }
  Finding finding{Severity::kStop,
                  "plan.no-die",
                  bend + 1,
                  fmt::format("no die set bends {} to a radius of {}{}", part.section.text(),
                              say(row.radius_mm, style), reasons),
                  nearest.empty() ? "get a die set for this size, or change the tube" : nearest,
                  "the shop's die sets",
                  {{"radius_mm", row.radius_mm}, {"size_mm", part.section.height_mm()}}};
  return finding;
}

// Takes the chosen shop dies into the choice, each once, in order of first use from end A.
base::Status take(ToolingChoice& choice, const part::Part& part, const Shop& shop,
                  const std::vector<std::size_t>& shop_die_of_bend) {
  std::vector<std::size_t> taken;
  for (std::size_t bend = 0; bend < shop_die_of_bend.size(); ++bend) {
    const std::size_t shop_index = shop_die_of_bend[bend];
    const auto at = std::find(taken.begin(), taken.end(), shop_index);
    choice.die_of_bend.push_back(static_cast<std::size_t>(at - taken.begin()));
    if (at != taken.end()) continue;
    taken.push_back(shop_index);
    const DieSet& die = shop.die_sets[shop_index];
    BIGHT_TRY(KnownSpringback known, KnownSpringback::make(shop, die, part.section, part.material));
    choice.dies.push_back({die, known.law(), known.radius_after_release_mm(die.radius_mm)});
    choice.known.push_back(std::move(known));
  }
  return base::Done{};
}

// What to say about each die that was taken.
void review(ToolingChoice& choice, const part::Part& part, const Shop& shop,
            const base::LengthStyle& style) {
  for (std::size_t bend = 0; bend < part.table.num_bends(); ++bend) {
    const UsedDie& used = choice.dies[choice.die_of_bend[bend]];
    const geometry::BendRow& row = part.table.rows()[bend];
    const std::string why =
        misfit(part::section_at(part, bend), used.die, shop.groove_slack_mm, style);
    if (!why.empty()) {
      choice.findings.push_back(
          {Severity::kStop,
           "plan.groove",
           bend + 1,
           fmt::format("die {}: {}", used.die.name, why),
           "a die set with a groove of the tube's real size",
           "the shop's die sets",
           {{"size_mm", part.section.height_mm()}, {"groove_mm", used.die.groove.height_mm}}});
    }
    const double off = off_ratio(part, row, used.die, used.radius_after_release_mm);
    if (off > kRadiusQuiet_ratio) {
      choice.findings.push_back(
          {off > kRadiusFurthest_ratio ? Severity::kStop : Severity::kCaution,
           "plan.radius-differs",
           bend + 1,
           fmt::format("the drawing wants a radius of {}, die {} gives {} after release",
                       say(row.radius_mm, style), used.die.name,
                       say(used.radius_after_release_mm, style)),
           "agree the radius with the customer, or another die; corners stay where they are drawn",
           "the shop's die sets",
           {{"wanted_mm", row.radius_mm}, {"gives_mm", used.radius_after_release_mm}}});
    }
    const base::Angle most = used.die.angle_max.value_or(choice.bender->angle_max);
    if (row.angle > std::min(most, choice.bender->angle_max)) {
      choice.findings.push_back({Severity::kStop,
                                 "plan.angle-beyond",
                                 bend + 1,
                                 fmt::format("{} is more than bender {} with die {} can turn ({})",
                                             say(row.angle), choice.bender->name, used.die.name,
                                             say(std::min(most, choice.bender->angle_max))),
                                 "make it as two bends that meet, or another die",
                                 "the shop's data",
                                 {{"angle_deg", row.angle.deg()}}});
    }
  }
}

}  // namespace

std::vector<DieOpinion> opinions(const Shop& shop, const Bender& bender, const part::Part& part,
                                 const stock::Section& section, const base::LengthStyle& style) {
  std::vector<DieOpinion> views;
  for (std::size_t i = 0; i < shop.die_sets.size(); ++i) {
    const DieSet& die = shop.die_sets[i];
    DieOpinion view{i, false, "", 0.0};
    view.why_not = misfit(section, die, shop.groove_slack_mm, style);
    if (view.why_not.empty() && !workshop::fits_bender(die, bender)) {
      view.why_not = "it does not go on bender " + bender.name;
    }
    if (view.why_not.empty()) {
      const base::Result<KnownSpringback> known =
          KnownSpringback::make(shop, die, section, part.material);
      if (known.ok()) {
        view.fits = true;
        view.radius_after_release_mm = known->radius_after_release_mm(die.radius_mm);
      } else {
        view.why_not = known.failure().message;
      }
    }
    views.push_back(std::move(view));
  }
  return views;
}

base::Result<ToolingChoice> choose_tooling(const part::Part& part, const Shop& shop,
                                           const ToolingWish& wish,
                                           const base::LengthStyle& style) {
  ToolingChoice choice;
  std::size_t wished_die = kNone;
  if (!wish.die.empty()) {
    BIGHT_TRY(wished_die, named(shop.die_sets, wish.die, "plan.unknown-die", "die set"));
  }
  std::vector<std::size_t> candidates;
  if (!wish.bender.empty()) {
    BIGHT_TRY(const std::size_t index,
              named(shop.benders, wish.bender, "plan.unknown-bender", "bender"));
    candidates.push_back(index);
  } else {
    for (std::size_t i = 0; i < shop.benders.size(); ++i) {
      if (shop.benders[i].kind != workshop::BenderKind::kThreeRoll) candidates.push_back(i);
    }
  }
  // Strong enough and all bends served; else all served; else fewest bends missing.
  std::size_t best = kNone;
  Bid best_bid;
  bool best_strong = false;
  for (const std::size_t index : candidates) {
    const Bender& bender = shop.benders[index];
    Bid offer = bid(part, shop, Views(part, shop, bender, style));
    if (wished_die != kNone) {
      const bool goes = workshop::fits_bender(shop.die_sets[wished_die], bender);
      offer = {std::vector<std::size_t>(part.table.num_bends(), wished_die), goes ? 0u : 1u, 0.0};
    }
    const bool strong = capacity_findings(part, bender, style).empty();
    const bool better = best == kNone || offer.num_missing < best_bid.num_missing ||
                        (offer.num_missing == best_bid.num_missing && strong && !best_strong);
    if (better) {
      best = index;
      best_bid = std::move(offer);
      best_strong = strong;
    }
  }
  if (best == kNone) {
    choice.findings.push_back({Severity::kStop,
                               "plan.no-bender",
                               std::nullopt,
                               "the shop has no bender for this part",
                               "add a bender to the shop",
                               "the shop's benders",
                               {}});
    return choice;
  }
  choice.bender = shop.benders[best];
  for (Finding& finding : capacity_findings(part, *choice.bender, style)) {
    choice.findings.push_back(std::move(finding));
  }
  if (best_bid.num_missing > 0 && wished_die == kNone) {
    const Views views(part, shop, *choice.bender, style);
    for (std::size_t bend = 0; bend < best_bid.die_of_bend.size(); ++bend) {
      if (best_bid.die_of_bend[bend] == kNone) {
        choice.findings.push_back(no_die(part, shop, bend, views.of_bend(bend), style));
      }
    }
    return choice;
  }
  if (best_bid.num_missing > 0) {
    choice.findings.push_back(
        {Severity::kStop,
         "plan.die-not-on-bender",
         std::nullopt,
         fmt::format("die {} does not go on bender {}", wish.die, choice.bender->name),
         "another die or bender",
         "the shop's data",
         {}});
  }
  const base::Status taken = take(choice, part, shop, best_bid.die_of_bend);
  if (!taken.ok()) {
    choice.dies.clear();
    choice.die_of_bend.clear();
    choice.findings.push_back({Severity::kStop,
                               taken.failure().code,
                               std::nullopt,
                               taken.failure().message,
                               taken.failure().remedy,
                               "the bending model's own range",
                               {}});
    return choice;
  }
  review(choice, part, shop, style);
  return choice;
}

}  // namespace bight::planning
