#include "stock/metals.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "stock/metal_words.h"
#include "stock/table.h"

namespace bight::stock {

namespace {

constexpr double kMpaPerGpa_ratio = 1000.0;

Material read_material(TableRow& row) {
  Material m;
  m.name = row.text("name");
  if (m.name.empty()) row.refuse("name", "the metal has no name", "a name");
  m.spec = row.text("spec");
  m.condition = row.text("condition");
  m.density_kg_per_m3 = row.positive("density_kg_per_m3");
  m.youngs_mpa = {row.positive("youngs_gpa") * kMpaPerGpa_ratio, row.mark("youngs_mark"),
                  row.text("youngs_source")};
  m.poisson_ratio = row.positive("poisson_ratio");
  if (m.poisson_ratio >= 0.5) row.refuse("poisson_ratio", "above one half", "0.3 or near it");
  return m;
}

// Up to three numbers that share a mark column: yield, tensile, elongation.
struct Strengths {
  std::optional<Sourced> yield_mpa;
  std::optional<Sourced> tensile_mpa;
  std::optional<Sourced> elongation_ratio;
};

Strengths read_strengths(TableRow& row, const std::string& which, NumberKind kind) {
  const std::string marks = which + "_mark";
  const std::string source = row.text(which + "_source");
  const auto read = [&](const std::string& column, std::size_t index, double unit_ratio) {
    std::optional<Sourced> number;
    const std::optional<double> value = row.optional_positive(column);
    if (value) number = Sourced{*value * unit_ratio, row.mark(marks, kind, index), source};
    return number;
  };
  Strengths s;
  s.yield_mpa = read("yield_" + which + "_mpa", 0, 1.0);
  s.tensile_mpa = read("tensile_" + which + "_mpa", 1, 1.0);
  s.elongation_ratio = read("elongation_" + which + "_pct", 2, 0.01);
  return s;
}

// Typical before minimum: a minimum under-predicts springback and force.
Sourced best(TableRow& row, const char* column, const std::optional<Sourced>& typical,
             const std::optional<Sourced>& minimum) {
  if (typical) return *typical;
  if (minimum) return *minimum;
  row.refuse(column, "neither a typical value nor a minimum is given", "one of the two");
  return {};
}

void read_flow_curve(TableRow& row, Material& m) {
  const std::optional<double> strength_mpa = row.optional_positive("strength_mpa");
  const std::optional<double> exponent_ratio = row.optional_positive("exponent_ratio");
  if (strength_mpa.has_value() != exponent_ratio.has_value()) {
    row.refuse("exponent_ratio", "K and n go together", "both, or neither");
    return;
  }
  if (!strength_mpa || !row.status().ok()) return;
  const CheckedHollomon checked = checked_hollomon(
      {*strength_mpa, *exponent_ratio, row.mark("flow_mark"), row.text("flow_source")},
      m.tensile_mpa.value);
  m.hollomon = checked.pair;
  m.hollomon_rejected = checked.rejected;
}

base::Result<Metal> read_metal(const base::CsvTable& table, std::size_t index) {
  TableRow row(table, index);
  Metal metal;
  Material& m = metal.material;
  m = read_material(row);
  metal.grade = row.text("grade");
  metal.number = row.text("number");
  metal.family = row.text("family");
  metal.material.family = metal.family;
  metal.aliases = pieces(row.text("aliases"), ';');
  metal.usual = row.yes("usual");
  const Strengths minimum = read_strengths(row, "min", NumberKind::kMinimum);
  const Strengths typical = read_strengths(row, "typ", NumberKind::kTypical);
  const std::optional<double> most_mpa = row.optional_positive("tensile_max_mpa");
  if (most_mpa) {
    metal.tensile_max_mpa =
        Sourced{*most_mpa, row.mark("min_mark", NumberKind::kMinimum, 1), row.text("min_source")};
  }
  m.yield_min_mpa = minimum.yield_mpa;
  m.tensile_min_mpa = minimum.tensile_mpa;
  m.elongation_min_ratio = minimum.elongation_ratio;
  m.yield_mpa = best(row, "yield_typ_mpa", typical.yield_mpa, minimum.yield_mpa);
  m.tensile_mpa = best(row, "tensile_typ_mpa", typical.tensile_mpa, minimum.tensile_mpa);
  m.elongation_ratio =
      typical.elongation_ratio ? typical.elongation_ratio : minimum.elongation_ratio;
  if (m.tensile_mpa.value < m.yield_mpa.value) {
    row.refuse("tensile_typ_mpa", "the tensile strength is below the yield strength",
               "Rm is the larger of the two");
  }
  read_flow_curve(row, m);
  BIGHT_TRY([[maybe_unused]] const base::Done done, row.status());
  return metal;
}

// What a query may name the metal by. Of its specification and numbers only words that are more
// than one or two digits: nobody names a metal by the part of its standard.
std::set<std::string> known_words(const Metal& metal) {
  const Material& m = metal.material;
  std::set<std::string> words = filler_words();
  for (const std::string& text : {m.name, m.condition, metal.grade, metal.family}) {
    words.merge(words_and_synonyms(text));
  }
  for (const std::string& alias : metal.aliases) words.merge(words_and_synonyms(alias));
  for (const std::string& text : {m.spec, metal.number}) {
    for (const std::string& word : words_and_synonyms(text)) {
      const bool letter = word.find_first_not_of("0123456789") != std::string::npos;
      if (letter || word.size() > 2) words.insert(word);
    }
  }
  return words;
}

bool named(const Metal& metal, const std::string& query) {
  return squeezed(metal.material.name) == query ||
         std::any_of(metal.aliases.begin(), metal.aliases.end(),
                     [&](const std::string& alias) { return squeezed(alias) == query; });
}

std::string listed_metals(const std::vector<Metal>& metals) {
  constexpr std::size_t kMost = 12;
  std::vector<std::string> names;
  for (const Metal& metal : metals) names.push_back(metal.material.name);
  if (names.size() <= kMost) return fmt::format("{}", fmt::join(names, ", "));
  const std::size_t more = names.size() - kMost;
  names.resize(kMost);
  return fmt::format("{} and {} more", fmt::join(names, ", "), more);
}

MetalAnswer answer(const Metal& metal) {
  MetalAnswer found{metal, {}};
  if (metal.material.hollomon_rejected) found.notes.push_back(*metal.material.hollomon_rejected);
  return found;
}

// The usual condition of the one grade that all matches share; nothing if there is none.
std::optional<MetalAnswer> usual_supply(const std::vector<Metal>& matches) {
  const auto is_usual = [](const Metal& metal) { return metal.usual; };
  const auto same_grade = [&](const Metal& m) { return m.grade == matches.front().grade; };
  if (std::count_if(matches.begin(), matches.end(), is_usual) != 1) return std::nullopt;
  if (!std::all_of(matches.begin(), matches.end(), same_grade)) return std::nullopt;
  const auto usual = std::find_if(matches.begin(), matches.end(), is_usual);
  MetalAnswer found = answer(*usual);
  std::vector<Metal> others;
  std::copy_if(matches.begin(), matches.end(), std::back_inserter(others),
               [](const Metal& metal) { return !metal.usual; });
  found.notes.push_back(
      fmt::format("{} is taken as the usual supply of {} (common practice); also "
                  "listed: {}",
                  usual->material.name, usual->grade, listed_metals(others)));
  return found;
}

}  // namespace

// Read once: the table travels inside the program and never changes.
base::Result<Metals> Metals::built_in() {
  static const base::Result<Metals> kMetals = [] {
    const base::Result<base::CsvTable> table = built_in_table("metals.csv");
    return table.ok() ? read(*table) : base::Result<Metals>(table.failure());
  }();
  return kMetals;
}

base::Result<Metals> Metals::read(const base::CsvTable& table) {
  Metals metals;
  std::set<std::string> names;
  for (std::size_t row = 0; row < table.num_rows(); ++row) {
    BIGHT_TRY(Metal metal, read_metal(table, row));
    if (!names.insert(squeezed(metal.material.name)).second) {
      return base::Failure{"table.value", table.where(row, "name"),
                           fmt::format("two metals are called {}", metal.material.name),
                           "give each its own name"};
    }
    metals.all_.push_back(std::move(metal));
  }
  return metals;
}

Metals Metals::with(const std::vector<Metal>& own) const {
  Metals out;
  std::vector<Metal> rest = all_;
  for (const Metal& metal : own) {
    const std::string name = squeezed(metal.material.name);
    const auto there = std::find_if(rest.begin(), rest.end(), [&](const Metal& one) {
      return squeezed(one.material.name) == name;
    });
    if (there == rest.end()) {
      out.all_.push_back(metal);
      continue;
    }
    const Metal replaced = *there;
    *there = metal;
    there->replaces = true;
    there->usual = replaced.usual;
    there->grade = replaced.grade;
    for (const std::string& alias : replaced.aliases) there->aliases.push_back(alias);
  }
  std::move(rest.begin(), rest.end(), std::back_inserter(out.all_));
  return out;
}

std::vector<Metal> metals_matching(const Metals& metals, std::string_view query) {
  const std::string wanted = squeezed(query);
  std::vector<Metal> matches;
  if (wanted.empty()) return matches;
  std::vector<Metal> own;
  for (const Metal& metal : metals.all()) {
    if (named(metal, wanted)) return {metal};
    if (!made_of(wanted, known_words(metal))) continue;
    (metal.own && !metal.replaces ? own : matches).push_back(metal);
  }
  return matches.empty() ? own : matches;
}

std::vector<Metal> metals_near(const Metals& metals, std::string_view query, std::size_t most) {
  const std::vector<std::string> words = words_of(query);
  std::vector<std::pair<int, const Metal*>> ranked;
  for (const Metal& metal : metals.all()) {
    std::set<std::string> known = known_words(metal);
    for (const std::string& filler : filler_words()) known.erase(filler);
    int total = 0;  // long words say more than short ones
    for (const std::string& word : words) {
      total += likeness(word, known) * static_cast<int>(word.size());
    }
    if (total > 0) ranked.emplace_back(total, &metal);
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<Metal> near;
  for (const auto& [total, metal] : ranked) {
    if (near.size() == most || total * 3 < ranked.front().first * 2) break;
    near.push_back(*metal);
  }
  return near;
}

base::Result<MetalAnswer> find_metal(const Metals& metals, std::string_view query) {
  const std::vector<Metal> matches = metals_matching(metals, query);
  if (matches.size() == 1) return answer(matches.front());
  if (matches.empty()) {
    const std::vector<Metal> near = metals_near(metals, query);
    return base::Failure{"metal.unknown", "", fmt::format("no metal is called \"{}\"", query),
                         near.empty() ? "a grade and a condition, such as 316L annealed"
                                      : "perhaps " + listed_metals(near)};
  }
  if (auto usual = usual_supply(matches)) return *std::move(usual);
  return base::Failure{"metal.ambiguous", "",
                       fmt::format("\"{}\" may be any of {} metals", query, matches.size()),
                       "say which: " + listed_metals(matches)};
}

}  // namespace bight::stock
