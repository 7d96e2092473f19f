#include "stock/metals.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

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

bool digit(char c) { return c >= '0' && c <= '9'; }

bool letter_or_digit(char c) {
  return digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

// Letters and digits only, in small letters: "E235 + N" and "e235n" are the same.
std::string squeezed(std::string_view text) {
  std::string kept;
  for (const char c : text) {
    if (letter_or_digit(c)) kept += lower(c);
  }
  return kept;
}

// Words of letters and digits, in small letters; a point inside a number does not part it.
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words(1);
  for (std::size_t at = 0; at < text.size(); ++at) {
    const char c = text[at];
    const bool inside_number =
        c == '.' && at > 0 && digit(text[at - 1]) && at + 1 < text.size() && digit(text[at + 1]);
    if (inside_number) continue;
    if (letter_or_digit(c)) {
      words.back() += lower(c);
    } else if (!words.back().empty()) {
      words.emplace_back();
    }
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

// Words that may stand in a query without saying anything.
constexpr std::string_view kFillers[] = {"tube", "pipe", "metal", "alloy", "grade", "gr",
                                         "type", "aisi", "sae",   "astm",  "en",    "din"};

// Words for words of the table.
const std::multimap<std::string, std::string>& synonyms() {
  static const std::multimap<std::string, std::string> table = {
      {"aluminium", "aluminum"},    {"aluminium", "alu"},
      {"aluminium", "al"},          {"stainless", "ss"},
      {"stainless", "inox"},        {"copper", "cu"},
      {"titanium", "ti"},           {"nickel", "ni"},
      {"normalised", "normalized"}, {"annealed", "soft annealed"},
      {"relieved", "relief"}};
  return table;
}

std::set<std::string> known_words(const Metal& metal) {
  const Material& m = metal.material;
  std::set<std::string> words(std::begin(kFillers), std::end(kFillers));
  std::vector<std::string> texts = {m.name,      m.spec,       m.condition,
                                    metal.grade, metal.number, metal.family};
  texts.insert(texts.end(), metal.aliases.begin(), metal.aliases.end());
  for (const std::string& text : texts) {
    for (const std::string& word : words_of(text)) {
      words.insert(word);
      const auto [from, to] = synonyms().equal_range(word);
      for (auto entry = from; entry != to; ++entry) words.insert(squeezed(entry->second));
    }
  }
  return words;
}

// Whether the squeezed query can be cut into known words ("6061t6" is 6061 and t6).
bool made_of(const std::string& query, const std::set<std::string>& words) {
  std::vector<bool> reached(query.size() + 1, false);
  reached[0] = true;
  for (std::size_t at = 0; at < query.size(); ++at) {
    if (!reached[at]) continue;
    for (const std::string& word : words) {
      if (query.compare(at, word.size(), word) == 0) reached[at + word.size()] = true;
    }
  }
  return reached[query.size()];
}

bool named(const Metal& metal, const std::string& query) {
  return squeezed(metal.material.name) == query ||
         std::any_of(metal.aliases.begin(), metal.aliases.end(),
                     [&](const std::string& alias) { return squeezed(alias) == query; });
}

// Whether one letter was left out, put in or exchanged.
bool one_slip_apart(const std::string& a, const std::string& b) {
  const auto [from_front, in_b] = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
  const auto rest_a = static_cast<std::size_t>(a.end() - from_front);
  const auto rest_b = static_cast<std::size_t>(b.end() - in_b);
  const std::string tail_a(from_front, a.end());
  const std::string tail_b(in_b, b.end());
  if (rest_a == rest_b) return rest_a == 0 || tail_a.substr(1) == tail_b.substr(1);
  if (rest_a == rest_b + 1) return tail_a.substr(1) == tail_b;
  return rest_a + 1 == rest_b && tail_a == tail_b.substr(1);
}

// How well a query's word fits one of a metal's words, 0 to 3.
int likeness(const std::string& word, const std::set<std::string>& words) {
  if (words.count(word) != 0) return 3;
  int most = 0;
  for (const std::string& known : words) {
    const std::size_t common = std::min(word.size(), known.size());
    if (common >= 3 && word.compare(0, common, known, 0, common) == 0) most = std::max(most, 2);
    if (common >= 3 && one_slip_apart(word, known)) most = std::max(most, 1);
  }
  return most;
}

std::string listed(const std::vector<Metal>& metals) {
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
                  usual->material.name, usual->grade, listed(others)));
  return found;
}

}  // namespace

base::Result<Metals> Metals::built_in() {
  BIGHT_TRY(const base::CsvTable table, built_in_table("metals.csv"));
  return read(table);
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

std::vector<Metal> metals_matching(const Metals& metals, std::string_view query) {
  const std::string wanted = squeezed(query);
  std::vector<Metal> matches;
  if (wanted.empty()) return matches;
  for (const Metal& metal : metals.all()) {
    if (named(metal, wanted)) return {metal};
    if (made_of(wanted, known_words(metal))) matches.push_back(metal);
  }
  return matches;
}

std::vector<Metal> metals_near(const Metals& metals, std::string_view query, std::size_t most) {
  const std::vector<std::string> words = words_of(query);
  std::vector<std::pair<int, const Metal*>> ranked;
  for (const Metal& metal : metals.all()) {
    std::set<std::string> known = known_words(metal);
    for (const std::string_view filler : kFillers) known.erase(std::string(filler));
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
                                      : "perhaps " + listed(near)};
  }
  if (auto usual = usual_supply(matches)) return *std::move(usual);
  return base::Failure{"metal.ambiguous", "",
                       fmt::format("\"{}\" may be any of {} metals", query, matches.size()),
                       "say which: " + listed(matches)};
}

}  // namespace bight::stock
