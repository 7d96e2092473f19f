#include "stock/tube_search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "stock/pipe_search.h"
#include "stock/stock_answer.h"

namespace bight::stock {

namespace {

// The outside diameter of a pipe of the same name, where it is another than the tube's.
std::optional<double> confused_pipe_mm(const Lookup& lookup, double od_mm) {
  if (!lookup.inch || lookup.query.copper) return std::nullopt;
  const auto pipe_mm = named_pipe_outside_mm(lookup.tables, od_mm);
  if (!pipe_mm || std::abs(*pipe_mm - od_mm) <= 1.0) return std::nullopt;
  return pipe_mm;
}

void add_tube_note(Lookup& lookup, double od_mm) {
  const auto pipe_mm = confused_pipe_mm(lookup, od_mm);
  if (!pipe_mm) return;
  const std::string name = inch_words(od_mm);
  lookup.found.notes.push_back(
      warning(fmt::format("{} in tube measures {} outside; {} in pipe would measure {}", name,
                          both_units(od_mm), name, both_units(*pipe_mm))));
}

// Sizes that no table lists row by row: inch tube of named walls, preferred pairs.
void add_made_up(Lookup& lookup, double od_mm, double wall_mm) {
  for (const SizeRow& row : mechanical_tubes(lookup.tables, od_mm, wall_mm)) {
    if (lookup.lets_through(row)) lookup.add_match(row);
  }
  const auto preferred = preferred_tube(lookup.tables, od_mm, wall_mm);
  if (preferred && lookup.lets_through(*preferred)) lookup.add_match(*preferred);
}

// Where a size is listed in the temper asked for, its row without a temper adds nothing.
void drop_any_temper(Lookup& lookup) {
  std::vector<StockAnswer>& matches = lookup.found.matches;
  const auto asked = [&](const StockAnswer& a) { return a.size.code == lookup.query.type; };
  if (lookup.query.type.empty() || std::none_of(matches.begin(), matches.end(), asked)) return;
  matches.erase(std::remove_if(matches.begin(), matches.end(), std::not_fn(asked)), matches.end());
}

base::Status by_outside_and_wall(Lookup& lookup, double od_mm, double wall_mm) {
  lookup.found.reading =
      fmt::format("round tube, {} outside, wall {}", both_units(od_mm), both_units(wall_mm));
  add_tube_note(lookup, od_mm);
  for (const SizeRow& row : round_tubes(lookup.tables, od_mm, wall_mm, lookup.filter())) {
    lookup.add_match(row);
  }
  drop_any_temper(lookup);
  if (lookup.found.matches.empty()) add_made_up(lookup, od_mm, wall_mm);
  if (!lookup.found.matches.empty()) return base::Done{};
  BIGHT_TRY(Section section, Section::round_tube(od_mm, wall_mm));
  lookup.add_unlisted(std::move(section), std::nullopt);
  return base::Done{};
}

// Without a wall: everything of this outside diameter, to choose from.
base::Status outside_only(Lookup& lookup, double od_mm) {
  BIGHT_TRY(const Section any_wall, Section::round_tube(od_mm, od_mm / 20.0));
  lookup.found.reading = fmt::format("round tube, {} outside", both_units(od_mm));
  lookup.found.notes.push_back(warning("no wall was given"));
  add_tube_note(lookup, od_mm);
  const auto kind = [&](const SizeRow& row) {
    // Copper water tube and conduit are named by another size than they measure.
    const bool named = row.family == SizeFamily::kCopperInch || row.family == SizeFamily::kConduit;
    return lookup.lets_through(row) && (!named || lookup.query.copper);
  };
  for (const SizeRow& row : round_tubes(lookup.tables, od_mm, std::nullopt, kind)) {
    lookup.add_match(row);
  }
  for (const SizeRow& row : mechanical_tubes(lookup.tables, od_mm, std::nullopt)) {
    if (kind(row)) lookup.add_match(row);
  }
  if (!lookup.found.matches.empty()) return base::Done{};
  for (const SizeRow& row : nearest_sizes(lookup.tables, any_wall, kind)) lookup.add_near(row);
  return base::Done{};
}

base::Status copper_by_name(Lookup& lookup, double name_mm) {
  const std::string name = inch_words(name_mm);
  lookup.found.reading = "copper water tube of nominal size " + name;
  const auto water_tube = [&](const SizeRow& row) {
    return row.family == SizeFamily::kCopperInch && lookup.lets_through(row);
  };
  for (const SizeRow& row : lookup.tables.sizes) {
    if (!water_tube(row) || std::abs(row.nominal_mm - name_mm) > kSameOutside_mm) continue;
    lookup.add_match(row);
  }
  if (lookup.found.matches.empty()) {
    lookup.add_nearest_names(name_mm, water_tube);
    return base::Done{};
  }
  const double od_mm = lookup.found.matches.front().size.outside_mm.value;
  lookup.found.notes.push_back(
      warning(fmt::format("{} is the nominal size: the tube measures {} in ({} mm) outside", name,
                          inch_words(od_mm), plain_number(od_mm))));
  return base::Done{};
}

base::Status add_bar(Lookup& lookup, Section section) {
  StockAnswer answer = unlisted_answer(lookup.tables, std::move(section), std::nullopt);
  answer.notes.insert(answer.notes.begin(), fact("there is no table of bar sizes here"));
  lookup.found.matches.push_back(std::move(answer));
  return base::Done{};
}

}  // namespace

base::Status search_round(Lookup& lookup) {
  const StockQuery& query = lookup.query;
  if (query.sizes.empty() || query.sizes.size() > 2 || query.sizes[0].gauge) {
    return incomplete("a round tube has an outside diameter and a wall", "for example 38.1 x 1.65");
  }
  BIGHT_TRY(const std::vector<double> sizes_mm, lookup.measure());
  if (sizes_mm.size() == 2) return by_outside_and_wall(lookup, sizes_mm[0], sizes_mm[1]);
  const bool said =
      query.tube || query.round || query.hydraulic || query.copper || !query.standard.empty();
  const auto pipe_mm = confused_pipe_mm(lookup, sizes_mm[0]);
  if (!said && pipe_mm) {
    const std::string name = inch_words(sizes_mm[0]);
    return incomplete(
        fmt::format("{} may be pipe or tube: {} in pipe measures {} mm outside, {} in tube {} mm",
                    query.sizes[0].text, name, plain_number(*pipe_mm), name,
                    plain_number(sizes_mm[0])),
        "write pipe or tube, and the wall");
  }
  return outside_only(lookup, sizes_mm[0]);
}

base::Status search_box(Lookup& lookup) {
  const StockQuery& query = lookup.query;
  BIGHT_TRY(std::vector<double> sizes_mm, lookup.measure());
  if (sizes_mm.size() == 2 && !query.rectangular) sizes_mm.insert(sizes_mm.begin(), sizes_mm[0]);
  if (sizes_mm.size() != 3) {
    return incomplete("a square or rectangular tube has two sides and a wall",
                      "for example 40 x 20 x 2, or 40 x 40 x 3 SHS");
  }
  const double height_mm = sizes_mm[0];
  const double width_mm = sizes_mm[1];
  const double wall_mm = sizes_mm[2];
  const bool square = height_mm == width_mm;
  const char* shape = square ? "square" : "rectangular";
  if (square ? query.rectangular : query.square) {
    lookup.found.notes.push_back(warning(fmt::format("these sides make it {}", shape)));
  }
  lookup.found.reading = fmt::format("{} tube, {} x {}, wall {}", shape, both_units(height_mm),
                                     both_units(width_mm), both_units(wall_mm));
  if (!square) lookup.add_plane_note(height_mm, width_mm);
  for (const SizeRow& row :
       box_tubes(lookup.tables, height_mm, width_mm, wall_mm, lookup.filter())) {
    lookup.add_match(row);
  }
  if (!lookup.found.matches.empty()) return base::Done{};
  const auto corner = corner_of(lookup.tables.corners, lookup.inch ? "ASTM A500" : "EN 10219-2",
                                height_mm, width_mm, wall_mm);
  BIGHT_TRY(Section section,
            Section::rect_tube(height_mm, width_mm, wall_mm, corner ? corner->used_mm.value : 0.0));
  lookup.add_unlisted(std::move(section), corner);
  return base::Done{};
}

base::Status search_copper(Lookup& lookup) {
  StockQuery& query = lookup.query;
  query.copper = true;
  if (query.sizes.size() == 2) return search_round(lookup);
  if (query.sizes.size() != 1 || query.sizes[0].gauge) {
    return incomplete("copper tube is named by one size, or by outside diameter and wall",
                      "for example 15 mm copper, 22 x 1 copper, 1/2 copper type L");
  }
  BIGHT_TRY(const std::vector<double> sizes_mm, lookup.measure());
  const bool water_tube =
      query.type == "K" || query.type == "L" || query.type == "M" || query.standard == "ASTM B88";
  if (lookup.inch || water_tube) return copper_by_name(lookup, query.sizes[0].inches_mm);
  return outside_only(lookup, sizes_mm[0]);
}

base::Status search_conduit(Lookup& lookup) {
  const StockQuery& query = lookup.query;
  if (query.sizes.size() != 1 || query.sizes[0].gauge) {
    return incomplete("conduit is named by its kind and one trade size", "for example 3/4 EMT");
  }
  const TypedSize& size = query.sizes[0];
  lookup.found.reading =
      fmt::format("{} conduit, trade size {}",
                  query.conduit_kind.empty() ? "steel" : query.conduit_kind, size.text);
  const auto kind = [&](const SizeRow& row) {
    return row.family == SizeFamily::kConduit &&
           (query.conduit_kind.empty() || row.code == query.conduit_kind);
  };
  for (const SizeRow& row : lookup.tables.sizes) {
    if (!kind(row)) continue;
    const bool trade = std::abs(row.nominal_mm - size.inches_mm) <= kSameOutside_mm;
    if (trade || (size.whole && row.number == *size.whole)) lookup.add_match(row);
  }
  if (lookup.found.matches.empty()) lookup.add_nearest_names(size.inches_mm, kind);
  return base::Done{};
}

base::Status search_bar(Lookup& lookup) {
  const StockQuery& query = lookup.query;
  BIGHT_TRY(const std::vector<double> sizes_mm, lookup.measure());
  const bool one = sizes_mm.size() == 1;
  if (sizes_mm.empty() || sizes_mm.size() > 2 || (one && (query.flat || query.rectangular))) {
    return incomplete("a bar has one size, a flat two", "for example bar 20, or flat 50 x 10");
  }
  const double height_mm = sizes_mm.front();
  const double width_mm = sizes_mm.back();
  if (one && !query.square) {
    BIGHT_TRY(Section section, Section::round_bar(height_mm));
    lookup.found.reading = "round bar, " + both_units(height_mm);
    return add_bar(lookup, std::move(section));
  }
  BIGHT_TRY(Section section, Section::rect_bar(height_mm, width_mm));
  lookup.found.reading = fmt::format("bar, {} x {}", both_units(height_mm), both_units(width_mm));
  if (height_mm != width_mm) lookup.add_plane_note(height_mm, width_mm);
  return add_bar(lookup, std::move(section));
}

base::Status search_open(Lookup& lookup) {
  const StockQuery& query = lookup.query;
  BIGHT_TRY(std::vector<double> sizes_mm, lookup.measure());
  const std::size_t most = query.angle ? 3 : 4;
  if (sizes_mm.size() > most || sizes_mm.size() < (query.angle ? 2u : 3u)) {
    return query.angle ? incomplete("an angle has two legs and a thickness",
                                    "for example L 50 x 50 x 5, or L 50 x 5 for equal legs")
                       : incomplete(
                             "a channel has a depth, the length of its flanges and a thickness; "
                             "names of a series and masses per length are in no table here",
                             "for example U 100 x 50 x 6, or U 100 x 50 x 6 x 8.5 with the "
                             "flanges' own thickness last");
  }
  // "L 50 x 5": both legs are the same.
  if (query.angle && sizes_mm.size() == 2) sizes_mm.insert(sizes_mm.begin(), sizes_mm.front());
  BIGHT_TRY(Section section,
            query.angle ? Section::angle(sizes_mm[0], sizes_mm[1], sizes_mm[2])
                        : Section::channel(sizes_mm[0], sizes_mm[1], sizes_mm[2], sizes_mm.back()));
  lookup.found.reading =
      fmt::format("{}, {} mm", query.angle ? "angle" : "channel", section.text());
  lookup.found.notes.push_back(
      fact(query.angle ? "the first leg stands in the plane of bending"
                       : "on edge: the depth lies in the plane of bending, the hard way"));
  StockAnswer answer = unlisted_answer(lookup.tables, std::move(section), std::nullopt);
  answer.notes.insert(
      answer.notes.begin(),
      warning(query.angle
                  ? "no table of angles is here, so its corners are taken as sharp: with the radii "
                    "of rolled angle the area is up to 1.6 % more, the stiffness up to 4 % less"
                  : "no table of channels is here, so its corners are taken as sharp: with the "
                    "radii of rolled channel area and stiffness are up to 3.6 % more; take a "
                    "tapered flange with its mean thickness"));
  lookup.found.matches.push_back(std::move(answer));
  return base::Done{};
}

}  // namespace bight::stock
