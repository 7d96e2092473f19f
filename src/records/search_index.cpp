#include "records/search_index.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/number.h"
#include "records/folding.h"

namespace bight::records {

std::string search_text(const PartSummary& summary) {
  std::string words =
      fmt::format("{} {} {} {} ", summary.name, summary.customer, summary.drawing, summary.tube);
  if (summary.od_mm) {
    words += base::print_number(*summary.od_mm);
    if (summary.wall_mm) words += "x" + base::print_number(*summary.wall_mm);
  }
  for (const double radius_mm : summary.radii_mm) {
    words += " clr" + base::print_number(radius_mm);
  }
  return folded(fmt::format("{} {} {}", words, summary.material, summary.search));
}

void SearchIndex::put(const RecordId& id, const PartSummary& summary, bool withdrawn) {
  const std::string words = search_text(summary);
  const auto [place, is_new] = places_.try_emplace(id.text(), entries_.size());
  if (!is_new) {
    entries_[place->second].stale = true;
    place->second = entries_.size();
  }
  entries_.push_back(
      {.id = id, .start = texts_.size(), .size = words.size(), .withdrawn = withdrawn});
  texts_ += words;
  // Half of it stale: copying the rest costs no more than having put it there did.
  constexpr std::size_t kWorthwhile = 1024;
  if (entries_.size() > kWorthwhile && entries_.size() > 2 * places_.size()) sweep();
}

void SearchIndex::sweep() {
  std::vector<Entry> kept;
  std::string texts;
  for (Entry& entry : entries_) {
    if (entry.stale) continue;
    const std::size_t start = texts.size();
    texts.append(texts_, entry.start, entry.size);
    entry.start = start;
    places_[entry.id.text()] = kept.size();
    kept.push_back(std::move(entry));
  }
  entries_ = std::move(kept);
  texts_ = std::move(texts);
}

SearchIndex::Page SearchIndex::find(std::string_view query, bool with_withdrawn, std::int64_t limit,
                                    std::int64_t from) const {
  const std::vector<std::string> words = folded_words(query);
  const std::string_view texts = texts_;
  Page page;
  for (auto entry = entries_.rbegin(); entry != entries_.rend(); ++entry) {
    if (entry->stale || (entry->withdrawn && !with_withdrawn)) continue;
    const std::string_view text = texts.substr(entry->start, entry->size);
    const bool found = std::all_of(words.begin(), words.end(), [text](const std::string& word) {
      return has_word(text, word);
    });
    if (!found) continue;
    if (page.total >= from && page.total - from < limit) page.ids.push_back(entry->id);
    ++page.total;
  }
  return page;
}

}  // namespace bight::records
