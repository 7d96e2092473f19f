#include "stock/catalogue.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "stock/lookup.h"
#include "stock/pipe_search.h"
#include "stock/tube_search.h"

namespace bight::stock {

namespace {

base::Status search(Lookup& lookup) {
  const StockQuery& q = lookup.query;
  const bool pipe_name = q.nps || q.dn || !q.schedule.empty() || !q.series.empty();
  const bool copper = q.copper || q.standard == "EN 1057" || q.standard.rfind("ASTM B88", 0) == 0 ||
                      (!q.type.empty() && !pipe_name);
  const bool box = q.square || q.rectangular || (q.hollow && !q.round) || q.sizes.size() == 3;
  if (q.bar || q.flat) return search_bar(lookup);
  if (q.angle || q.channel) return search_open(lookup);
  if (q.conduit || !q.conduit_kind.empty()) return search_conduit(lookup);
  if (copper) return search_copper(lookup);
  if (pipe_name || (q.pipe && !q.hydraulic)) return search_pipe(lookup);
  if (box) return search_box(lookup);
  return search_round(lookup);
}

std::string listed(const std::vector<StockAnswer>& answers) {
  constexpr std::size_t kMost = 12;
  std::vector<Section> sections;  // of those named; several names of one section are one choice
  std::vector<std::string> names;
  for (const StockAnswer& answer : answers) {
    const SizeRow& size = answer.size;
    if (std::find(sections.begin(), sections.end(), size.section) != sections.end()) continue;
    sections.push_back(size.section);
    names.push_back(fmt::format("{} ({})", size.designation, size.section.text()));
  }
  if (names.size() <= kMost) return fmt::format("{}", fmt::join(names, "; "));
  const std::size_t more = names.size() - kMost;
  names.resize(kMost);
  return fmt::format("{}; and {} more", fmt::join(names, "; "), more);
}

// How well a size is known: the weaker of its two numbers.
Provenance weakest(const StockAnswer& answer) {
  return std::max(answer.size.outside_mm.provenance, answer.size.wall_mm.provenance);
}

// Answers of one section made into one, the best known of them.
StockAnswer merged(std::vector<StockAnswer> answers) {
  std::stable_sort(answers.begin(), answers.end(), [](const StockAnswer& a, const StockAnswer& b) {
    return weakest(a) < weakest(b);
  });
  StockAnswer one = std::move(answers.front());
  std::vector<std::string> others;
  bool agree = true;
  for (auto other = answers.begin() + 1; other != answers.end(); ++other) {
    others.push_back(other->size.designation);
    agree = agree && other->tolerances == one.tolerances;
  }
  if (others.empty()) return one;
  one.notes.push_back(fact(fmt::format("the same section as {}", fmt::join(others, ", "))));
  if (!agree) {
    one.tolerances.clear();
    one.notes.push_back(
        warning("its tolerances go by the standard it is bought to: name one to have them"));
  }
  return one;
}

}  // namespace

base::Result<StockSearch> find_stock(const SizeTables& tables, std::string_view query,
                                     const base::LengthRules& rules) {
  BIGHT_TRY(StockQuery taken_apart, read_stock_query(query, rules));
  Lookup lookup{tables, std::move(taken_apart), rules};
  const base::Status status = search(lookup);
  if (!status.ok()) return status.failure();
  return std::move(lookup.found);
}

base::Result<StockAnswer> choose_stock(const SizeTables& tables, std::string_view query,
                                       const base::LengthRules& rules) {
  BIGHT_TRY(StockSearch found, find_stock(tables, query, rules));
  if (found.matches.empty()) {
    return base::Failure{
        "stock.unknown", "", fmt::format("\"{}\" is not in the catalogue", query),
        found.near.empty() ? "give outside diameter and wall" : "near: " + listed(found.near)};
  }
  const Section& first = found.matches.front().size.section;
  const bool one = std::all_of(found.matches.begin(), found.matches.end(),
                               [&](const StockAnswer& a) { return a.size.section == first; });
  if (!one) {
    return base::Failure{"stock.choose", "",
                         fmt::format("\"{}\" may be any of {} sizes ({})", query,
                                     found.matches.size(), found.reading),
                         "say which: " + listed(found.matches)};
  }
  StockAnswer answer = merged(std::move(found.matches));
  answer.notes.insert(answer.notes.begin(), found.notes.begin(), found.notes.end());
  return answer;
}

}  // namespace bight::stock
