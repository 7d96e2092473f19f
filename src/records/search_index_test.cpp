#include "records/search_index.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <sstream>

namespace bight::records {
namespace {

RecordId id(const std::string& text) { return *RecordId::parse(text); }

std::vector<std::string> texts(const SearchIndex::Page& page) {
  std::vector<std::string> out;
  for (const RecordId& found : page.ids) out.push_back(found.text());
  return out;
}

PartSummary rail() {
  return {.name = "Stair rail left",
          .customer = "Fenwater Rail & Frame",
          .drawing = "FW-1042-B",
          .tube = "1-1/2 in 16 ga",
          .od_mm = 38.1,
          .wall_mm = 1.65,
          .radii_mm = {114.3, 76.2},
          .material = "AISI 304L",
          .search = "lobby"};
}

// Every field a setter remembers finds the part, in any order, in part, in either decimal mark.
TEST(SearchIndex, EachFieldFindsThePart) {
  SearchIndex index;
  index.put(id("rail"), rail(), false);
  index.put(id("other"), {.name = "Gate frame", .od_mm = 48.3, .material = "S235"}, false);
  for (const char* query :
       {"38.1 304 R114", "304 r114 38,1", "stair", "FENWATER", "1042", "fw-1042-b", "1-1/2",
        "38.1x1.65", "clr76", "lobby rail", "rail left 38"}) {
    EXPECT_EQ(texts(index.find(query, false, 10, 0)), std::vector<std::string>{"rail"}) << query;
  }
  EXPECT_TRUE(index.find("38.1 316", false, 10, 0).ids.empty());
  EXPECT_TRUE(index.find("8.1", false, 10, 0).ids.empty());
  EXPECT_EQ(index.find("", false, 10, 0).total, 2);
}

// The latest change comes first, withdrawn parts only when asked for, pages tile the list.
TEST(SearchIndex, OrderAndPages) {
  SearchIndex index;
  for (const char* name : {"a", "b", "c", "d"}) index.put(id(name), {.name = "post"}, false);
  index.put(id("b"), {.name = "post"}, false);
  index.put(id("c"), {.name = "post"}, true);
  EXPECT_EQ(texts(index.find("post", false, 10, 0)), (std::vector<std::string>{"b", "d", "a"}));
  EXPECT_EQ(texts(index.find("post", true, 10, 0)), (std::vector<std::string>{"c", "b", "d", "a"}));
  EXPECT_EQ(texts(index.find("post", true, 2, 1)), (std::vector<std::string>{"b", "d"}));
  EXPECT_EQ(index.find("post", true, 0, 0).total, 4);
  EXPECT_TRUE(index.find("post", true, 10, 4).ids.empty());
}

// What a part was called before finds it no more.
TEST(SearchIndex, OldWordsAreGone) {
  SearchIndex index;
  index.put(id("a"), {.name = "old"}, false);
  index.put(id("a"), {.name = "new"}, false);
  EXPECT_EQ(index.find("old", true, 10, 0).total, 0);
  EXPECT_EQ(index.find("new", true, 10, 0).total, 1);
}

// Any sequence of changes leaves what a plain list, searched word by word with std::string::find,
// holds: sweeping away stale entries loses and reorders nothing.
RC_GTEST_PROP(SearchIndexProperty, AgreesWithAPlainList, ()) {
  const auto steps = *rc::gen::container<std::vector<std::pair<int, int>>>(
      static_cast<std::size_t>(*rc::gen::inRange(0, 4000)),
      rc::gen::pair(rc::gen::inRange(0, 40), rc::gen::inRange(0, 26)));
  SearchIndex index;
  std::vector<std::pair<std::string, std::string>> plain;  // id, name
  for (const auto& [number, letter] : steps) {
    const std::string key = "p" + std::to_string(number);
    const std::string name(3, static_cast<char>('a' + letter));
    std::erase_if(plain, [&](const auto& line) { return line.first == key; });
    plain.emplace_back(key, name);
    index.put(id(key), {.name = name}, false);
  }
  for (const std::string query : {"", "a", "bb", "zzz"}) {
    std::vector<std::string> expected;
    for (auto line = plain.rbegin(); line != plain.rend(); ++line) {
      if (line->second.find(query) != std::string::npos) expected.push_back(line->first);
    }
    RC_ASSERT(texts(index.find(query, false, 1000, 0)) == expected);
  }
}

}  // namespace
}  // namespace bight::records
