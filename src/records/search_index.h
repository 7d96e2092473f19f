// Every part's searchable words in memory: the list that answers while somebody types.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "records/record.h"

namespace bight::records {

// The words a part is found by, folded: name, customer, drawing, tube, outside diameter and wall
// ("38.1x1.5"), radii (clr114.3), material, and the summary's own further words.
std::string search_text(const PartSummary& summary);

// Parts in the order of their latest change. Not locked: its owner does that.
class SearchIndex {
 public:
  struct Page {
    std::vector<RecordId> ids;  // newest first
    std::int64_t total = 0;
  };

  // The part changed: it is the newest now.
  void put(const RecordId& id, const PartSummary& summary, bool withdrawn);

  // Parts that have every word of `query` (folding.h: has_word). @pre limit, from >= 0.
  Page find(std::string_view query, bool with_withdrawn, std::int64_t limit,
            std::int64_t from) const;

  std::size_t num_parts() const { return places_.size(); }

 private:
  struct Entry {
    RecordId id;
    std::size_t start = 0;  // of its words in texts_
    std::size_t size = 0;
    bool withdrawn = false;
    bool stale = false;  // a newer entry took its place
  };

  void sweep();

  std::vector<Entry> entries_;  // oldest first
  std::string texts_;
  std::unordered_map<std::string, std::size_t> places_;  // id to its entry
};

}  // namespace bight::records
