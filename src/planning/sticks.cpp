#include "planning/sticks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "mechanics/ring_cut.h"
#include "planning/words.h"

namespace bight::planning {

using base::Failure;
using base::Result;

namespace {

constexpr int kMostSticks = 10'000;
constexpr int kMostRacks = 200;
constexpr double kHair_mm = 1e-6;
constexpr double kSameSize_mm = 0.02;  // a size in inches and its rounded millimetres are one
constexpr double kUsualStickInch_mm = 240.0 * 25.4;  // 20 ft
// An overhang worth a word even where no spare end is to be had: a shorter end on the drawing, a
// thinner saw blade.
constexpr double kWorthAWord = 0.01;

bool length_ok(double mm) { return mm > 0.0 && std::isfinite(mm) && mm < 1e6; }

base::Status check_request(const SticksRequest& r) {
  const auto bad = [](const char* where, const char* what, const char* remedy) {
    return Failure{"sticks.number", where, what, remedy};
  };
  if (!length_ok(r.cut_mm)) return bad("cut", "no length to cut", "a plan with a blank");
  if (!length_ok(r.stick_mm)) return bad("stick", "no length of a stick", "6000 mm, 20 ft");
  if (!(r.kerf_mm >= 0.0) || r.kerf_mm > 100.0) {
    return bad("kerf", "a saw cut takes 0 to 100 mm", "3 mm, 1/8 in");
  }
  if (r.pieces < 1 || r.spare < 0 || r.pieces > kMostPieces || r.spare > kMostPieces - r.pieces) {
    return bad("pieces", "pieces and spare together are 1 to 10000", "what is to be delivered");
  }
  if (r.rack.size() > kMostRacks) return bad("rack", "more than 200 entries", "fewer entries");
  for (const RackSticks& rack : r.rack) {
    if (!length_ok(rack.length_mm) || rack.sticks < 0 || rack.sticks > kMostSticks) {
      return bad("rack", "a rack's length and number of sticks", "6000 mm, 4 pieces");
    }
  }
  return base::Done{};
}

double rest_mm(const SticksRequest& r, double length_mm, int pieces) {
  return pieces == 0 ? length_mm : std::max(0.0, length_mm - pieces * (r.cut_mm + r.kerf_mm));
}

// One choice of the covering problem: so many sticks of one rack entry, taken together or not.
struct Lot {
  std::size_t rack = 0;
  int sticks = 0;
  int pieces = 0;
  double length_mm = 0.0;
};

// Numbers up to the sticks there are, as sums of lots of 1, 2, 4, …
std::vector<Lot> lots_of(const SticksRequest& r, const std::vector<StickUse>& uses, int needed,
                         const std::string* heat) {
  std::vector<Lot> lots;
  for (const StickUse& use : uses) {
    const RackSticks& rack = r.rack[use.rack];
    if (use.per_stick == 0 || (heat != nullptr && rack.heat != *heat)) continue;
    int left = std::min(rack.sticks, (needed + use.per_stick - 1) / use.per_stick);
    for (int size = 1; left > 0; size *= 2) {
      const int sticks = std::min(size, left);
      lots.push_back({use.rack, sticks, sticks * use.per_stick, sticks * rack.length_mm});
      left -= sticks;
    }
  }
  return lots;
}

struct Cover {
  double length_mm = 0.0;
  int sticks = 0;
  bool possible = false;
};

bool better(const Cover& a, const Cover& b) {
  if (!b.possible || !a.possible) return a.possible && !b.possible;
  if (std::abs(a.length_mm - b.length_mm) > kHair_mm) return a.length_mm < b.length_mm;
  return a.sticks < b.sticks;
}

// Least length that gives at least `needed` pieces, and the lots taken for it.
Cover cover(const std::vector<Lot>& lots, int needed, std::vector<Lot>& chosen) {
  const auto size = static_cast<std::size_t>(needed) + 1;
  std::vector<Cover> best(size);
  best[0].possible = true;
  std::vector<std::vector<bool>> taken(lots.size(), std::vector<bool>(size, false));
  for (std::size_t i = 0; i < lots.size(); ++i) {
    for (int n = needed; n > 0; --n) {
      const Cover& before = best[static_cast<std::size_t>(std::max(0, n - lots[i].pieces))];
      const Cover with{before.length_mm + lots[i].length_mm, before.sticks + lots[i].sticks,
                       before.possible};
      Cover& here = best[static_cast<std::size_t>(n)];
      if (!better(with, here)) continue;
      here = with;
      taken[i][static_cast<std::size_t>(n)] = true;
    }
  }
  int n = best.back().possible ? needed : 0;
  for (std::size_t i = lots.size(); i-- > 0;) {
    if (n == 0 || !taken[i][static_cast<std::size_t>(n)]) continue;
    chosen.push_back(lots[i]);
    n = std::max(0, n - lots[i].pieces);
  }
  return best.back();
}

void take_from_rack(const SticksRequest& r, SticksPlan& plan) {
  std::set<std::string> heats;
  for (const RackSticks& rack : r.rack) heats.insert(rack.heat);
  Cover best;
  std::vector<Lot> chosen;
  const auto try_heat = [&](const std::string* heat) {
    std::vector<Lot> lots;
    const Cover found = cover(lots_of(r, plan.from_rack, plan.needed, heat), plan.needed, lots);
    if (!better(found, best)) return;
    best = found;
    chosen = std::move(lots);
  };
  if (!r.heat.empty()) try_heat(&r.heat);
  const bool own_heat = best.possible;
  for (const std::string& heat : heats) {
    if (!own_heat && !heat.empty()) try_heat(&heat);
  }
  if (!best.possible) try_heat(nullptr);
  for (const Lot& lot : chosen) plan.from_rack[lot.rack].taken += lot.sticks;
  if (best.possible) return;
  for (StickUse& use : plan.from_rack) {
    use.taken = use.per_stick > 0 ? r.rack[use.rack].sticks : 0;
  }
}

// Gives the sticks taken their pieces in the order of the rack; the last one gets what remains.
void share_out(const SticksRequest& r, SticksPlan& plan) {
  int left = plan.needed;
  for (StickUse& use : plan.from_rack) {
    use.pieces = std::min(left, use.taken * use.per_stick);
    left -= use.pieces;
  }
  const auto last = std::find_if(plan.from_rack.rbegin(), plan.from_rack.rend(),
                                 [](const StickUse& use) { return use.pieces > 0; });
  if (left > 0 && plan.per_stick > 0) {
    plan.to_buy = (left + plan.per_stick - 1) / plan.per_stick;
    plan.last_rest_mm = rest_mm(r, r.stick_mm, left - (plan.to_buy - 1) * plan.per_stick);
  } else if (left > 0) {
    plan.missing = left;
  } else if (last != plan.from_rack.rend()) {
    const int on_last = last->pieces - (last->taken - 1) * last->per_stick;
    plan.last_rest_mm = rest_mm(r, r.rack[last->rack].length_mm, on_last);
  }
}

part::Finding said(part::Severity severity, std::string code, std::string message,
                   std::string remedy) {
  return {severity,
          std::move(code),
          std::nullopt,
          std::move(message),
          std::move(remedy),
          "common practice, no source",
          {}};
}

void add_findings(const SticksRequest& r, SticksPlan& plan) {
  using part::Severity;
  if (plan.missing > 0) {
    plan.findings.push_back(said(Severity::kStop, "sticks.short",
                                 fmt::format("a piece of {} is longer than the stick of {}",
                                             say(r.cut_mm, r.style), say(r.stick_mm, r.style)),
                                 "a longer stick"));
    return;
  }
  if (!r.proven) {
    plan.findings.push_back(said(Severity::kCaution, "sticks.unproven",
                                 "the cut length is not proven",
                                 "cut one long, bend it, measure, then cut the rest"));
  }
  std::set<std::string> heats;
  for (const StickUse& use : plan.from_rack) {
    if (use.pieces > 0) heats.insert(r.rack[use.rack].heat);
  }
  if (!r.heat.empty() && !heats.empty()) heats.insert(r.heat);
  if (heats.size() + (plan.to_buy > 0 && !heats.empty() ? 1 : 0) > 1) {
    plan.findings.push_back(said(Severity::kCaution, "sticks.heats",
                                 "the tube is of more than one heat",
                                 "bend a trial of each heat, or take one heat for the whole job"));
  }
  if (!plan.over_mm || plan.to_buy == 0) return;
  const std::string over = say(*plan.over_mm, r.style);
  part::Finding almost =
      *plan.over_mm <= r.allowance_mm
          ? said(Severity::kNote, "sticks.almost",
                 fmt::format("{} off each piece gives one piece more from each stick", over),
                 fmt::format("take it off the {} that are trimmed after bending",
                             say(r.allowance_mm, r.style)))
          : said(Severity::kNote, "sticks.almost",
                 fmt::format("each piece is {} too long for one more from each stick", over),
                 "a longer stick or a thinner saw cut");
  almost.numbers = {{"over_mm", *plan.over_mm}, {"allowance_mm", r.allowance_mm}};
  plan.findings.push_back(std::move(almost));
}

bool near(double a_mm, double b_mm) { return std::abs(a_mm - b_mm) <= kSameSize_mm; }

bool same_section(const stock::Section& a, const stock::Section& b) {
  if (a.kind() != b.kind()) return false;
  if (a.hollow() && !near(a.wall_mm(), b.wall_mm())) return false;
  return near(std::min(a.height_mm(), a.width_mm()), std::min(b.height_mm(), b.width_mm())) &&
         near(std::max(a.height_mm(), a.width_mm()), std::max(b.height_mm(), b.width_mm()));
}

}  // namespace

Result<SticksRequest> sticks_request(const Plan& plan,
                                     const std::vector<workshop::StockTube>& stock,
                                     const base::LengthStyle& style) {
  if (plan.steps.empty()) {
    return Failure{"sticks.number", "cut", "the plan has no blank to cut",
                   "see what speaks against the plan"};
  }
  SticksRequest r;
  r.style = style;
  if (style.unit == base::LengthUnit::kInch) r.stick_mm = kUsualStickInch_mm;
  r.cut_mm = plan.blank.cut.likely_mm;
  r.allowance_mm = plan.blank.trim_front_mm + plan.blank.trim_back_mm;
  r.proven = plan.blank.proven;
  r.pieces = plan.part.quantity;
  r.heat = plan.part.material.heat;
  for (std::size_t i = 0; i < stock.size(); ++i) {
    const workshop::StockTube& here = stock[i];
    const auto sticks = static_cast<int>(here.pieces.value_or(1));
    if (!here.section || !here.length_mm || sticks == 0) continue;
    if (here.material != plan.part.material.name) continue;
    if (!same_section(*here.section, plan.part.section)) continue;
    r.rack.push_back({here.heat, here.place, *here.length_mm, sticks, i});
  }
  return r;
}

Result<SticksPlan> plan_sticks(const SticksRequest& r) {
  BIGHT_TRY(const base::Done good, check_request(r));
  static_cast<void>(good);
  SticksPlan plan;
  plan.needed = r.pieces + r.spare;
  BIGHT_TRY(plan.per_stick, mechanics::pieces_per_stick(r.cut_mm, r.stick_mm, r.kerf_mm));
  plan.rest_mm = rest_mm(r, r.stick_mm, plan.per_stick);
  const int more = plan.per_stick + 1;
  const double over_mm = r.cut_mm - (r.stick_mm - plan.per_stick * r.kerf_mm) / more;
  if (plan.per_stick > 0 && plan.needed > plan.per_stick &&
      over_mm <= std::max(r.allowance_mm, kWorthAWord * r.cut_mm)) {
    plan.over_mm = over_mm;
  }
  for (std::size_t i = 0; i < r.rack.size(); ++i) {
    StickUse use;
    use.rack = i;
    BIGHT_TRY(use.per_stick, mechanics::pieces_per_stick(r.cut_mm, r.rack[i].length_mm, r.kerf_mm));
    use.rest_mm = rest_mm(r, r.rack[i].length_mm, use.per_stick);
    plan.from_rack.push_back(use);
  }
  take_from_rack(r, plan);
  share_out(r, plan);
  add_findings(r, plan);
  return plan;
}

}  // namespace bight::planning
