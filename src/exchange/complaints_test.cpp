#include "exchange/complaints.h"

#include <gtest/gtest.h>

#include "exchange/part_toml.h"

namespace bight::exchange {
namespace {

Document part(const char* text) { return document_of(nlohmann::ordered_json::parse(text), ""); }

using ReadPart = base::Result<PartFile> (*)(const Document&);

std::vector<std::string> places(const char* text) {
  std::vector<std::string> out;
  for (const base::Failure& failure : complaints_about(part(text), ReadPart(read_part))) {
    out.push_back(failure.where + " " + failure.code);
  }
  return out;
}

TEST(Complaints, TubeLineAndRestAreAllLookedAt) {
  EXPECT_EQ(places(R"({"name": 1, "tube": {"od": "x", "wall": "y", "material": "304L annealed"},
                       "line": {"bends": [{"straight": "z", "angle": "q"}], "last": 1, "radius": 5},
                       "quantity": 0, "sofa": 1})"),
            (std::vector<std::string>{"tube.od length.text", "tube.wall length.text",
                                      "line.bends[0].straight length.text",
                                      "line.bends[0].angle angle.text", "name key.type",
                                      "quantity key.value", "sofa key.unknown"}));
}

TEST(Complaints, NothingIsMissedForWantOfATable) {
  EXPECT_EQ(places("{}"),
            (std::vector<std::string>{"tube key.missing", "line key.missing", "name key.missing"}));
  EXPECT_EQ(places(R"({"name": "x", "tube": {"size": "25 x 1.5", "material": "304L annealed"},
                       "line": {"bends": [], "last": 100}})"),
            std::vector<std::string>{});
}

// Without anybody asking for all, the first is the failure, as ever.
TEST(Complaints, TheFirstIsTheFailure) {
  const Document document = part(R"({"name": 1, "tube": {"od": "x"}, "line": {"bends": "y"}})");
  const std::string first = read_part(document).failure().where;
  EXPECT_EQ(first, "tube.od");
  EXPECT_EQ(complaints_about(document, ReadPart(read_part)).front().where, first);
  EXPECT_EQ(Complaints::present(), nullptr);
}

}  // namespace
}  // namespace bight::exchange
